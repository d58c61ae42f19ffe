/** Text of a CSV file → its rows, in one pass and little memory. */
import Papa from "papaparse";
import { quotesBroken } from "../../messages/reading.ts";

export type Delimiter = "," | ";" | "\t" | "|";
const delimiters: Delimiter[] = [",", ";", "\t", "|"];

/** So many characters are taken apart at a time: few rows are alive at once, and they die young. */
export const pieceCharacters = 1 << 18;

/**
 * The text with `\n` as its only line end and without the `sep=;` line that spreadsheets put first and do not show.
 */
export function plainLines(text: string): { text: string; delimiter: Delimiter | null } {
  const lines = text.includes("\r") ? text.replaceAll("\r\n", "\n").replaceAll("\r", "\n") : text;
  const mark = /^"?sep=([,;\t|])"?\n/i.exec(lines);
  return mark === null
    ? { text: lines, delimiter: null }
    : { text: lines.slice(mark[0].length), delimiter: mark[1] as Delimiter };
}

/** After so many rows the text goes on at `offset`. */
export interface RowStart {
  row: number;
  offset: number;
}

/** Whether a row has nothing but spaces in its cells. */
export const isBlank = (cells: readonly string[]): boolean => {
  for (const cell of cells) if (cell !== "" && cell.trim() !== "") return false;
  return true;
};

/** Rows among which the header is looked for; titles may stand above it. */
const rowsLookedAt = 60;

function firstRows(beginning: string, delimiter: Delimiter): string[][] {
  const { data } = Papa.parse<string[]>(beginning, { delimiter, newline: "\n", preview: rowsLookedAt });
  return data.filter((cells) => !isBlank(cells));
}

/**
 * Comma, semicolon, tab or bar: the one under which most headers of a row are known, else the one that makes most columns.
 *
 * @param known  how many of the headers are known
 */
export function findDelimiter(text: string, known: (headers: string[]) => number): Delimiter {
  const beginning = text.slice(0, 65_536);
  let best: Delimiter = ",";
  let bestScore = -1;
  for (const delimiter of delimiters.filter((one) => beginning.includes(one))) {
    const rows = firstRows(beginning, delimiter);
    const score =
      Math.max(0, ...rows.map(known)) * 1000 +
      Math.min(Math.max(0, ...rows.map(({ length }) => length)), 999);
    if (score > bestScore) [best, bestScore] = [delimiter, score];
  }
  return best;
}

/**
 * Calls `take` with each row and its number, the first line being row 1. Blank rows count and are passed on.
 *
 * RFC 4180 quoting, line ends inside quotes included. The text is taken apart in pieces that end with a line; a piece that
 * ends inside quotation marks is taken again twice as long, so time stays linear whatever is in the file.
 *
 * @param take  gets the cells and the row; returns false to stop early
 * @param starts  where pieces begin, as far as earlier passes went: filled, and used to begin near row `after`
 * @param after  only rows below it
 * @throws TrialError `quotes-broken` where a quote is not closed or closed in the middle of a cell: rows would be lost
 */
export function forEachRow(
  file: string,
  text: string,
  delimiter: Delimiter,
  take: (cells: string[], row: number) => boolean | void,
  starts: RowStart[] = [],
  after = 0,
): void {
  const known = starts.findLast((start) => start.row <= after) ?? { row: 0, offset: 0 };
  let { row } = known;
  let length = pieceCharacters;
  for (let start = known.offset; start < text.length;) {
    if (row > (starts.at(-1)?.row ?? 0)) starts.push({ row, offset: start });
    const end = lineEnd(text, start + length);
    const { data, errors } = Papa.parse<string[]>(text.slice(start, end), { delimiter, newline: "\n" });
    const fault = errors.find((error) => error.type === "Quotes");
    if (fault !== undefined) {
      const mayClose = fault.code === "MissingQuotes" && end < text.length;
      if (!mayClose) throw quotesBroken(file, row + (fault.row ?? 0) + 1);
      length *= 2;
      continue;
    }
    for (const cells of data) if (++row > after && take(cells, row) === false) return;
    start = end + 1;
    length = pieceCharacters;
  }
}

/** Where the line ends that a place lies in. */
function lineEnd(text: string, place: number): number {
  const end = place < text.length ? text.indexOf("\n", place) : -1;
  return end === -1 ? text.length : end;
}
