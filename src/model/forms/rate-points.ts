/** Cells of block × rate as the points that every form is fitted to. */
import { groupPoints, type GroupedPoints } from "../../maths/grouped-points.ts";
import type { RateCell } from "../../vocabulary/result.ts";

/**
 * Blocks are numbered in the order of their names, so that cells sorted by rate and block stay as they are.
 *
 * @param cells         one per block and rate that has strips
 * @param withinCellSs  sum of squares of the strips around the means of their cells [(kg/ha)²]
 */
export function ratePoints(cells: readonly RateCell[], withinCellSs: number): GroupedPoints {
  const names = [...new Set(cells.map((cell) => cell.block))].sort();
  const blocks = new Map(names.map((name, i) => [name, i]));
  const rates = new Float64Array(cells.length);
  const strips = new Float64Array(cells.length);
  const means = new Float64Array(cells.length);
  const block = new Int32Array(cells.length);
  cells.forEach((cell, i) => {
    rates[i] = cell.rateSeedsPerM2;
    strips[i] = cell.strips;
    means[i] = cell.meanYieldKgPerHa;
    block[i] = blocks.get(cell.block)!;
  });
  return groupPoints(rates, strips, means, block, blocks.size, withinCellSs);
}

/** What the strips of a cell have in common. */
export const cellKey = ({ block, rateSeedsPerM2 }: Pick<RateCell, "block" | "rateSeedsPerM2">): string =>
  `${rateSeedsPerM2} ${block}`;
