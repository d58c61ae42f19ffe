/** Messages about files and folders that cannot be read or written. */
import { TrialError } from "../vocabulary/trial.ts";

type Deed = "read" | "write";

export const cannotDo = (deed: Deed, name: string, reason: string): TrialError =>
  new TrialError(`cannot-${deed}`, `Cannot ${deed} ${name}: ${reason}.`);

export const withoutName = (deed: Deed): TrialError =>
  new TrialError(`cannot-${deed}`, `Cannot ${deed} a file without a name. Name it.`);

export const fileTooLarge = (name: string): TrialError =>
  new TrialError("cannot-read", `Cannot read ${name}: it is larger than 2 GB. Split it into several files.`);

export const namedLikeNone = (pattern: string): TrialError =>
  new TrialError(
    "pattern-without-files",
    `No file is named like ${pattern}. Look at the folder and the spelling.`,
  );

export const linkLeadsOut = (path: string): TrialError =>
  new TrialError(
    "link-leads-out",
    `Cannot read ${path}: it is a link that leads out of the folder. Copy what it leads to.`,
  );

export const isReadToo = (path: string): TrialError =>
  new TrialError(
    "cannot-write",
    `Cannot write ${path}: it is one of the files that are read. Choose another name.`,
  );

export const writtenTwice = (path: string): TrialError =>
  new TrialError("cannot-write", `Cannot write ${path}: two outputs would go there. Choose another name.`);

export const fileThere = (path: string): TrialError =>
  new TrialError(
    "file-there",
    `${path} is there already, and stripcurve did not write it, or it was changed since: it may hold your work. Choose another name, or give --overwrite.`,
  );

export const fileInTheWay = (path: string): TrialError =>
  new TrialError("cannot-write", `Cannot write into ${path}: it is a file, not a folder.`);
