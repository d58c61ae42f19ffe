/** Messages about a file of answers that cannot be understood. */
import { TrialError } from "../vocabulary/trial.ts";
import { shown } from "./reading.ts";

/** What is the matter with one entry. */
export interface AnswerProblem {
  line: number;
  key: string;
  /** What is wrong and what to do. */
  advice: string;
}

/** @param written  the line; @param reason  what is wrong and what to do, in whole sentences */
export const answersNotYaml = (file: string, line: number, reason: string, written = ""): TrialError =>
  new TrialError(
    "answers-not-yaml",
    `${file}, line ${line}${written === "" ? "" : `, "${shown(written)}"`}: ${reason}`,
  );

/** All problems at once, a line each. */
export const answersProblems = (file: string, problems: readonly AnswerProblem[]): TrialError =>
  new TrialError(
    "answers-entry",
    problems
      .slice(0, 20)
      .map(({ line, key, advice }) => `${file}, line ${line}: ${shown(key)}: ${advice}`)
      .join("\n"),
  );
