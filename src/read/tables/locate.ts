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

/** The text of a row where it is the only one, null beside others. */
export const textAlone = ([cell, other]: TitleRow["cells"]): string | null =>
  cell === undefined || other !== undefined ? null : cell.text;

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
  const finder = new TableFinder(kind, most);
  sheet.forEach((cells, row) => finder.look(cells, row));
  return finder.found();
}

/** Looks at one row of a sheet after another, from the top. */
class TableFinder {
  readonly #kind: HeaderKind;
  readonly #most: number;
  readonly #places: TablePlace[] = [];
  /** What may be a header where nothing looks like one, and how many columns it names. */
  #best: { place: TablePlace; known: number } | null = null;
  /** Rows looked at before the first header. */
  #looked = 0;
  /** Since the last row of strips. */
  #titles: TitleRow[] = [];
  /** Whether the row above is empty. */
  #gap = false;
  /** Whether the last table, or its last part, has strips. */
  #hasRows = false;
  /** Whether a row above the first strips of the last table names their field. */
  #namedFields = false;

  constructor(kind: HeaderKind, most: number) {
    this.#kind = kind;
    this.#most = most;
  }

  /** False where no further row need be looked at. */
  look(cells: string[], row: number): boolean {
    if (isBlank(cells)) {
      this.#gap = true;
      return true;
    }
    const current = this.#places.at(-1);
    if (current === undefined && ++this.#looked > rowsLookedAt) return false;
    const apart = current === undefined || this.#gap || this.#titles.length > 0;
    const isNumeric = holdsNumber(cells);
    if (this.#isHeader(cells, current, apart, isNumeric)) {
      this.#beginTable(cells, row);
      return this.#places.length < this.#most;
    }
    if (!apart && holdsSeveral(cells)) {
      this.#noteStrips(cells, isNumeric);
      return true;
    }
    if (current === undefined) this.#noteBest(cells, row);
    const filled = filledCells(cells);
    if (!mayBeTitle(cells, filled, apart)) {
      if (current !== undefined && this.#places.length < mostParts) this.#beginPart(current);
      this.#titles = [];
      this.#noteStrips(cells, isNumeric);
    } else if (this.#titles.length < mostTitles) this.#titles.push({ row, cells: filled });
    this.#gap = false;
    return true;
  }

  /** The tables; what may be one where no row looks like a header. */
  found(): TablePlace[] {
    const last = this.#places.at(-1);
    if (last === undefined) return this.#best === null ? [] : [this.#best.place];
    if (this.#titles.length > 0) last.below = this.#titles;
    return this.#places;
  }

  /** @param apart  whether the row is below titles, an empty row or nothing */
  #isHeader(
    cells: readonly string[],
    current: TablePlace | undefined,
    apart: boolean,
    isNumeric: boolean,
  ): boolean {
    if (isNumeric) return apart && this.#kind.isSpread(cells);
    const names = this.#kind.isHeader(cells) || this.#kind.isSpread(cells);
    return names && (apart || !sameCells(cells, current!.headers));
  }

  #beginTable(cells: readonly string[], row: number): void {
    const before = this.#places.at(-1);
    if (before !== undefined) before.lastRow = (this.#titles[0]?.row ?? row) - 1;
    this.#places.push(tableFrom(cells, row, this.#titles));
    this.#titles = [];
    this.#gap = false;
    this.#hasRows = false;
    this.#namedFields = false;
  }

  #noteBest(cells: readonly string[], row: number): void {
    const known = this.#kind.known(cells);
    if (this.#best === null || known > this.#best.known)
      this.#best = { known, place: tableFrom(cells, row, [...this.#titles]) };
  }

  #noteStrips(cells: readonly string[], isNumeric: boolean): void {
    this.#hasRows ||= isNumeric || cells.some(beginsWithDigit);
  }

  /** Begins a part of the table where titles name one; above its first strips they name its first part. */
  #beginPart(table: TablePlace): void {
    const dataAfter = this.#partNamed(table).at(-1)?.row;
    const [title] = this.#titles;
    if (title === undefined || dataAfter === undefined) return;
    if (this.#hasRows) {
      const { headerRow, headers } = table;
      table.lastRow = title.row - 1;
      this.#places.push({ headerRow, headers, dataAfter, lastRow: Infinity, titles: this.#titles });
    } else {
      table.titles.push(...this.#titles);
      table.dataAfter = dataAfter;
    }
  }

  /** Titles that name a part; names of fields only where the first strips of the table have one above them. */
  #partNamed(table: TablePlace): TitleRow[] {
    const part = partNamed(this.#titles, table, this.#kind.namesPart);
    if (part.length > 0 || (this.#hasRows && !this.#namedFields)) return part;
    const field = partNamed(this.#titles, table, this.#kind.namesField);
    this.#namedFields ||= field.length > 0;
    return field;
  }
}

const tableFrom = (headers: readonly string[], row: number, titles: TitleRow[]): TablePlace => ({
  headerRow: row,
  headers: [...headers],
  dataAfter: row,
  lastRow: Infinity,
  titles,
});

/** Whether a row that is no header may be a title or a remark, rather than strips. */
function mayBeTitle(cells: readonly string[], filled: TitleRow["cells"], apart: boolean): boolean {
  const numbers = numbersIn(filled);
  const standsAlone = filled.length === 1 && numbers === 0;
  if (!apart && !standsAlone) return false;
  return filled.length <= mostTitleCells ? numbers <= 1 : !cells.some(beginsWithDigit);
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
): TitleRow[] =>
  titles.filter(({ cells }) => {
    const text = textAlone(cells);
    return text !== null && names(headers, text);
  });

const year = /^(?:19[89]\d|20\d\d)$/;
/** Parts of tables in one sheet. */
const mostParts = 500;

const numbersIn = (cells: TitleRow["cells"]): number =>
  cells.filter(({ text }) => !year.test(text) && !Number.isNaN(readNumber(text, "point"))).length;

const sameCells = (one: readonly string[], other: readonly string[]): boolean =>
  one.every((cell, index) => cell.trim() === (other[index] ?? "").trim());
