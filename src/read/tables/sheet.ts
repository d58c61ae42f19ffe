/** A sheet: rows of cells, whether they came from a text file, a tab of a workbook, or were pasted. */
import type { Finding } from "../../vocabulary/trial.ts";
import type { DecimalMark } from "../units/numbers.ts";

/** Cells that were merged into one; rows and columns count from 1 and 0, both ends included. */
export interface MergedCells {
  firstRow: number;
  lastRow: number;
  firstColumn: number;
  lastColumn: number;
}

export interface Sheet {
  /** As told in messages: the file, and in brackets its tab where it has several. */
  file: string;
  /** The file as it was given. */
  source: string;
  /** Name of the tab; null for text and for the only sheet of a workbook that was never named. */
  tab: string | null;
  /** Names of the tabs that hold strips beside it and its own; absent where it is alone. */
  together?: readonly string[];
  /** Cells that a spreadsheet program keeps in their columns: none can slip by a comma in a name. */
  cellsFixed: boolean;
  merged: readonly MergedCells[];
  /** Decimal mark that goes without saying unless numbers give away the other, null where there is none. */
  usualMark: DecimalMark | null;
  /** Decimal mark beyond doubt, null where numbers have to be looked at. */
  certainMark: DecimalMark | null;
  /** Whether the last row has a line end, so that it cannot be half a row. */
  endsWhole: boolean;
  findings: Finding[];
  /** Every row below row `after`, with its number as a spreadsheet shows it; false stops. */
  forEach(take: (cells: string[], row: number) => boolean | void, after?: number): void;
}

/** Guards against workbooks whose merged cells overlap without end. */
const mostFilled = 4_000_000;

/**
 * A sheet of cells in memory: a tab of a workbook, or cells that were pasted.
 *
 * The first column of merged cells holds their text in every row; titles that run across stay in their first cell.
 *
 * @param grid  rows of cell texts, the first being row 1; changed where merged cells are filled
 */
export function gridSheet(
  name: { file: string; source: string; tab: string | null },
  grid: string[][],
  merged: readonly MergedCells[] = [],
): Sheet {
  let filled = 0;
  for (const { firstRow, lastRow, firstColumn } of merged) {
    if (filled > mostFilled) break;
    const text = grid[firstRow - 1]?.[firstColumn] ?? "";
    if (text === "") continue;
    for (const cells of grid.slice(firstRow, lastRow)) {
      filled++;
      while (cells.length <= firstColumn) cells.push("");
      if (cells[firstColumn] === "") cells[firstColumn] = text;
    }
  }
  return {
    ...name,
    cellsFixed: true,
    merged,
    usualMark: "point",
    certainMark: null,
    endsWhole: true,
    findings: [],
    forEach: (take, after = 0) => {
      for (let row = after + 1; row <= grid.length; row++) if (take(grid[row - 1]!, row) === false) return;
    },
  };
}
