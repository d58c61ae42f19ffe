/** A file as a table: its header understood, its rows one by one. */
import {
  columnIgnored,
  columnMissing,
  columnWithoutName,
  decodedAs,
  fileEmpty,
  noRows,
  rowCutOff,
  rowRepeatsHeader,
  rowTooLong,
} from "../../messages/reading.ts";
import type { Finding } from "../../vocabulary/trial.ts";
import type { Column } from "../strips/columns.ts";
import { findDelimiter, forEachRow, isBlank, plainLines } from "./csv-rows.ts";
import { decodeText } from "./decode.ts";
import { detached } from "./detached.ts";
import type { HeaderReader, FileColumn } from "./headers.ts";
import type { InputFile } from "./input-file.ts";
import type { DecimalMark } from "../units/numbers.ts";

/** Rows of cells, wherever they come from. */
export interface Rows {
  file: string;
  /** Decimal mark that goes without saying unless numbers give away the other, null where there is none. */
  usualMark: DecimalMark | null;
  /** Decimal mark beyond doubt, null where numbers have to be looked at. */
  certainMark: DecimalMark | null;
  /** Whether the last row has a line end, so that it cannot be half a row. */
  endsWhole: boolean;
  findings: Finding[];
  /** Every row with its number as a spreadsheet shows it; false stops. */
  forEach(take: (cells: string[], row: number) => boolean | void): void;
}

export interface TableFile<Name extends string> {
  rows: Rows;
  headers: string[];
  headerRow: number;
  columns: FileColumn<Name>[];
  /** Places of columns without a name that have had no value so far. */
  nameless: number[];
  findings: Finding[];
}

/**
 * Rows of a CSV file.
 *
 * @param known  how many headers are known: tells the delimiter
 * @throws TrialError as `decodeText` does
 */
export function csvRows(file: InputFile, known: (headers: string[]) => number): Rows {
  const { text: decoded, encoding } = decodeText(file.bytes, file.name);
  const { text, delimiter: told } = plainLines(decoded);
  const delimiter = told ?? findDelimiter(text, known);
  return {
    file: file.name,
    usualMark: delimiter === "," ? "point" : null,
    // Without quotation marks no cell between commas can hold a decimal comma.
    certainMark: delimiter === "," && !text.includes('"') ? "point" : null,
    endsWhole: text.endsWith("\n"),
    findings: encoding === "windows-1252" ? [decodedAs(file.name, "Windows-1252")] : [],
    forEach: (take) => forEachRow(file.name, text, delimiter, take),
  };
}

/** Beyond so many unknown headers a file is not misspelt but of another kind, and guessing takes long. */
const mostGuesses = 100;

/**
 * Finds and reads the header: the first row that is not blank.
 *
 * @param mustUnderstand  columns whose unit has to be known, or the file is refused
 * @throws TrialError `file-empty`, `column-missing`, and as `HeaderReader.read` does
 */
export function readHeader<Name extends string>(
  rows: Rows,
  reader: HeaderReader<Name>,
  needed: readonly Column<Name>[],
  mustUnderstand: ReadonlySet<string>,
): TableFile<Name> {
  let headers: string[] | null = null;
  let headerRow = 0;
  rows.forEach((cells, row) => {
    if (isBlank(cells)) return true;
    [headers, headerRow] = [cells.map(detached), row];
    return false;
  });
  if (headers === null) throw fileEmpty(rows.file);
  const named: string[] = headers;
  const { columns, ignored, findings } = reader.read(rows.file, named, mustUnderstand);
  const taken = new Set<string>(columns.map(({ column }) => column.name));
  for (const { name, also } of needed) {
    if (taken.has(name)) continue;
    const near = ignored.find((header) => reader.nearest(header, taken) === name) ?? null;
    const likely = likelyHeaderRow(rows, reader, headerRow, columns.length);
    throw columnMissing(rows.file, name, also, named, near, likely);
  }
  const told = new Set(findings.map(({ column }) => column));
  const unknown = ignored.filter((header) => !told.has(header));
  return {
    rows,
    headers: named,
    headerRow,
    columns,
    nameless: named.flatMap((header, index) => (header.trim() === "" ? [index] : [])),
    findings: [
      ...rows.findings,
      ...findings,
      ...unknown.map((header, index) =>
        columnIgnored(rows.file, header, index < mostGuesses ? reader.nearest(header, taken) : null),
      ),
    ],
  };
}

/** A row among the first 30 that names more columns than the one taken for the header. */
export function likelyHeaderRow<Name extends string>(
  rows: Rows,
  reader: HeaderReader<Name>,
  headerRow: number,
  found: number,
): number | null {
  let likely: number | null = null;
  let most = Math.max(found, 1);
  rows.forEach((cells, row) => {
    const known = row > headerRow ? reader.known(cells) : 0;
    if (known > most) [likely, most] = [row, known];
    return row < headerRow + 30;
  });
  return likely;
}

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
    waiting = isBlank(cells) ? null : cells;
    waitingRow = row;
    any ||= waiting !== null;
    if (table.nameless.length > 0) noticeNameless(table, cells, row);
  });
  if (waiting !== null) take(waiting, waitingRow, true);
  if (!any) table.findings.push(noRows(table.rows.file));
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
