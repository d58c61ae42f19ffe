/** Cells of block × rate as the points that every form is fitted to. */
import { groupPoints, type GroupedPoints } from "../../maths/grouped-points.ts";
import type { RateCell } from "../../result.ts";

/**
 * @param cells         one per block and rate that has strips
 * @param withinCellSs  sum of squares of the strips about the means of their cells [(kg/ha)²]
 */
export function ratePoints(cells: readonly RateCell[], withinCellSs: number): GroupedPoints {
  const blocks = new Map<string, number>();
  for (const cell of cells) if (!blocks.has(cell.block)) blocks.set(cell.block, blocks.size);
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
