/** The points of a fit, laid out once, however often a price changes. */
import type { GroupedPoints } from "../../maths/grouped-points.ts";
import { hingeStretches, type HingeDegree, type HingeStretches } from "../../maths/hinge.ts";
import { fitParabola } from "../../maths/parabola.ts";
import { remembered } from "../../maths/remembered.ts";
import { ratePoints } from "../../model/forms/rate-points.ts";
import type { FittedVariety } from "../../vocabulary/result.ts";

type Fit = Pick<FittedVariety, "cells" | "withinCellSs">;

/** As `ratePoints`; a fit's cells always go with its sum of squares within them. */
export const pointsOf = remembered(
  ({ cells, withinCellSs }: Fit): GroupedPoints => ratePoints(cells, withinCellSs),
  ({ cells }) => cells,
);

/** As `fitParabola`. */
export const parabolaOf = remembered(fitParabola);

const hinges = {
  1: remembered((points: GroupedPoints) => hingeStretches(points, 1)!),
  2: remembered((points: GroupedPoints) => hingeStretches(points, 2)!),
};

/** As `hingeStretches`, of points with three rates or more. */
export const hingeOf = (points: GroupedPoints, degree: HingeDegree): HingeStretches => hinges[degree](points);
