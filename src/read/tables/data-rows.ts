/** The rows of a table one by one: strips apart from totals and remarks, and what keeps a row from being read. */
import {
  columnWithoutName,
  noRows,
  rowCutOff,
  rowRepeatsHeader,
  rowsSkipped,
  rowTooLong,
} from "../../messages/reading.ts";
import type { Finding } from "../../vocabulary/trial.ts";
import { isBlank } from "./csv-rows.ts";
import { kept } from "../../maths/kept.ts";
import { filledCells } from "./locate.ts";
import { isSummaryText } from "./summary-rows.ts";
import type { TableFile } from "./table-kind.ts";

/** Every row below the header that is not blank; `last` for the very last line of the file. Says so when there is none. */
export function forEachDataRow<Name extends string>(
  table: TableFile<Name>,
  take: (cells: string[], row: number, last: boolean) => void,
): void {
  let any = false;
  let waiting: string[] | null = null;
  let waitingRow = 0;
  table.rows.forEach((cells, row) => {
    if (row <= table.headerRow) return;
    if (waiting !== null) take(waiting, waitingRow, false);
    waiting = isBlank(cells) || isAside(table, cells, row) ? null : cells;
    waitingRow = row;
    any ||= waiting !== null;
    if (table.nameless.length > 0) noticeNameless(table, cells, row);
  });
  if (waiting !== null) take(waiting, waitingRow, true);
  if (!any) table.findings.push(noRows(table.rows.file));
  if (table.skipped.length > 0) table.findings.push(rowsSkipped(table.rows.file, table.skipped));
}

/** The column whose cells may say that a row is of totals. */
export const groupName = "block";

/** Whether a row is of totals or a remark below the table, and no strip: listed together, and not counted as read. */
function isAside<Name extends string>(
  table: TableFile<Name>,
  cells: readonly string[],
  row: number,
): boolean {
  const { own, key, group, isSummary } = table.asides;
  const bare = key.some((index) => (cells[index] ?? "").trim() === "");
  const sums = (index: number): boolean => {
    const text = cells[index] ?? "";
    return kept(isSummary, text, () => isSummaryText(text));
  };
  // Blocks may be called N and SE.
  const ofGroup = group !== null && (cells[group] ?? "").trim().length > 2 && sums(group);
  if (!bare && !ofGroup && !sums(key[0] ?? -1)) return false;
  const filled = filledCells(cells.slice(0, own));
  const [first] = filled;
  if (first === undefined) return false;
  const isTotal = ofGroup || filled.slice(0, 3).some(({ text }) => isSummaryText(text));
  // A row that ends early may be cut off: a remark it is where it holds a sentence.
  const asWords = cells.length >= own ? /\s/ : /\S\s+\S+\s+\S/;
  const isRemark = filled.length === 1 && own >= 4 && asWords.test(first.text) && first.text.length > 12;
  if (!isTotal && !isRemark) return false;
  if (table.skipped.at(-1)?.row !== row)
    table.skipped.push({ row, text: first.text, mayBeStrip: !bare && !ofGroup });
  return true;
}

/** Says once of a column without a name that there is something in it. */
function noticeNameless<Name extends string>(
  table: TableFile<Name>,
  cells: readonly string[],
  row: number,
): void {
  table.nameless = table.nameless.filter((index) => {
    const value = cells[index] ?? "";
    if (value.trim() === "") return true;
    table.findings.push(columnWithoutName(table.rows.file, row, index, value));
    return false;
  });
}

/** What keeps a row from being read at all: the wrong number of cells, or the header once more. Null where nothing does. */
export function rowFault<Name extends string>(
  { rows: { file, endsWhole }, headers }: TableFile<Name>,
  cells: readonly string[],
  row: number,
  last: boolean,
): Finding | null {
  const { length } = cells;
  if (length > headers.length && cells.some((cell, index) => index >= headers.length && cell.trim() !== "")) {
    return rowTooLong({ file, row }, length, headers.length);
  }
  if (length < headers.length)
    return last && !endsWhole ? rowCutOff({ file, row }, length, headers.length) : null;
  return cells[0] === headers[0] && headers.every((header, index) => header === cells[index])
    ? rowRepeatsHeader({ file, row })
    : null;
}
