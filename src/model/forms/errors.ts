/** Parts of standard errors that the forms share. */
import type { GroupedPoints } from "../../maths/grouped-points.ts";
import type { StandardErrors } from "../../vocabulary/result.ts";

export const noErrors: StandardErrors = {
  intercept: null,
  linear: null,
  quadratic: null,
  join: null,
  plateau: null,
};

/** Variance of the plain mean of the block means, per unit of error variance: Σ 1/n over blocks², n strips a block. */
export function blockError(points: GroupedPoints): number {
  let sum = 0;
  for (let g = 0; g < points.groups; g++) sum += 1 / points.groupWeight[g]!;
  return sum / points.groups ** 2;
}

/** Σ w (y − fit)², including strips around the means of their cells; `fit` is relative to the block's mean. */
export function residualSs(points: GroupedPoints, fit: Float64Array): number {
  let rss = points.within;
  for (let i = 0; i < points.points; i++) rss += points.weight[i]! * (points.y[i]! - fit[i]!) ** 2;
  return rss;
}
