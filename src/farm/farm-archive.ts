/** The farm file: a zip archive with strips, lots and season file, each as a file that a person can open. */
import { unzipSync, zipSync, type Unzipped } from "fflate";
import { archiveBroken, archiveEmpty, archiveSwells, archiveTooLarge } from "../messages/farm-archive.ts";
import { isLayerArchive } from "../points/layer-archive.ts";
import { archiveNames } from "../read/tables/archive-names.ts";
import type { InputFile } from "../read/tables/input-file.ts";
import { isWorkbook } from "../read/tables/open-sheets.ts";
import { swells } from "../read/tables/swells.ts";
import { TrialError } from "../vocabulary/trial.ts";
import type { FarmFile } from "./farm-files.ts";

/** Unpacked, all files together [bytes]; a million strips take about 100 million. */
const mostBytes = 200_000_000;
const mostFiles = 500;

/** Files that a farm gives; pictures, notes and hidden files of a computer are not unpacked. */
const isOurs = (path: string): boolean =>
  /\.(?:csv|tsv|txt|xls[xmb]?|ods|numbers|ya?ml|json|geojson)$/i.test(path) &&
  !/(?:^|\/)(?:__MACOSX\/|\.)/.test(path);

const isOfficeFile = ({ bytes }: InputFile): boolean =>
  /\[Content_Types\]\.xml|xl\/workbook|content\.xml|\.iwa/.test(archiveNames(bytes));

/** Whether a file is a zip archive, but not a workbook or a layer of points, which are archives too. */
export const isFarmArchive = (file: InputFile): boolean =>
  isWorkbook(file) && !isOfficeFile(file) && !isLayerArchive(file);

/**
 * Files with those of each archive in its place, named without their folders where that leaves them apart.
 *
 * @throws TrialError `archive-broken`, `archive-too-large` before anything is unpacked, `archive-empty`
 */
export const unpackFarm = (files: readonly FarmFile[]): FarmFile[] =>
  files.flatMap((file) => (isFarmArchive(file) ? filesIn(file) : [file]));

function filesIn({ name, bytes }: FarmFile): FarmFile[] {
  const parts = Object.entries(unpack(name, bytes)).sort(([a], [b]) => (a < b ? -1 : 1));
  if (parts.length === 0) throw archiveEmpty(name);
  const short = (path: string): string => path.slice(path.lastIndexOf("/") + 1);
  return parts.map(([path, own]) => {
    const isApart = parts.every(([other]) => other === path || short(other) !== short(path));
    return { name: isApart ? short(path) : path, bytes: own };
  });
}

/** Claimed sizes are added up before anything is unpacked, and no part may give more than it claims. */
function unpack(name: string, bytes: Uint8Array): Unzipped {
  let size = 0;
  let count = 0;
  const isTooLarge = (): boolean => size > mostBytes || count > mostFiles;
  try {
    return unzipSync(bytes, {
      filter: (part) => {
        if (part.name.endsWith("/") || !isOurs(part.name)) return false;
        size += part.originalSize;
        count++;
        if (isTooLarge()) throw archiveTooLarge(name, mostBytes / 1e6, mostFiles);
        if (swells(part)) throw archiveSwells(name, part.name);
        return true;
      },
    });
  } catch (error) {
    if (error instanceof TrialError) throw error;
    throw archiveBroken(name);
  }
}

/** The same files give the same bytes: the archive holds no times. */
export function packFarm(files: readonly InputFile[]): Uint8Array {
  const named: Record<string, Uint8Array> = {};
  for (const { name, bytes } of files) {
    let free = name.replaceAll(/[\\/:*?"<>|]/g, "-");
    for (let count = 2; Object.hasOwn(named, free); count++)
      free = name.replace(/(\.\w+)?$/, (ending) => ` ${count}${ending}`);
    named[free] = bytes;
  }
  return zipSync(named, { level: 6, mtime: "2000-01-01T00:00:00" });
}
