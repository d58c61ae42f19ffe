/** The rate of most yield and the rate of most money on a fitted form, each with an interval or the reason for none. */
import { tQuantile } from "../maths/distributions.ts";
import { fiellerSet } from "../maths/fieller.ts";
import type { GroupedPoints } from "../maths/grouped-points.ts";
import { hingeStretches, type HingeDegree } from "../maths/hinge.ts";
import { fitParabola } from "../maths/parabola.ts";
import { formNamed } from "../model/forms/index.ts";
import type { FittedForm, Optimum, OptimumReason } from "../result.ts";
import { TrialError } from "../trial.ts";
import { linearPlateauEnds, quadraticPlateauEnds, type Ends } from "./plateau-interval.ts";
import { seedCostPerHa } from "./seed-cost.ts";

/**
 * Grain that pays for one more seed per m² [kg/ha per seed/m²].
 *
 * @throws TrialError `grain-price` unless the price of grain is above zero
 * @example priceRatio(0.02, 0.2) // 1: $0.02 a thousand is $0.20 for a seed on every m² of a hectare, or 1 kg of grain
 */
export function priceRatio(seedPricePerThousand: number, grainPricePerKg: number): number {
  if (!(grainPricePerKg > 0))
    throw new TrialError("grain-price", `The price of grain must be above zero, and is ${grainPricePerKg}.`);
  return seedCostPerHa(1, seedPricePerThousand) / grainPricePerKg;
}

const none = (reason: OptimumReason): Optimum => ({ kind: "none", reason });

/**
 * Where the last seed just pays: the form's slope equals the price ratio; a ratio of 0 asks for the most yield.
 *
 * Quadratic with Fieller's interval, plateau forms with profile likelihood. Only tested rates count: a top outside them
 * is `at-edge`, and an end of an interval outside them is null.
 *
 * @param fit     the form, fitted to `points`
 * @param points  from `ratePoints(cells, withinCellSs)` of the same fit
 * @param ratio   price of a seed ÷ price of grain [kg/ha per seed/m²], see `priceRatio`
 * @param level   of the interval, for example 0.95
 * Source: Bachmaier (2009), Statistical Papers 50:649–660, for Fieller's interval of an economic optimum.
 * Reference check: test/reference/rate-response, test/reference/economic-optimum
 */
export function findOptimum(fit: FittedForm, points: GroupedPoints, ratio: number, level: number): Optimum {
  if (fit.form === "none") return none("no-response");
  if (fit.form === "linear") return atBetterEnd(fit, points, ratio, null);
  if (fit.form === "quadratic") return topOfParabola(fit, points, ratio, level);
  return startOfPlateau(fit, points, ratio, level, fit.form === "linear-plateau" ? 1 : 2);
}

const atLowest = (points: GroupedPoints, reason: OptimumReason): Optimum => ({
  kind: "at-edge",
  edge: "lowest",
  rateSeedsPerM2: points.lowest,
  reason,
});

const atHighest = (points: GroupedPoints, reason: OptimumReason): Optimum => ({
  kind: "at-edge",
  edge: "highest",
  rateSeedsPerM2: points.highest,
  reason,
});

/** A curve without a top is best at one end of the tested rates. */
function atBetterEnd(
  { form, coefficients }: FittedForm,
  points: GroupedPoints,
  ratio: number,
  reason: OptimumReason | null,
): Optimum {
  const { value } = formNamed(form);
  const gain =
    value(coefficients, points.highest) -
    value(coefficients, points.lowest) -
    ratio * (points.highest - points.lowest);
  if (gain > 0) return atHighest(points, reason ?? "still-rising");
  if (gain < 0) return atLowest(points, reason ?? "never-pays");
  return none("level");
}

/** What the residual says of the error: null without residual degrees of freedom. */
function errorOf(fit: FittedForm, level: number): { variance: number; t: number } | null {
  if (fit.residualDf < 1) return null;
  return { variance: fit.rss / fit.residualDf, t: tQuantile((1 + level) / 2, fit.residualDf) };
}

function found(rate: number, points: GroupedPoints, ends: Ends | null): Optimum {
  const tested = (end: number | null): number | null =>
    end !== null && end >= points.lowest && end <= points.highest ? end : null;
  const lower = tested(ends?.lower ?? null);
  const upper = tested(ends?.upper ?? null);
  return { kind: "found", rateSeedsPerM2: rate, lower, upper, reason: reasonOf(ends, lower, upper) };
}

function reasonOf(ends: Ends | null, lower: number | null, upper: number | null): OptimumReason {
  if (ends === null) return "error-unknown";
  if (lower === null) return upper === null ? "no-ends" : "no-lower-end";
  return upper === null ? "no-upper-end" : "interval";
}

function topOfParabola(fit: FittedForm, points: GroupedPoints, ratio: number, level: number): Optimum {
  const parabola = fitParabola(points)!;
  const { b, c, k, scale, centre } = parabola;
  if (!(c < 0)) return atBetterEnd(fit, points, ratio, c > 0 ? "bends-upward" : null);
  const rate = centre + (scale * ((ratio * scale - b) / c + k)) / 2;
  if (rate <= points.lowest) return atLowest(points, "never-pays");
  if (rate >= points.highest) return atHighest(points, "still-rising");
  const error = errorOf(fit, level);
  if (error === null) return found(rate, points, null);
  const set = fiellerSet(parabola, error.variance, error.t, ratio);
  return found(rate, points, set.kind === "between" ? set : { lower: null, upper: null });
}

function startOfPlateau(
  fit: FittedForm,
  points: GroupedPoints,
  ratio: number,
  level: number,
  degree: HingeDegree,
): Optimum {
  const range = points.highest - points.lowest;
  const join = (fit.coefficients.join! - points.lowest) / range;
  const multiple =
    degree === 1 ? fit.coefficients.linear! * range : -fit.coefficients.quadratic! * range ** 2;
  const perRange = ratio * range;
  if (multiple === 0 && ratio === 0) return none("level");
  if (multiple <= 0 || (degree === 1 && multiple <= perRange)) return atLowest(points, "never-pays");
  const rate = degree === 1 ? join : join - perRange / (2 * multiple);
  if (rate <= 0) return atLowest(points, "never-pays");
  if (rate >= 1) return atHighest(points, "still-rising");
  const error = errorOf(fit, level);
  if (error === null) return found(points.lowest + range * rate, points, null);
  const stretches = hingeStretches(points, degree)!;
  const limit = fit.rss + error.variance * error.t ** 2;
  const endsOf = degree === 1 ? linearPlateauEnds : quadraticPlateauEnds;
  const ends = endsOf(stretches, limit, rate, perRange);
  const toRate = (end: number | null): number | null => (end === null ? null : points.lowest + range * end);
  return found(points.lowest + range * rate, points, {
    lower: toRate(ends.lower),
    upper: toRate(ends.upper),
  });
}
