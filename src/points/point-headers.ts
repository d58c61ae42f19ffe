/** What the headers of a file of points mean, and which machine logged it. */
import { decodeText } from "../read/tables/decode.ts";
import { HeaderReader } from "../read/tables/headers.ts";
import type { InputFile } from "../read/tables/input-file.ts";
import { textSheet } from "../read/tables/text-sheet.ts";
import { pointColumns, pointSynonyms, type PointColumnName } from "./columns.ts";
import { headerRowOf } from "./header-row.ts";
import { meaningsByWords } from "./header-words.ts";
import { isLayerArchive, layerHeaders } from "./layer-archive.ts";

export const reader = new HeaderReader<PointColumnName>(pointColumns, pointSynonyms);

/** The column that a header is known as; one with two brackets, as `Flow(M)(lb/s)`, is left to its words. */
export const knownAs = (header: string): PointColumnName | null =>
  /[)\]]\s*[([]/.test(header) ? null : reader.nameOf(header);

/** How many headers mean something, known or by their words. */
export const understood = (headers: readonly string[]): number =>
  headers.filter((header) => knownAs(header) !== null).length + meaningsByWords(headers, knownAs).size;

/** `harvested`: points of the combine; `seeded`: those of the drill. */
export type PointsKind = "harvested" | "seeded";

/** What only a machine that drives logs. */
const ofMachines = ["time", "speed", "heading", "seconds", "distance", "flow", "header_up"] as const;

/**
 * Which machine's points a file holds, by its headers; null where it holds none.
 *
 * A table of strips may say where each strip is: with a variety in it, it must hold more of what machines log.
 *
 * @param file CSV or GeoJSON (the beginning is enough), or a zipped shapefile
 * @throws TrialError as `decodeText`, `textSheet` and `layerHeaders` do
 */
export function pointsKind(file: InputFile): PointsKind | null {
  const headers = headersOf(file);
  const meant = meaningsByWords(headers, knownAs);
  const names = new Set(
    headers.map((header) => knownAs(header) ?? meant.get(header)?.replace(/ \(.*$/, "") ?? ""),
  );
  const has = (...wanted: PointColumnName[]): boolean => wanted.every((name) => names.has(name));
  if (!has("latitude", "longitude") && !has("x", "y")) return null;
  if (has("variety") && ofMachines.filter((name) => names.has(name)).length < (has("yield") ? 2 : 1))
    return null;
  if (has("yield") || has("dry_yield") || has("flow")) return "harvested";
  return has("rate") || has("target") ? "seeded" : null;
}

function headersOf(file: InputFile): string[] {
  if (isLayerArchive(file)) return ["latitude", "longitude", ...layerHeaders(file)];
  const { text } = decodeText(file.bytes, file.name);
  if (/^\s*\{/.test(text)) {
    const properties = /"properties"\s*:\s*(\{[^{}]*\})/.exec(text)?.[1];
    if (properties === undefined || !/"(?:Multi)?Point"/.test(text)) return [];
    try {
      return ["latitude", "longitude", ...Object.keys(JSON.parse(properties) as object)];
    } catch {
      return [];
    }
  }
  return headerRowOf(textSheet(file, understood), understood).headers;
}
