/** Tidy rows as CSV text that is safe to open in a spreadsheet. */
import Papa from "papaparse";

export type Cell = string | number | boolean | null;

export interface Column<Row> {
  header: string;
  cell: (row: Row) => Cell;
}

/**
 * A cell that a spreadsheet would take for a formula: it starts with = + - @, their full-width forms, a tab or a line
 * end, and is no plain number.
 */
const formula = /^(?![+-]?\d+(?:\.\d+)?(?:e[+-]?\d{1,3})?$)[=+\-@\t\r\n\uff0b\uff0d\uff1d\uff20]/;

/**
 * Where a spreadsheet that parts cells at semicolons or tabs would begin a cell, and the cell would be a formula: it pays
 * no heed to quotes that a cell does not begin with.
 */
const formulaInside =
  /(;|(?<!^)[\t\r\n])(?=["'\s]*[=+\-@\uff0b\uff0d\uff1d\uff20])(?!["'\s]*[+-]?[\d.,]+["'\s]*(?:;|$))/g;

const guarded = (value: Cell): Cell =>
  typeof value === "string" ? value.replaceAll(formulaInside, "$1'") : value;

/** Ten digits, without zeros at the end: enough for any use, few enough that a unit's conversion leaves no tail of nines. */
function tidyNumber(value: number): string {
  if (Number.isInteger(value) && Math.abs(value) < 1e10) return String(value);
  const text = value.toPrecision(10);
  if (!text.includes(".") || text.includes("e")) return String(Number(text));
  let end = text.length;
  while (text[end - 1] === "0") end--;
  return text.slice(0, text[end - 1] === "." ? end - 1 : end);
}

/**
 * Rows as CSV (RFC 4180, header first). Text that a spreadsheet would run as a formula gets an apostrophe before it,
 * where semicolons part cells too.
 *
 * @example csvText([{ header: "variety", cell: (row) => row }], ["=cmd"]) // "variety\r\n\"'=cmd\"\r\n"
 */
export const csvText = <Row>(columns: readonly Column<Row>[], rows: Iterable<Row>): string =>
  [...csvPieces(columns, rows)].join("");

/** Rows of a piece of text: so few that they are gone before the next ones are made. */
const rowsInPiece = 100;

/** Texts that are written out once for all their cells: the names of a table, but not its sentences. */
const mostKept = 10_000;

/** The header and the rows, each a line. Most cells are numbers, or names that come again and again. */
function* linesOf<Row>(columns: readonly Column<Row>[], rows: Iterable<Row>): Generator<string> {
  const written = new Map<string, string>();
  const textOf = (value: string): string =>
    Papa.unparse([[guarded(value)]], { escapeFormulae: formula, newline: "\r\n" });
  const cellOf = (value: Cell): string => {
    if (value === null) return "";
    if (typeof value === "number") return tidyNumber(value);
    if (typeof value === "boolean") return String(value);
    let text = written.get(value);
    if (text === undefined) {
      text = textOf(value);
      if (written.size < mostKept) written.set(value, text);
    }
    return text;
  };
  yield columns.map(({ header }) => cellOf(header)).join(",");
  for (const row of rows) yield columns.map((column) => cellOf(column.cell(row))).join(",");
}

/** The same a piece at a time, and each row made when its turn comes: a million rows at once would fill the memory. */
export function* csvPieces<Row>(columns: readonly Column<Row>[], rows: Iterable<Row>): Generator<string> {
  let piece = "";
  let count = 0;
  for (const line of linesOf(columns, rows)) {
    piece += `${line}\r\n`;
    if (++count % rowsInPiece > 0) continue;
    yield piece;
    piece = "";
  }
  if (piece !== "") yield piece;
}

/** The same guard for a table that a person typed: a mark alone, which stands for a missing value, is no formula. */
const typedFormula = /^(?![+-]?[\d.,]+ ?%?$)[=+\-@\t\r\n\uff0b\uff0d\uff1d\uff20][^]/;

/**
 * Rows of cells as text, in the dialect that they came in.
 *
 * @param delimiter  `;` where the numbers have a decimal comma
 */
export const gridText = (rows: readonly string[][], delimiter: "," | ";" = ","): string =>
  `${Papa.unparse(
    rows.map((row) => row.map(guarded)),
    { delimiter, escapeFormulae: typedFormula, newline: "\r\n" },
  )}\r\n`;
