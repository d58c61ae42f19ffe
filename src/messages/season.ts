/** Messages about a season file that cannot be understood. */
import { TrialError } from "../vocabulary/trial.ts";
import { shown } from "./reading.ts";

/** What is the matter with one entry. */
export interface SeasonProblem {
  /** Null for entries given elsewhere. */
  file: string | null;
  /** Null where it is no line of the file. */
  line: number | null;
  key: string;
  value: string | null;
  /** What is wrong and what to do, in whole sentences. */
  advice: string;
}

export const seasonTooLarge = (file: string): TrialError =>
  new TrialError(
    "season-too-large",
    `${file} is too large for a season file. Give the strips without --season.`,
  );

export const seasonNotYaml = (file: string, line: number, reason: string): TrialError =>
  new TrialError(
    "season-not-yaml",
    `${file}, line ${line}: this is not YAML as it should be. ${shown(reason)}`,
  );

export const seasonIsResult = (file: string): TrialError =>
  new TrialError(
    "season-is-result",
    `${file} is an earlier result, and no season file. Give it as report --since ${JSON.stringify(file)}.`,
  );

export const nestedTooDeeply = (file: string): TrialError =>
  seasonNotYaml(file, 1, "Its entries are nested too deeply.");

const problemLine = ({ file, line, key, value, advice }: SeasonProblem): string =>
  `${line === null || file === null ? "" : `${file}, line ${line}, `}${shown(key)}${value === null ? "" : ` = "${shown(value)}"`}: ${advice}`;

/** All problems at once, a line each, in the order of the file. */
export const seasonProblems = (problems: readonly SeasonProblem[]): TrialError =>
  new TrialError(
    "season-entry",
    [...problems]
      .sort((a, b) => (a.line ?? 0) - (b.line ?? 0))
      .map(problemLine)
      .join("\n"),
  );
