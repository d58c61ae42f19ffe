/** A zip archive with one layer of points, or with one file of points → what is in it. */
import { strFromU8 } from "fflate";
import { notAShapefile, projectionUnread } from "../messages/harvest.ts";
import type { InputFile } from "../read/tables/input-file.ts";
import { isTextFile, unpackLayer } from "./layer-archive.ts";

/** Features of a layer, or the one text file that the archive holds instead. */
export type Unpacked = { kind: "features"; features: unknown[] } | { kind: "file"; file: InputFile };

/** @throws TrialError `shapefile-unreadable` */
export async function unpackPoints({ name, bytes }: InputFile): Promise<Unpacked> {
  const parts = Object.entries(unpackLayer({ name, bytes })).map(([path, part]) => ({ path, bytes: part }));
  const layers = parts.filter(({ path }) => /\.shp$/i.test(path));
  const [layer, ...others] = layers;
  if (layer === undefined) {
    const [text, ...further] = parts.filter(({ path }) => isTextFile(path));
    if (text === undefined || further.length > 0) throw notAShapefile(name, "it holds no .shp");
    return { kind: "file", file: { name, bytes: text.bytes } };
  }
  if (others.length > 0) {
    const paths = layers.map(({ path }) => path).join(", ");
    throw notAShapefile(name, `it holds ${layers.length} layers: ${paths}`);
  }
  const beside = (ending: string): Uint8Array | undefined => {
    const wanted = layer.path.replace(/\.shp$/i, ending).toLowerCase();
    return parts.find(({ path }) => path.toLowerCase() === wanted)?.bytes;
  };
  const [dbf, prj, cpg] = [beside(".dbf"), beside(".prj"), beside(".cpg")];
  if (dbf === undefined) throw notAShapefile(name, "it holds no .dbf");
  try {
    const { combine, parseDbf, parseShp } = await import("shpjs");
    const shapes = parseShp(layer.bytes, prj === undefined ? undefined : strFromU8(prj));
    const rows = parseDbf(dbf, cpg === undefined ? undefined : strFromU8(cpg));
    return { kind: "features", features: combine([shapes, rows]).features };
  } catch (error) {
    if ((error as Error).name === "ProjectionUnread") throw projectionUnread(name);
    throw notAShapefile(name, error instanceof Error ? error.message : String(error));
  }
}
