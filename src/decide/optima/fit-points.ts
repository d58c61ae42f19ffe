/** The points of a fit, laid out once however often a price moves. */
import type { GroupedPoints } from "../../maths/grouped-points.ts";
import { ratePoints } from "../../model/forms/rate-points.ts";
import type { FittedVariety } from "../../vocabulary/result.ts";

type Fit = Pick<FittedVariety, "cells" | "withinCellSs">;

const known = new WeakMap<Fit["cells"], GroupedPoints>();

/** As `ratePoints`; the cells of a fit and its sum of squares within them belong together. */
export function pointsOf({ cells, withinCellSs }: Fit): GroupedPoints {
  const points = known.get(cells) ?? ratePoints(cells, withinCellSs);
  known.set(cells, points);
  return points;
}
