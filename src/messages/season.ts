/** Messages about a season file that cannot be understood. */
import { TrialError, type Finding } from "../vocabulary/trial.ts";
import { finding } from "./finding.ts";
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

/** @param written  the line; @param reason  what is wrong and what to do, in whole sentences */
export const seasonNotYaml = (file: string, line: number, reason: string, written = ""): TrialError =>
  new TrialError(
    "season-not-yaml",
    `${file}, line ${line}${written === "" ? "" : `, "${shown(written)}"`}: ${reason}`,
  );

export const seasonIsResult = (file: string): TrialError =>
  new TrialError(
    "season-is-result",
    `${file} is an earlier result, not a season file. Give it as report --since ${JSON.stringify(file)}.`,
  );

export const nestedTooDeeply = (file: string): TrialError =>
  seasonNotYaml(file, 1, "Its entries are nested too deeply.");

export const seasonProblemText = ({ file, line, key, value, advice }: SeasonProblem): string =>
  `${line === null || file === null ? "" : `${file}, line ${line}, `}${shown(key)}${value === null ? "" : ` = "${shown(value)}"`}: ${advice}`;

/** All problems at once, a line each, in the order of the file. */
export const seasonProblems = (problems: readonly SeasonProblem[]): TrialError =>
  new TrialError(
    "season-entry",
    [...problems]
      .sort((a, b) => (a.line ?? 0) - (b.line ?? 0))
      .map(seasonProblemText)
      .join("\n"),
  );

/** Of a line of a season file. */
export const seasonNoEntry =
  "This is not an entry. Write it like grain_price: 6.20 $/bu, with a space after the colon.";
export const seasonEntryTwice = "It is in the file twice. Delete one of the two.";

export const seasonEntryIndented = "It is indented. Begin the line with the name of the entry.";

const leftOutCode = "season-entry-left-out";
const taken = "the usual value is used instead, marked as assumed.";
const leftOut = ` The entry is left out, and ${taken}`;

/** @param reason  which entry, and what is the matter with it */
export const seasonEntryLeftOut = (reason: string): Finding =>
  finding("doubt", leftOutCode, `${reason}${leftOut}`);

/** What is the matter with each entry that was left out. */
export const reasonsOfEntriesLeftOut = (findings: readonly Finding[]): string[] =>
  findings.flatMap(({ code, message }) => (code === leftOutCode ? [message.slice(0, -leftOut.length)] : []));

export const seasonEntriesLeftOut = (reasons: readonly string[]): string =>
  `${reasons.join(" ")} ${reasons.length === 1 ? "The entry is" : "These entries are"} left out, and ${taken}`;
