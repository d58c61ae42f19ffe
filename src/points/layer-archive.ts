/** A zip archive with a layer of points, unpacked within limits. */
import { strFromU8, unzipSync, type Unzipped } from "fflate";
import { notAShapefile } from "../messages/harvest.ts";
import { archiveNames } from "../read/tables/archive-names.ts";
import type { InputFile } from "../read/tables/input-file.ts";

/** Unpacked, all parts together [bytes]; a million points take about 300 million. */
const mostBytes = 600_000_000;
const mostParts = 200;

/** Whether a part of an archive is a file of points as text. */
export const isTextFile = (path: string): boolean => /\.(?:csv|tsv|txt|geojson|json)$/i.test(path);
const isLayerPart = /\.(?:shp|dbf|prj|cpg)$/i;
const isLitter = /(?:^|\/)(?:__MACOSX\/|\.)/;

/** Whether a file is a zip archive with a layer in it. */
export const isLayerArchive = ({ bytes }: InputFile): boolean =>
  bytes[0] === 0x50 && bytes[1] === 0x4b && /\.shp/i.test(archiveNames(bytes));

/**
 * The headers of a layer, from the head of its table alone (dBASE level 5: names of 11 bytes, 32 bytes a column, 0x0D after
 * the last).
 *
 * @throws TrialError `shapefile-unreadable`
 */
export function layerHeaders({ name, bytes }: InputFile): string[] {
  const parts = unpackLayer({ name, bytes });
  const part = Object.entries(parts).find(([path]) => /\.dbf$/i.test(path));
  if (part === undefined) throw notAShapefile(name, "it holds no .dbf");
  const [, table] = part;
  const headers: string[] = [];
  for (let at = 32; at + 32 <= table.length && table[at] !== 0x0d; at += 32)
    headers.push(strFromU8(table.subarray(at, at + 11)).replace(/\0.*$/, ""));
  return headers;
}

/**
 * Nothing is unpacked before its claimed size is added up; and no part gives more than it claims.
 *
 * @throws TrialError `shapefile-unreadable`
 */
export function unpackLayer({ name, bytes }: InputFile): Unzipped {
  let [size, count] = [0, 0];
  const isTooLarge = (): boolean => size > mostBytes || count > mostParts;
  try {
    return unzipSync(bytes, {
      filter: (part) => {
        if (isLitter.test(part.name) || !(isLayerPart.test(part.name) || isTextFile(part.name))) return false;
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
