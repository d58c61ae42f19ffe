/** A table that lies on its side, names below one another and a strip in each column → one that stands. */
import { tableOnItsSide } from "../../messages/reading.ts";
import { isBlank } from "./csv-rows.ts";
import { filledCells, textAlone, type HeaderKind } from "./locate.ts";
import { gridSheet, type Sheet } from "./sheet.ts";

/** A table on its side has a row for each thing that was noted, and few are. */
const mostRows = 60;
/** Columns from the left among which the names are looked for. */
const columnsLookedAt = 3;

/** `0` → `A`, `27` → `AB`. */
const columnLetter = (index: number): string =>
  (index < 26 ? "" : columnLetter(Math.floor(index / 26) - 1)) + String.fromCharCode(65 + (index % 26));

/**
 * The sheet itself; or, where no row names two columns and a column names them all, the sheet turned: rows with one filled cell first, as
 * its titles, then the names, then a row for each further column.
 *
 * @param kinds  what the names may be of
 */
export function upright(sheet: Sheet, kinds: readonly HeaderKind[]): Sheet {
  const names = (cells: readonly string[]): boolean =>
    kinds.some((kind) => kind.isHeader(cells) || kind.isSpread(cells));
  const rows: string[][] = [];
  let stands = false;
  sheet.forEach((cells, row) => {
    if (isBlank(cells)) return;
    stands ||= rows.length === mostRows || kinds.some((kind) => kind.known(cells) > 1) || names(cells);
    rows.push(filledAcross(sheet, cells, row));
    return !stands;
  });
  if (stands) return sheet;
  const at = Array.from({ length: columnsLookedAt }, (_, index) => index).find((index) =>
    names(rows.map((cells) => cells[index] ?? "")),
  );
  if (at === undefined) return sheet;
  const groups = groupsOf(rows, at);
  const [first] = groups;
  if (first === undefined) return sheet;
  const grid = groups.flatMap(({ titles, lines }) => {
    const width = Math.max(...lines.map((cells) => cells.length));
    const strips = Array.from({ length: width - at }, (_, index) =>
      lines.map((cells) => (cells[at + index] ?? "").trim()),
    );
    // An empty row parts one table from the next.
    return [...titles.map((title) => [title]), ...strips, ...(groups.length > 1 ? [[]] : [])];
  });
  const { file, source, tab, usualMark, certainMark, findings } = sheet;
  const told = tableOnItsSide(file, columnLetter(at), first.titles.length + 2, columnLetter(at + 1));
  return { ...gridSheet({ file, source, tab }, grid), usualMark, certainMark, findings: [...findings, told] };
}

/** Rows of one table after the other: another begins where a name comes again, with the rows of one filled cell above it. */
function groupsOf(rows: readonly string[][], at: number): { titles: string[]; lines: string[][] }[] {
  const groups: { titles: string[]; lines: string[][] }[] = [];
  let titles: string[] = [];
  let had = new Set<string>();
  for (const cells of rows) {
    const title = textAlone(filledCells(cells));
    if (title !== null) {
      titles.push(title);
      continue;
    }
    const name = (cells[at] ?? "").trim().toLowerCase();
    if (groups.length === 0 || had.has(name)) {
      groups.push({ titles, lines: [] });
      [titles, had] = [[], new Set()];
    }
    groups.at(-1)!.lines.push(cells);
    had.add(name);
  }
  groups.at(-1)?.titles.push(...titles);
  return groups;
}

/** A row with the text of merged cells in each of their columns. */
function filledAcross({ merged }: Sheet, cells: readonly string[], row: number): string[] {
  const filled = [...cells];
  for (const { firstRow, lastRow, firstColumn, lastColumn } of merged) {
    if (row < firstRow || row > lastRow) continue;
    for (let column = firstColumn + 1; column <= lastColumn; column++)
      if ((filled[column] ?? "") === "") filled[column] = filled[firstColumn] ?? "";
  }
  return Array.from(filled, (cell) => cell ?? "");
}
