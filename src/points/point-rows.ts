/** A file of points, CSV, GeoJSON or a zipped shapefile → headers and rows of cells. */
import { notPoints } from "../messages/harvest.ts";
import { decodeText } from "../read/tables/decode.ts";
import type { InputFile } from "../read/tables/input-file.ts";
import type { Sheet } from "../read/tables/sheet.ts";
import { textSheet } from "../read/tables/text-sheet.ts";
import type { DecimalMark } from "../read/units/numbers.ts";
import { headerRowOf } from "./header-row.ts";
import { reader, understood } from "./point-headers.ts";
import { unpackPoints } from "./shapefile.ts";

/** The rows of one file, whatever its format. */
export interface Rows {
  headers: string[];
  mark: DecimalMark;
  /** Places are of shapes and called degrees by us, whatever they are. */
  fromShapes?: true;
  forEach(take: (cells: string[], row: number) => void): void;
}

/** Rows looked at for the header, and for the unit of bare numbers. */
export const rowsLookedAt = 400;

/** Headers with the units of the row below them, where that row holds units and no number; null where it does not. */
function unitsBelow(
  sheet: Sheet,
  headerRow: number,
  headers: readonly string[],
): { headerRow: number; headers: string[] } | null {
  let below: { cells: string[]; row: number } | null = null;
  sheet.forEach((cells, row) => {
    below = { cells, row };
    return false;
  }, headerRow);
  if (below === null) return null;
  const { cells, row } = below as { cells: string[]; row: number };
  if (cells.some((cell) => /^[-+]?[\d.,]+$/.test(cell.trim()))) return null;
  const units = cells.map((cell) => cell.trim().replace(/^[([](.*)[)\]]$/, "$1"));
  const isUnit = headers.map((header, at) => units[at] !== undefined && reader.takesUnit(header, units[at]));
  if (!isUnit.includes(true)) return null;
  return {
    headerRow: row,
    headers: headers.map((header, at) => (isUnit[at] === true ? `${header} (${units[at]})` : header)),
  };
}

function csvRows(file: InputFile): Rows {
  const sheet = textSheet(file, understood);
  const named = headerRowOf(sheet, understood);
  const units = unitsBelow(sheet, named.headerRow, named.headers);
  const { headerRow, headers } = units ?? named;
  const forEach: Rows["forEach"] = (take) => sheet.forEach((cells, row) => take(cells, row), headerRow);
  let mark: DecimalMark = sheet.certainMark ?? sheet.usualMark ?? "point";
  if (sheet.certainMark === null) {
    // Places and yields have decimals: a comma between digits is a decimal one only where no point is.
    let [commas, points] = [0, 0];
    sheet.forEach((cells, row) => {
      for (const cell of cells) {
        if (/^-?\d+,\d+$/.test(cell)) commas++;
        else if (/^-?\d+\.\d+$/.test(cell)) points++;
      }
      return row < headerRow + rowsLookedAt;
    }, headerRow);
    if (commas > 0) mark = points > commas ? "point" : "comma";
  }
  return { headers, mark, forEach };
}

interface Feature {
  geometry: { type: string; coordinates: unknown } | null;
  properties: Record<string, unknown> | null;
}

/** Features of points as rows: their properties, and their place as longitude and latitude. */
function featureRows(features: readonly Feature[], file: string): Rows {
  const names = new Set<string>();
  for (const { properties } of features.slice(0, rowsLookedAt))
    for (const name of Object.keys(properties ?? {})) names.add(name);
  // The geometry says where a point is; columns that repeat it are skipped.
  const own = [...names].filter(
    (name) => !["latitude", "longitude", "x", "y"].includes(reader.nameOf(name) ?? ""),
  );
  if (!features.some(({ geometry }) => geometry?.type === "Point" || geometry?.type === "MultiPoint"))
    throw notPoints(file);
  const text = (value: unknown): string =>
    typeof value === "string"
      ? value.trim()
      : typeof value === "number" || typeof value === "boolean"
        ? String(value)
        : "";
  return {
    headers: ["longitude", "latitude", ...own],
    mark: "point",
    fromShapes: true,
    forEach: (take) =>
      features.forEach(({ geometry, properties }, index) => {
        const given = geometry?.coordinates as number[] | number[][] | undefined;
        const place = Array.isArray(given?.[0]) ? (given[0] as number[]) : (given as number[] | undefined);
        take([text(place?.[0]), text(place?.[1]), ...own.map((name) => text(properties?.[name]))], index + 1);
      }),
  };
}

const isZip = ({ bytes }: InputFile): boolean => bytes[0] === 0x50 && bytes[1] === 0x4b;
const isJson = ({ name, bytes }: InputFile): boolean => /json$/i.test(name) || bytes[0] === 0x7b;

/** @throws TrialError `points-none`, `shapefile-unreadable` */
export async function openRows(given: InputFile): Promise<Rows> {
  let file = given;
  if (isZip(file)) {
    const unpacked = await unpackPoints(file);
    if (unpacked.kind === "features") return featureRows(unpacked.features as Feature[], file.name);
    file = unpacked.file;
  }
  if (isJson(file)) {
    const { text } = decodeText(file.bytes, file.name);
    let read: { features?: Feature[] };
    try {
      read = JSON.parse(text) as { features?: Feature[] };
    } catch {
      throw notPoints(file.name);
    }
    if (!Array.isArray(read.features)) throw notPoints(file.name);
    return featureRows(read.features, file.name);
  }
  return csvRows(file);
}
