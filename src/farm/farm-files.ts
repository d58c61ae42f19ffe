/** The files of a farm, and what kind of file each is. */
import { pointsKind, type PointsKind } from "../points/point-headers.ts";
import { isLayerArchive } from "../points/layer-archive.ts";
import { answersFileName, noAnswers } from "../read/answers/answers.ts";
import { answerKeys } from "../read/answers/answers-file.ts";
import { regionFileKind } from "../read/region-files.ts";
import { seasonKeys } from "../read/season-file/season.ts";
import { lotHeaders } from "../read/strips/lots-header.ts";
import { stripHeaders } from "../read/strips/strips-header.ts";
import { decodeText } from "../read/tables/decode.ts";
import type { InputFile } from "../read/tables/input-file.ts";
import { holdsWhat, isWorkbook, openSheets } from "../read/tables/open-sheets.ts";
import { textSheet } from "../read/tables/text-sheet.ts";
import { TrialError } from "../vocabulary/trial.ts";

/**
 * `answers`: a `columns.yaml`; `result`: what `stripcurve fit --json` wrote for earlier strips; `region`: what
 * `stripcurve region` wrote of many farms; `harvested` and `seeded`: points that a combine or a drill logged, of which strips
 * can be made.
 */
export type FileKind = "strips" | "lots" | "season" | "answers" | "result" | "region" | PointsKind;

export interface FarmFile extends InputFile {
  /** What the person says it is; if nobody says, its contents decide. */
  as?: FileKind | undefined;
  /** Sheets of a workbook; if none are named, all that hold strips or lots. */
  sheets?: readonly string[] | undefined;
}

/** A file with the kind that it was recognized as. */
export interface TakenFile {
  name: string;
  /** Null where its contents do not show it. */
  as: FileKind | null;
  /** Whether the person said so. */
  said: boolean;
  /** Why it cannot be read, as a message with a code; null where it can. */
  problem: TrialError | null;
}

/** This much of a file shows its kind [bytes]. */
const headBytes = 65_536;
/** The header is within this many rows. */
const headRows = 30;
/** A table with fewer known headers than this is not one of ours. */
const fewestHeaders = 2;

/**
 * Recognizes each file. What a person said counts first; otherwise: an earlier result and a region name their schema, a
 * season file has a season file's keys, answers have theirs, points have places and what a machine logs there, and a
 * table is of the kind whose columns name more of its headers. A workbook holds strips if any of its sheets does.
 */
export const takeFiles = (files: readonly FarmFile[]): Promise<TakenFile[]> =>
  Promise.all(files.map(takeFile));

/** The same, with the files themselves. */
export const takeEach = (files: readonly FarmFile[]): Promise<(TakenFile & { file: FarmFile })[]> =>
  Promise.all(files.map(async (file) => ({ file, ...(await takeFile(file)) })));

async function takeFile(file: FarmFile): Promise<TakenFile> {
  const { name, as } = file;
  if (as !== undefined) return { name, as, said: true, problem: null };
  try {
    return { name, as: await kindOf(file), said: false, problem: null };
  } catch (error) {
    if (!(error instanceof TrialError)) throw error;
    return { name, as: null, said: false, problem: error };
  }
}

/**
 * @throws TrialError as `openSheets` and `decodeText` do
 */
async function kindOf(file: FarmFile): Promise<FileKind | null> {
  const { name, bytes } = file;
  if (isLayerArchive(file)) return pointsKind(file);
  if (isWorkbook(file)) {
    const kinds = (await openSheets(file)).map((sheet) => holdsWhat(sheet, noAnswers));
    return kinds.includes("strips") ? "strips" : kinds.includes("lots") ? "lots" : null;
  }
  if (name.toLowerCase() === answersFileName) return "answers";
  const head = { name, bytes: bytes.subarray(0, headBytes) };
  const { text } = decodeText(head.bytes, name);
  if (/^\s*\{\s*"schema":\s*"stripcurve-result-/.test(text)) return "result";
  if (regionFileKind(head) === "region") return "region";
  const keys = [...text.matchAll(/^(\w+):/gm)].filter(([, key]) => seasonKeys.includes(key!));
  const isYaml = /\.ya?ml$/i.test(name);
  if (keys.length > 0 && isYaml) return "season";
  if (isYaml && [...text.matchAll(/^(\w+):/gm)].some(([, key]) => answerKeys.includes(key!)))
    return "answers";
  const points = pointsKind(head);
  if (points !== null) return points;
  const strips = mostKnown(head, (headers) => stripHeaders.known(headers));
  const lots = mostKnown(head, (headers) => lotHeaders.known(headers));
  // A title above a table may read like an entry of the season file: "crop: barley".
  if (Math.max(strips, lots) < fewestHeaders) return keys.length > 0 ? "season" : null;
  return lots > strips || (lots === strips && mostKnown(head, describesBags) > 0) ? "lots" : "strips";
}

/** Above 0 where headers of strips and lots alike describe bags of seed, and no harvest. */
function describesBags(headers: readonly string[]): number {
  const names = new Set<string>(headers.map((header) => stripHeaders.nameOf(header) ?? ""));
  return ofHarvest.some((name) => names.has(name)) ? 0 : ofBags.filter((name) => names.has(name)).length;
}

const ofHarvest = ["season", "yield", "strip_weight", "gross_weight"];
const ofBags = ["seeds_per_lb", "seeds_per_kg", "tkw_g", "germination_pct", "purity_pct"];

/** The most headers that one of the first rows has. */
function mostKnown(head: InputFile, known: (headers: string[]) => number): number {
  let most = 0;
  let rows = 0;
  textSheet(head, known).forEach((cells) => {
    most = Math.max(most, known(cells));
    return ++rows < headRows;
  });
  return most;
}
