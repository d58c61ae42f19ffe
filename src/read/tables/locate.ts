/** Where the tables stand in a sheet: titles, notes and totals around them are no strips. */
import { isBlank } from "./csv-rows.ts";
import type { Sheet } from "./sheet.ts";
import { readNumber } from "../units/numbers.ts";

/** Tells rows that hold names of columns. */
export interface HeaderKind {
  /** How many cells name a column. */
  known(cells: readonly string[]): number;
  /** Whether they name enough for a table. */
  isHeader(cells: readonly string[]): boolean;
  /** Whether they name enough with rates or the like among them: `Variety, Rep, 800000, 1100000`. */
  isSpread(cells: readonly string[]): boolean;
  /** Whether a text alone in a row among strips names for those below it what the header does not: `2026 harvest`. */
  namesPart(headers: readonly string[], text: string): boolean;
  /** The same of a field: only where the first strips have such a row above them, since remarks look alike. */
  namesField(headers: readonly string[], text: string): boolean;
}

/** A row above a table: its cells with their places. */
export interface TitleRow {
  row: number;
  cells: { index: number; text: string }[];
}

/** A table: names of columns in `headerRow`, strips in the rows below it up to `lastRow`. */
export interface TablePlace {
  headerRow: number;
  headers: string[];
  /** Its strips are below this row: of the header, or of what names its part of a longer table. */
  dataAfter: number;
  lastRow: number;
  /** What stands above it and below the table before. */
  titles: TitleRow[];
  /** Of the last table of a sheet: what stands below it, and is no strip. */
  below?: TitleRow[];
}

/** Rows from the top among which the first header is looked for. */
const rowsLookedAt = 60;
/** Rows with more filled cells are no titles if any of them begins with a digit. */
const mostTitleCells = 4;
/** Titles kept for a table. */
const mostTitles = 60;

/** The cells of a row that hold anything, with their places. */
export const filledCells = (cells: readonly string[]): TitleRow["cells"] =>
  cells.flatMap((text, index) => (text.trim() === "" ? [] : [{ index, text: text.trim() }]));

const [minus, point, zero, nine] = [45, 46, 48, 57];

/** A row with a plain number in it is no header, which settles most rows at the first look. */
const holdsNumber = (cells: readonly string[]): boolean => {
  for (const cell of cells) {
    const first = cell.charCodeAt(0);
    const mayBeNumber = first === minus || first === point || (first >= zero && first <= nine);
    if (!mayBeNumber) continue;
    const value = readNumber(cell, "point");
    if (value === value) return true;
  }
  return false;
};

/**
 * Finds the tables of a sheet, in one pass.
 *
 * The first header is the first of the topmost rows that names enough columns, else the one that names most. Another table
 * begins where such a row comes again with other names, or below titles or an empty row.
 *
 * @param most  enough tables: what is below is not looked at
 * @returns none for an empty sheet; the first non-blank row is the header where nothing looks like one
 */
export function locateTables(sheet: Sheet, kind: HeaderKind, most = Infinity): TablePlace[] {
  const places: TablePlace[] = [];
  let titles: TitleRow[] = [];
  let gap = false;
  let looked = 0;
  let hasRows = false;
  let namedFields = false;
  let best: { place: TablePlace; known: number } | null = null;
  sheet.forEach((cells, row) => {
    if (isBlank(cells)) {
      gap = true;
      return;
    }
    const current = places.at(-1);
    if (current === undefined && ++looked > rowsLookedAt) return false;
    const apart = current === undefined || gap || titles.length > 0;
    const isNumeric = holdsNumber(cells);
    const begins = isNumeric
      ? apart && kind.isSpread(cells)
      : (kind.isHeader(cells) || kind.isSpread(cells)) && (apart || !sameCells(cells, current.headers));
    if (begins) {
      if (current !== undefined) current.lastRow = (titles[0]?.row ?? row) - 1;
      places.push({ headerRow: row, headers: [...cells], dataAfter: row, lastRow: Infinity, titles });
      [titles, gap, hasRows, namedFields] = [[], false, false, false];
      return places.length < most;
    }
    if (!apart && holdsSeveral(cells)) {
      hasRows ||= isNumeric || cells.some(beginsWithDigit);
      return;
    }
    if (current === undefined) {
      const known = kind.known(cells);
      if (best === null || known > best.known)
        best = {
          known,
          place: {
            headerRow: row,
            headers: [...cells],
            dataAfter: row,
            lastRow: Infinity,
            titles: [...titles],
          },
        };
    }
    const filled = filledCells(cells);
    const numbers = numbersIn(filled);
    const standsAlone = filled.length === 1 && numbers === 0;
    const mayBeTitle = current === undefined || gap || titles.length > 0 || standsAlone;
    const isTitle =
      mayBeTitle && (filled.length <= mostTitleCells ? numbers <= 1 : !cells.some(beginsWithDigit));
    if (!isTitle) {
      const mayPart = current !== undefined && places.length < mostParts;
      let part = mayPart ? partNamed(titles, current, kind.namesPart) : [];
      if (mayPart && part.length === 0 && (!hasRows || namedFields)) {
        part = partNamed(titles, current, kind.namesField);
        namedFields ||= part.length > 0;
      }
      if (part.length > 0 && hasRows) {
        const { headerRow, headers } = current!;
        current!.lastRow = titles[0]!.row - 1;
        places.push({ headerRow, headers, dataAfter: part.at(-1)!.row, lastRow: Infinity, titles });
      } else if (part.length > 0) {
        current!.titles.push(...titles);
        current!.dataAfter = part.at(-1)!.row;
      }
      titles = [];
      hasRows ||= isNumeric || cells.some(beginsWithDigit);
    } else if (titles.length < mostTitles) titles.push({ row, cells: filled });
    gap = false;
    return;
  });
  if (places.length > 0) {
    if (titles.length > 0) places.at(-1)!.below = titles;
    return places;
  }
  const found = best as { place: TablePlace } | null;
  return found === null ? [] : [found.place];
}

const beginsWithDigit = (cell: string): boolean => /^\s*\d/.test(cell);

/** Whether more than one cell holds anything, which finds rows of strips at the first look. */
function holdsSeveral(cells: readonly string[]): boolean {
  let filled = 0;
  for (const cell of cells) if (cell !== "" && cell.trim() !== "" && ++filled > 1) return true;
  return false;
}

/** Rows that stand alone and name what the header of the table does not. */
const partNamed = (
  titles: readonly TitleRow[],
  { headers }: TablePlace,
  names: HeaderKind["namesPart"],
): TitleRow[] => titles.filter(({ cells }) => cells.length === 1 && names(headers, cells[0]!.text));

const year = /^(?:19[89]\d|20\d\d)$/;
/** Parts of tables in one sheet. */
const mostParts = 500;

const numbersIn = (cells: TitleRow["cells"]): number =>
  cells.filter(({ text }) => !year.test(text) && !Number.isNaN(readNumber(text, "point"))).length;

const sameCells = (one: readonly string[], other: readonly string[]): boolean =>
  one.every((cell, index) => cell.trim() === (other[index] ?? "").trim());
