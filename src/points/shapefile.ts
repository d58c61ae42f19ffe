/** A zip archive with one layer of points, or with one file of points → what is in it. */
import { strFromU8 } from "fflate";
import { notAShapefile, projectionUnread } from "../messages/harvest.ts";
import type { InputFile } from "../read/tables/input-file.ts";
import { isTextFile, unpackLayer } from "./layer-archive.ts";

/** Features of a layer, or the one text file that the archive holds instead. */
export type Unpacked = { kind: "features"; features: unknown[] } | { kind: "file"; file: InputFile };

/** @throws TrialError `shapefile-unreadable` */
export async function unpackPoints({ name, bytes }: InputFile): Promise<Unpacked> {
  const parts = unpackLayer({ name, bytes });
  const paths = Object.keys(parts);
  const layers = paths.filter((path) => /\.shp$/i.test(path));
  if (layers.length === 0) {
    const texts = paths.filter((path) => isTextFile(path));
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
    if ((error as Error).name === "ProjectionUnread") throw projectionUnread(name);
    throw notAShapefile(name, error instanceof Error ? error.message : String(error));
  }
}
