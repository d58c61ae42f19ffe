/** What a farm hands over, file by file, and what each file is taken for. */
import { lotHeaders } from "../read/lots.ts";
import { seasonKeys } from "../read/season-file/season.ts";
import { stripHeaders } from "../read/strips/strips-header.ts";
import { decodeText } from "../read/tables/decode.ts";
import type { InputFile } from "../read/tables/input-file.ts";
import { openTable } from "../read/tables/open-table.ts";
import { csvRows } from "../read/tables/table-file.ts";
import { TrialError } from "../vocabulary/trial.ts";

/** `result`: what `stripcurve fit --json` wrote for earlier strips. */
export type FileKind = "strips" | "lots" | "season" | "result";

export interface FarmFile extends InputFile {
  /** What the person says it is; where nobody says, what is in it tells. */
  as?: FileKind | undefined;
  /** Sheet of a workbook; without a name, the only one that holds anything. */
  sheet?: string | undefined;
}

/** A file with what it is taken for. */
export interface TakenFile {
  name: string;
  /** Null where nothing in it tells. */
  as: FileKind | null;
  /** Whether the person said so. */
  said: boolean;
  /** Why it cannot be looked into, as a message with a code; null where it can. */
  problem: TrialError | null;
}

/** So much of a file tells its kind [bytes]. */
const headBytes = 65_536;
/** A header stands among so many rows. */
const headRows = 30;
/** A table with fewer headers that are known is none of ours. */
const fewestHeaders = 2;

/**
 * What each file is taken for. What a person said stands; else: an earlier result names its schema, a season file has
 * a season file's keys, and a table is of the kind whose columns name more of its headers.
 *
 * Workbooks are opened; one whose sheet has to be named first has that as its `problem`.
 */
export const takeFiles = (files: readonly FarmFile[]): Promise<TakenFile[]> =>
  Promise.all(
    files.map(async (file): Promise<TakenFile> => {
      const { name, as } = file;
      if (as !== undefined) return { name, as, said: true, problem: null };
      try {
        return { name, as: await kindOf(file), said: false, problem: null };
      } catch (error) {
        if (!(error instanceof TrialError)) throw error;
        return { name, as: null, said: false, problem: error };
      }
    }),
  );

/**
 * @throws TrialError as `openTable` and `decodeText` do
 */
async function kindOf({ name, bytes, sheet }: FarmFile): Promise<FileKind | null> {
  const table = await openTable({ name, bytes }, sheet ?? null);
  const head = { name, bytes: table.bytes.subarray(0, headBytes) };
  const { text } = decodeText(head.bytes, name);
  if (/^\s*\{\s*"schema":\s*"stripcurve-result-/.test(text)) return "result";
  const keys = [...text.matchAll(/^(\w+):/gm)].filter(([, key]) => seasonKeys.includes(key!));
  if (keys.length > 0) return "season";
  const strips = mostKnown(head, (headers) => stripHeaders.known(headers));
  const lots = mostKnown(head, (headers) => lotHeaders.known(headers));
  if (Math.max(strips, lots) < fewestHeaders) return null;
  return lots > strips ? "lots" : "strips";
}

/** The most headers that one of the first rows has. */
function mostKnown(head: InputFile, known: (headers: string[]) => number): number {
  let most = 0;
  let rows = 0;
  csvRows(head, known).forEach((cells) => {
    most = Math.max(most, known(cells));
    return ++rows < headRows;
  });
  return most;
}
