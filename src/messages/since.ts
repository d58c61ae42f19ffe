/** Messages about an earlier result to compare with. */
import { TrialError } from "../vocabulary/trial.ts";

export const sinceNoResult = (file: string): TrialError =>
  new TrialError(
    "since-no-result",
    `${file} is not a result of stripcurve. Give a file that stripcurve fit --json wrote.`,
  );

export const sinceOtherVersion = (
  file: string,
  engineVersion: string,
  wrong: string,
  from: string,
): TrialError =>
  new TrialError(
    "since-other-version",
    `${file} is not in the form that stripcurve ${engineVersion} reads: ${wrong}. It comes from ${from || "another version"}. Make it again from the same strips: stripcurve fit --json.`,
  );

/** @param faults  a line for each setting that no season file may hold */
export const sinceImpossible = (file: string, faults: string): TrialError =>
  new TrialError("since-impossible", faults.replaceAll(/^/gm, `${file}, `));

export const sinceOtherTrial = (file: string, what: string, before: string, today: string): TrialError =>
  new TrialError(
    "since-other-trial",
    `${file} cannot be used here: its ${what} is ${before}, and now it is ${today}.`,
  );
