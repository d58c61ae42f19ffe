/** Messages about what a farm's files are taken for. */
import { TrialError, type Finding } from "../vocabulary/trial.ts";
import { finding } from "./finding.ts";

export const fileUnknown = (file: string): TrialError =>
  new TrialError(
    "file-unknown",
    `${file} is neither a table of strips, nor seed lots, nor a season file, nor an earlier result: none of their names stands in it. Say what it is, or leave it out.`,
  );

export const filesOfOneKind = (kind: string, files: readonly string[]): TrialError =>
  new TrialError(
    "file-kind-twice",
    `${files.join(" and ")} are each taken for ${kind}, of which there can be one. Leave out one of them, or put them together.`,
  );

/** Said where a price given for all is used for none. */
export const seedPriceNotUsed = (from: string): string =>
  `${from} is not used: the lots price the seed of every variety.`;

/** Lots that stand in the same workbook as the strips. */
export const lotsBesideStrips = (sheet: string): Finding =>
  finding(
    "note",
    "lots-beside-strips",
    `The seed lots are read from ${sheet}, as no file of lots was given.`,
    {
      file: sheet,
    },
  );
