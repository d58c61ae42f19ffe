/** Messages about a farm file: a zip archive with a farm's strips, lots and season file. */
import { TrialError } from "../vocabulary/trial.ts";

export const archiveBroken = (file: string): TrialError =>
  new TrialError(
    "archive-broken",
    /\.xls[xmb]?$/i.test(file)
      ? `${file}: This workbook is damaged or locked with a password. Open it in a spreadsheet program, save it again, and give that file.`
      : `${file}: This zip archive is damaged or locked with a password. Pack it again, or give the files that are in it.`,
  );

export const archiveTooLarge = (file: string, megabytes: number, most: number): TrialError =>
  new TrialError(
    "archive-too-large",
    `${file}: This zip archive would unpack to more than ${megabytes} MB or holds more than ${most} files; no farm's strips need that. It was not unpacked. Give the files that are in it.`,
  );

/** @param part  path in the archive of the part that would unpack too large */
export const archiveSwells = (file: string, part: string): TrialError =>
  new TrialError(
    "archive-too-large",
    `${file}: ${part} in this zip archive would unpack to more than a hundred times its size; no table of strips does. It was not unpacked. Give the files that are in it.`,
  );

export const archiveEmpty = (file: string): TrialError =>
  new TrialError(
    "archive-empty",
    `${file}: This zip archive holds no strips, lots or season file: no .csv, .txt, .tsv, .xlsx, .yaml or .json.`,
  );
