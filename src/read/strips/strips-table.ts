/** Rows of one strips file → strips, with a finding for every row and value that is not used. */
import type { Settings, UnitChoice } from "../../vocabulary/settings.ts";
import type { Finding, ReadColumn, Strip } from "../../vocabulary/trial.ts";
import type { Answers } from "../answers/answers.ts";
import type { TextKeeper } from "../tables/cells.ts";
import type { StripColumnName } from "./columns.ts";
import { StripReader } from "./strip-reader.ts";
import { forEachDataRow, rowFault } from "../tables/data-rows.ts";
import type { TableFile } from "../tables/table-kind.ts";

/** What came of one file. */
export interface StripsRead {
  rows: number;
  columns: ReadColumn[];
  findings: Finding[];
  /** Varieties whose rates by weight became seeds with the figures of their lot. */
  lotsUsed: ReadonlySet<string>;
}

/**
 * Appends the strips of a table to `strips`.
 *
 * @throws TrialError `unit-unclear` if no rate, or no yield, is in a clear unit; `number-ambiguous`; `quotes-broken`
 */
export function readStripsTable(
  table: TableFile<StripColumnName>,
  settings: Settings,
  units: UnitChoice,
  answers: Answers,
  texts: TextKeeper,
  strips: Strip[],
): StripsRead {
  const reader = new StripReader(table, settings, units, answers, texts);
  const before = strips.length;
  let rows = 0;
  forEachDataRow(table, (cells, row, last) => {
    rows++;
    const fault = rowFault(table, cells, row, last);
    const strip = fault === null ? reader.read(cells, row) : null;
    if (fault !== null) reader.findings.push(fault);
    if (strip !== null) strips.push(strip);
  });
  reader.holdLodging(strips.slice(before));
  reader.finish();
  return {
    rows,
    columns: reader.columnsRead(),
    findings: [...table.findings, ...reader.findings],
    lotsUsed: reader.lotsUsed,
  };
}
