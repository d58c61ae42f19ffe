/** The result as tidy CSV tables: one observation a row, in the person's units, safe to open in a spreadsheet. */
import type { Result } from "../../vocabulary/result.ts";
import { csvUnits, type CsvTable } from "./columns.ts";
import { decisionTables } from "./decision-tables.ts";
import { pooledTables } from "./pooled-tables.ts";
import { seasonTables } from "./season-tables.ts";
import { trialTables } from "./trial-tables.ts";

export type { CsvTable } from "./columns.ts";

/** All tables of a result that have rows, in a fixed order. */
export function csvTables(result: Result): CsvTable[] {
  const units = csvUnits(result);
  return [
    ...decisionTables(result, units),
    ...pooledTables(result, units),
    ...seasonTables(result, units),
    ...trialTables(result, units),
  ];
}
