/** Where the names of the columns stand in a sheet of a harvest. */
import type { Sheet } from "../read/tables/sheet.ts";

/** Rows that may stand above the table. */
const rowsLookedAt = 60;

/**
 * The first of the rows in which most columns are known.
 *
 * @param known  how many columns these cells name
 * @returns row 0 and no names where none is known
 */
export function headerRowOf(
  sheet: Sheet,
  known: (cells: string[]) => number,
): { headerRow: number; headers: string[] } {
  let most = 0;
  let found = { headerRow: 0, headers: [] as string[] };
  sheet.forEach((cells, row) => {
    const here = known(cells);
    if (here > most) [found, most] = [{ headerRow: row, headers: cells }, here];
    return row < rowsLookedAt;
  });
  return found;
}
