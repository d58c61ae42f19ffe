/** What is said beside the results: on standard error, never in a file of results. */
import type { AnalysisStep } from "../analyze.ts";
import { curveDoubts } from "../messages/fitting.ts";
import { capitalized, counted } from "../numbers/written-numbers.ts";
import type { Result } from "../vocabulary/result.ts";
import { plainText } from "../tell/plain-text.ts";
import { findingLines, findingsSummary } from "../tell/terminal/finding-lines.ts";
import { analysisSteps } from "../tell/wording/steps.ts";
import { colouredTextStyle, plainTextStyle, type TextStyle } from "../tell/terminal/text-table.ts";
import { standardStream } from "./files.ts";

/** A message of one or more lines, made harmless for the terminal. */
export function say(message: string): void {
  process.stderr.write(`${plainText(message)}\n`);
}

/** How many rows are left out and how much is doubtful, as `check` lists it, and of what was fitted apart, where there is any of it. */
export function sayFindings(results: readonly Pick<Result, "rows" | "findings">[]): void {
  const ofCurves = results.flatMap(({ findings }) => findings.filter(({ code }) => curveDoubts.has(code)));
  const summary = findingsSummary(
    results.map(({ rows, findings }) => ({
      rows,
      findings: findings.filter(({ code }) => !curveDoubts.has(code)),
    })),
  );
  if (summary !== "") say(`${summary} stripcurve check lists each with its reason.`);
  const count = findingLines(ofCurves).length;
  if (count > 0)
    say(
      `${capitalized(counted(count, summary === "" ? "thing" : "more thing"))} ${count === 1 ? "is" : "are"} doubtful in what was fitted. The report lists ${count === 1 ? "it" : "them"}, and so does findings.csv, which stripcurve fit --csv writes.`,
    );
}

/** Why there is no answer, as far as the findings say it. */
export function sayNoAnswer({ findings }: Result): void {
  const stops = findingLines(findings.filter((finding) => finding.severity === "stops"));
  const told = stops.slice(0, 5).map((line) => `\n  ${line}`);
  const more = stops.length > 5 ? `\n  and ${stops.length - 5} more; stripcurve check lists them` : "";
  const why = told.length === 0 ? " They do not show how yield follows the rate." : "";
  say(`These strips give no answer.${why}${told.join("")}${more}`);
}

/** Whether a stream shows colours: a terminal that was not asked to do without (no-color.org). */
const showsColour = (stream: NodeJS.WriteStream): boolean =>
  stream.isTTY === true && !process.env["NO_COLOR"] && process.env["TERM"] !== "dumb";

/** The looks of a text that goes to a file, or to standard output and perhaps a terminal. */
export const styleFor = (output: string): TextStyle =>
  output === standardStream && showsColour(process.stdout) ? colouredTextStyle : plainTextStyle;

/** One line on a terminal that says what long work is at; silent elsewhere and with `--quiet`. */
export class Progress {
  readonly #shown: boolean;

  constructor(quiet: boolean) {
    this.#shown = !quiet && process.stderr.isTTY === true && process.env["TERM"] !== "dumb";
  }

  /** What begins now. */
  at(step: string): void {
    if (this.#shown) process.stderr.write(`\r\u001b[K${plainText(step)} …`);
  }

  /** The same for a step of the analysis. */
  readonly analysis = (step: AnalysisStep): void => this.at(analysisSteps[step]);

  /** Takes the line away again. */
  done(): void {
    if (this.#shown) process.stderr.write("\r\u001b[K");
  }
}
