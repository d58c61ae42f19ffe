/** A zip archive with one layer of points, or with one file of points → what is in it. */
import { strFromU8, unzipSync, type Unzipped } from "fflate";
import { notAShapefile } from "../messages/harvest.ts";
import type { InputFile } from "../read/tables/input-file.ts";

/** Unpacked, all parts together [bytes]; a million points take about 300 million. */
const mostBytes = 600_000_000;
const mostParts = 200;

const isLayerPart = /\.(?:shp|dbf|prj|cpg)$/i;
const isTextFile = /\.(?:csv|tsv|txt|geojson|json)$/i;
const isLitter = /(?:^|\/)(?:__MACOSX\/|\.)/;

/** Features of a layer, or the one text file that the archive holds instead. */
export type Unpacked = { kind: "features"; features: unknown[] } | { kind: "file"; file: InputFile };

/** @throws TrialError `shapefile-unreadable` */
export async function unpackPoints({ name, bytes }: InputFile): Promise<Unpacked> {
  const parts = unpack(name, bytes);
  const paths = Object.keys(parts);
  const layers = paths.filter((path) => /\.shp$/i.test(path));
  if (layers.length === 0) {
    const texts = paths.filter((path) => isTextFile.test(path));
    if (texts.length !== 1) throw notAShapefile(name, "it holds no .shp");
    return { kind: "file", file: { name, bytes: parts[texts[0]!]! } };
  }
  if (layers.length > 1) throw notAShapefile(name, `it holds ${layers.length} layers: ${layers.join(", ")}`);
  const beside = (ending: string): Uint8Array | undefined => {
    const wanted = layers[0]!.replace(/\.shp$/i, ending).toLowerCase();
    return parts[paths.find((path) => path.toLowerCase() === wanted) ?? ""];
  };
  const [dbf, prj, cpg] = [beside(".dbf"), beside(".prj"), beside(".cpg")];
  if (dbf === undefined) throw notAShapefile(name, "it holds no .dbf");
  try {
    const { combine, parseDbf, parseShp } = await import("shpjs");
    const shapes = parseShp(parts[layers[0]!]!, prj === undefined ? undefined : strFromU8(prj));
    const rows = parseDbf(dbf, cpg === undefined ? undefined : strFromU8(cpg));
    return { kind: "features", features: combine([shapes, rows]).features };
  } catch (error) {
    throw notAShapefile(name, error instanceof Error ? error.message : String(error));
  }
}

/** Nothing is unpacked before its claimed size is added up; and no part gives more than it claims. */
function unpack(name: string, bytes: Uint8Array): Unzipped {
  let [size, count] = [0, 0];
  const isTooLarge = (): boolean => size > mostBytes || count > mostParts;
  try {
    return unzipSync(bytes, {
      filter: (part) => {
        if (isLitter.test(part.name) || !(isLayerPart.test(part.name) || isTextFile.test(part.name)))
          return false;
        size += part.originalSize;
        count++;
        if (isTooLarge()) throw new Error("too large");
        return true;
      },
    });
  } catch {
    throw notAShapefile(
      name,
      isTooLarge()
        ? `unpacked it is larger than ${mostBytes / 1e6} MB, or more than ${mostParts} files`
        : "the archive is broken or cut off",
    );
  }
}
