/** Findings as lines: where, then what. */
import type { Finding, Severity } from "../../vocabulary/trial.ts";
import type { Result } from "../../vocabulary/result.ts";
import { plainLine } from "../plain-text.ts";
import { causesOf, placeText, severityWords, type Cause } from "../wording/findings.ts";
import { fixed, plainStyle } from "../../numbers/written-numbers.ts";
import type { TextStyle } from "./text-table.ts";

/** A cause with its rows on one line, made harmless for a terminal. */
const causeLine = (cause: Cause): string => {
  const { finding } = cause;
  const place = finding.file === null ? "" : placeText(cause);
  return plainLine(place === "" ? finding.message : `${place}: ${finding.message}`);
};

/** Findings as lines, one for each cause. */
export const findingLines = (findings: readonly Finding[]): string[] => causesOf(findings).map(causeLine);

const looks: [Severity, keyof TextStyle][] = [
  ["stops", "alarm"],
  ["doubt", "warning"],
  ["note", "heading"],
];

/** All findings, most serious first, one line each under a heading with their number. */
export function findingSections(findings: readonly Finding[], style: TextStyle): string[] {
  return looks.flatMap(([severity, look]) => {
    const lines = findingLines(findings.filter((finding) => finding.severity === severity));
    if (lines.length === 0) return [];
    const { word, meaning } = severityWords[severity];
    return [
      [style[look](`${word}: ${meaning} (${lines.length})`), ...lines.map((line) => `  ${line}`)].join("\n"),
    ];
  });
}

/**
 * One sentence on what is left out and doubtful; "" where nothing is.
 *
 * @example "4 rows are left out; 1 thing is doubtful."
 */
export function findingsSummary(results: readonly Pick<Result, "rows" | "findings">[]): string {
  const sum = (count: (one: Pick<Result, "rows" | "findings">) => number): number =>
    results.reduce((all, one) => all + count(one), 0);
  const doubts = sum(
    ({ findings }) => causesOf(findings.filter(({ severity }) => severity === "doubt")).length,
  );
  const leftOut = sum(({ rows }) => rows.leftOut);
  const are = (count: number, noun: string): string =>
    `${fixed(count, 0, plainStyle)} ${count === 1 ? `${noun} is` : `${noun}s are`}`;
  const lotsLeftOut =
    sum(({ findings }) => findings.filter(({ code }) => code.startsWith("row-")).length) - leftOut;
  const parts = [
    ...(leftOut > 0 ? [`${are(leftOut, "row")} left out`] : []),
    ...(lotsLeftOut > 0 ? [`${are(lotsLeftOut, "lot")} left out`] : []),
    ...(doubts > 0 ? [`${are(doubts, "thing")} doubtful`] : []),
  ];
  return parts.length === 0 ? "" : `${parts.join("; ")}.`;
}
