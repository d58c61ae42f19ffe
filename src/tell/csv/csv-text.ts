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

/** Enough for any use, few enough that a unit's conversion leaves no tail of nines. */
const tidyNumber = (value: Cell): Cell => (typeof value === "number" ? Number(value.toPrecision(10)) : value);

/**
 * Rows as CSV (RFC 4180, header first). Text that a spreadsheet would run as a formula gets an apostrophe before it,
 * where semicolons part cells too.
 *
 * @example csvText([{ header: "variety", cell: (row) => row }], ["=cmd"]) // "variety\r\n\"'=cmd\"\r\n"
 */
export const csvText = <Row>(columns: readonly Column<Row>[], rows: Iterable<Row>): string =>
  [...csvPieces(columns, rows)].join("");

/** Rows that are worth a piece of text. */
const rowsInPiece = 1000;

/** The same a piece at a time, and each row made when its turn comes: a million rows at once would fill the memory. */
export function* csvPieces<Row>(columns: readonly Column<Row>[], rows: Iterable<Row>): Generator<string> {
  const lines = (data: Cell[][]): string =>
    `${Papa.unparse(data, { escapeFormulae: formula, newline: "\r\n" })}\r\n`;
  yield lines([columns.map((column) => column.header)]);
  let piece: Cell[][] = [];
  for (const row of rows) {
    piece.push(columns.map((column) => guarded(tidyNumber(column.cell(row)))));
    if (piece.length < rowsInPiece) continue;
    yield lines(piece);
    piece = [];
  }
  if (piece.length > 0) yield lines(piece);
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
