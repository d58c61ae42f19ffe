/** How far each strip is from its variety's curve, and how much it alone bends that curve. */
import { roundingSs, type GroupedPoints } from "../../maths/grouped-points.ts";
import {
  fitLine,
  fitParabola,
  fittedWithinGroups,
  groupEffects,
  leverageAt,
  type Parabola,
} from "../../maths/parabola.ts";
import type { RateCell } from "../../vocabulary/result.ts";
import type { Strip } from "../../vocabulary/trial.ts";
import { residualSs } from "../forms/errors.ts";

/** One number per strip, in the order of `VarietyStrips`. */
export interface StripResiduals {
  /** The parabola with blocks that the strips are compared with; a line or no curve where they allow no more. */
  curve: Parabola | null;
  errorVariance: number;
  residualDf: number;
  /** Index of the strip's point. */
  point: Int32Array;
  /** Yield minus the fitted yield of its block and rate [kg/ha]. */
  residual: Float64Array;
  /** Share of a strip's own yield in its fitted yield. */
  leverage: Float64Array;
  /** How far the strip's block is above the plain mean of the blocks [kg/ha]. */
  blockEffect: Float64Array;
  /**
   * Externally studentized residuals; null without two residual degrees of freedom or where the fit depends on the
   * strip.
   */
  studentized: (number | null)[];
}

/**
 * Residuals from the quadratic with block effects.
 *
 * Externally studentized: each residual over the standard error it would have by the error of all other strips. In
 * closed form, so nothing is fitted again.
 *
 * @param strips  as in `VarietyStrips`, with `cells` and `points` made from them
 * Source: Belsley, Kuh & Welsch (1980), Regression Diagnostics, as computed by rstudent and hatvalues of R.
 * Reference check: test/reference/influence
 */
export function stripResiduals(
  strips: readonly Strip[],
  cells: readonly RateCell[],
  points: GroupedPoints,
): StripResiduals {
  const curve = curveOf(points);
  const terms = curve === null ? 0 : curve.squaresC > 0 ? 2 : 1;
  const fitted = curve === null ? new Float64Array(points.points) : fittedWithinGroups(curve);
  const rss = residualSs(points, fitted);
  const residualDf = points.observations - points.groups - terms;
  const effects = groupEffects(points, curve);
  const told: StripResiduals = {
    curve,
    errorVariance: residualDf > 0 ? rss / residualDf : 0,
    residualDf,
    point: new Int32Array(strips.length),
    residual: new Float64Array(strips.length),
    leverage: new Float64Array(strips.length),
    blockEffect: new Float64Array(strips.length),
    studentized: new Array<number | null>(strips.length).fill(null),
  };
  const floor = roundingSs(points);
  let next = 0;
  cells.forEach((cell, i) => {
    const g = points.group[i]!;
    const leverage = leverageAt(points, curve, i);
    for (const end = next + cell.strips; next < end; next++) {
      const residual = strips[next]!.yieldKgPerHa - points.groupMean[g]! - fitted[i]!;
      told.point[next] = i;
      told.residual[next] = residual;
      told.leverage[next] = leverage;
      told.blockEffect[next] = effects[g]!;
      if (residualDf < 2 || leverage > 1 - 1e-10 || rss <= floor) continue;
      const others = Math.max(rss - residual ** 2 / (1 - leverage), floor) / (residualDf - 1);
      told.studentized[next] = residual / Math.sqrt(others * (1 - leverage));
    }
  });
  return told;
}

/** The parabola, or as much of it as the rates and the number of strips allow. */
function curveOf(points: GroupedPoints): Parabola | null {
  const free = points.observations - points.groups;
  return (free >= 2 ? fitParabola(points) : null) ?? (free >= 1 ? fitLine(points) : null);
}
