/** Points written down as a person would, for cases that are worked by hand. */
import { groupPoints, type GroupedPoints } from "../../../src/maths/grouped-points.ts";

export type Cell = [group: number, x: number, observations: number, mean: number];

/** @param within  sum of squares of the observations about the means of their cells */
export const pointsOf = (cells: readonly Cell[], within = 0): GroupedPoints =>
  groupPoints(
    cells.map(([, x]) => x),
    cells.map(([, , weight]) => weight),
    cells.map(([, , , mean]) => mean),
    cells.map(([group]) => group),
    1 + Math.max(...cells.map(([group]) => group)),
    within,
  );
