/** The points of a fit, laid out once however often a price moves. */
import type { GroupedPoints } from "../../maths/grouped-points.ts";
import { hingeStretches, type HingeDegree, type HingeStretches } from "../../maths/hinge.ts";
import { fitParabola, type Parabola } from "../../maths/parabola.ts";
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

const parabolas = new WeakMap<GroupedPoints, { parabola: Parabola | null }>();

/** As `fitParabola`. */
export function parabolaOf(points: GroupedPoints): Parabola | null {
  const fitted = parabolas.get(points) ?? { parabola: fitParabola(points) };
  parabolas.set(points, fitted);
  return fitted.parabola;
}

const hinges = {
  1: new WeakMap<GroupedPoints, HingeStretches>(),
  2: new WeakMap<GroupedPoints, HingeStretches>(),
};

/** As `hingeStretches`, of points with three rates or more. */
export function hingeOf(points: GroupedPoints, degree: HingeDegree): HingeStretches {
  const stretches = hinges[degree].get(points) ?? hingeStretches(points, degree)!;
  hinges[degree].set(points, stretches);
  return stretches;
}
