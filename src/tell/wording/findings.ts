/** Findings as a person reads them: where, then what. */
import type { Finding, Severity } from "../../vocabulary/trial.ts";

export const severityWords: Record<Severity, { word: string; meaning: string }> = {
  stops: { word: "Left out", meaning: "not used" },
  doubt: { word: "Doubtful", meaning: "used, but worth a look" },
  note: { word: "Good to know", meaning: "used as is" },
};

/** Findings of one cause: the first, and the rows and values of all. */
export interface Cause {
  finding: Finding;
  rows: number[];
  values: string[];
}

/** The message of a finding without the numbers of its row. */
const withoutNumbers = ({ row, message }: Finding): string =>
  row === null ? message : message.replace(/row \d+ of [^:]*:/g, "row:").replace(/\d[\d.,]*/g, "0");

/**
 * Findings that say the same about the same column of a file, put together as one cause, in the order of the first of each.
 */
export function causesOf(findings: readonly Finding[]): Cause[] {
  const causes = new Map<string, Cause>();
  for (const finding of findings) {
    const { code, severity, file, column } = finding;
    const key = JSON.stringify([severity, code, file, column, withoutNumbers(finding)]);
    let cause = causes.get(key);
    if (cause === undefined) causes.set(key, (cause = { finding, rows: [], values: [] }));
    // A row with rates or repetitions across is several strips.
    if (finding.row !== null && cause.rows.at(-1) !== finding.row) cause.rows.push(finding.row);
    if (finding.value !== null && !cause.values.includes(finding.value) && cause.values.length <= mostValues)
      cause.values.push(finding.value);
  }
  return [...causes.values()];
}

/** Rows and values shown of a cause. */
const mostRows = 4;
const mostValues = 3;

const rowsText = (rows: readonly number[]): string | null => {
  if (rows.length === 0) return null;
  if (rows.length === 1) return `row ${rows[0]}`;
  const shown = rows.slice(0, mostRows).join(", ");
  return `rows ${shown}${rows.length > mostRows ? " …" : ""} (${rows.length} rows)`;
};

const valuesText = (values: readonly string[]): string | null =>
  values.length === 0
    ? null
    : `“${values.slice(0, mostValues).join("”, “")}”${values.length > mostValues ? " …" : ""}`;

/** "strips-2026.csv, rows 14, 15 (2 rows), column yield, “hail”" as far as it is known. */
export const placeText = ({ finding: { file, column }, rows, values }: Cause): string =>
  [file, rowsText(rows), column === null ? null : `column ${column}`, valuesText(values)]
    .filter((part) => part !== null)
    .join(", ");

/** The place of one finding alone. */
export const placeOf = (finding: Finding): string => causesOf([finding]).map(placeText).join("");
