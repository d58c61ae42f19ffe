/** A straight line whose level differs between groups. */
import { tTwoSided } from "./distributions.ts";

export interface WithinSlope {
  estimate: number;
  standardError: number;
  t: number;
  df: number;
  p: number;
}

export interface WithinFit {
  /** Null where x does not vary within any group, or no degree of freedom is left. */
  slope: WithinSlope | null;
  /** Variance of one observation around its group's line; null without degrees of freedom. */
  residualVariance: number | null;
  residualDf: number;
  /** By group: observations, and mean of x and y. */
  groups: { count: number; meanX: number; meanY: number }[];
}

/**
 * Least squares of y on x with a level for each group: analysis of covariance with one common slope.
 *
 * @param group number of the group of each observation, 0 … groups − 1, each group with one at least
 * @example groups [0,0,1,1], x [0,1,0,1], y [0,2,5,7] → slope 2
 * Source: Snedecor & Cochran 1989, Statistical Methods, 8th ed., ch. 18.
 */
export function fitWithinGroups(
  group: readonly number[],
  x: readonly number[],
  y: readonly number[],
  groups: number,
): WithinFit {
  const count = new Float64Array(groups);
  const sumX = new Float64Array(groups);
  const sumY = new Float64Array(groups);
  group.forEach((g, i) => {
    count[g]! += 1;
    sumX[g]! += x[i]!;
    sumY[g]! += y[i]!;
  });
  let xx = 0;
  let xy = 0;
  let yy = 0;
  group.forEach((g, i) => {
    const dx = x[i]! - sumX[g]! / count[g]!;
    const dy = y[i]! - sumY[g]! / count[g]!;
    xx += dx * dx;
    xy += dx * dy;
    yy += dy * dy;
  });
  const scale = x.reduce((sum, value) => sum + value * value, 0);
  const varies = xx > 1e-12 * scale;
  const residualDf = group.length - groups - (varies ? 1 : 0);
  const residualVariance =
    residualDf > 0 ? Math.max(0, yy - (varies ? (xy * xy) / xx : 0)) / residualDf : null;
  return {
    slope:
      varies && residualVariance !== null
        ? slopeOf(xy / xx, Math.sqrt(residualVariance / xx), residualDf)
        : null,
    residualVariance,
    residualDf,
    groups: Array.from(count, (n, g) => ({ count: n, meanX: sumX[g]! / n, meanY: sumY[g]! / n })),
  };
}

function slopeOf(estimate: number, standardError: number, df: number): WithinSlope {
  if (standardError === 0) return { estimate, standardError, t: 0, df, p: estimate === 0 ? 1 : 0 };
  const t = estimate / standardError;
  return { estimate, standardError, t, df, p: tTwoSided(t, df) };
}
