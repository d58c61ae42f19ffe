/** What every message about the trial has in common. */
import type { Finding, Severity } from "../vocabulary/trial.ts";

/** Where a finding points; a field that is left out means that it concerns more than one place. */
export type Whereabouts = Partial<Pick<Finding, "file" | "row" | "column" | "value">>;

/** One finding, complete. */
export const finding = (
  severity: Severity,
  code: string,
  message: string,
  where: Whereabouts = {},
): Finding => ({
  code,
  severity,
  file: where.file ?? null,
  row: where.row ?? null,
  column: where.column ?? null,
  value: where.value ?? null,
  message,
});

const rank: Record<Severity, number> = { stops: 0, doubt: 1, note: 2 };

const textOrder = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/** Most serious first, then by file, row, column and code; those that concern no single file come last. */
export function sortFindings(findings: readonly Finding[]): Finding[] {
  return [...findings].sort(
    (a, b) =>
      rank[a.severity] - rank[b.severity] ||
      Number(a.file === null) - Number(b.file === null) ||
      textOrder(a.file ?? "", b.file ?? "") ||
      (a.row ?? 0) - (b.row ?? 0) ||
      textOrder(a.column ?? "", b.column ?? "") ||
      textOrder(a.code, b.code) ||
      textOrder(a.message, b.message),
  );
}
