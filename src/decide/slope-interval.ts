/** Rates at which the slope of a fitted parabola may equal a price ratio. */
import type { Parabola } from "../maths/parabola.ts";

/** All such rates at a confidence level: between two, everywhere but between two, or every rate. */
export type RateSet =
  | { kind: "between"; lower: number; upper: number }
  | { kind: "outside"; from: number; to: number }
  | { kind: "everywhere" };

/**
 * Fieller's confidence set for the rate where the parabola's slope is `ratio`.
 *
 * (slope(x) − ratio)² ≤ t²·Var slope(x) is a quadratic inequality in x. Its answer is an interval only when the bend is
 * clearly not zero; else it is everything, or everything outside a gap, and no interval may be printed.
 *
 * @param parabola       from `maths/parabola.ts`, in rates [seeds/m²]
 * @param errorVariance  of one strip [(kg/ha)²]
 * @param t              two-sided t quantile for the level
 * @param ratio          price of a seed ÷ price of grain [kg/ha per seed/m²]
 * Source: Fieller (1954), Some problems in interval estimation, JRSS B 16:175–185. Reference check: test/reference/rate-response.
 */
export function fiellerSet(parabola: Parabola, errorVariance: number, t: number, ratio: number): RateSet {
  const { b, c, k, scale, centre, squaresB, squaresC } = parabola;
  // slope = b + c·m with m = 2v − k; b and c are independent
  const short = b - ratio * scale;
  const varianceB = (t * t * errorVariance) / squaresB;
  const varianceC = (t * t * errorVariance) / squaresC;
  const square = c * c - varianceC;
  const discriminant = c * c * varianceB + varianceC * short * short - varianceB * varianceC;
  if (discriminant < 0 || square === 0) return { kind: "everywhere" };
  const rateAt = (m: number): number => centre + (scale * (m + k)) / 2;
  const root = Math.sqrt(discriminant);
  const ends = [(-short * c - root) / square, (-short * c + root) / square].map(rateAt);
  const [lower, upper] = [Math.min(...ends), Math.max(...ends)];
  return square > 0 ? { kind: "between", lower, upper } : { kind: "outside", from: lower, to: upper };
}
