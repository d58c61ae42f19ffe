/** Findings as a person reads them: where, then what. */
import type { Finding, Severity } from "../../vocabulary/trial.ts";

export const severityWords: Record<Severity, { word: string; meaning: string }> = {
  stops: { word: "Left out", meaning: "not used" },
  doubt: { word: "Doubtful", meaning: "used, but worth a look" },
  note: { word: "Good to know", meaning: "used as it is" },
};

/** "strips-2026.csv, row 14, column yield" as far as it is known. */
export const placeText = (finding: Finding): string =>
  [
    finding.file,
    finding.row === null ? null : `row ${finding.row}`,
    finding.column === null ? null : `column ${finding.column}`,
  ]
    .filter((part) => part !== null)
    .join(", ");
