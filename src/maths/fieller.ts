/** Where the slope of a fitted parabola may take a given value. */
import type { Parabola } from "./parabola.ts";

/** All such x at a confidence level: between two, everywhere but between two, or every one. */
export type FiellerSet =
  | { kind: "between"; lower: number; upper: number }
  | { kind: "outside"; from: number; to: number }
  | { kind: "everywhere" };

/**
 * Fieller's confidence set for the x where the parabola's slope is `slope`.
 *
 * (slope(x) − slope)² ≤ t²·Var slope(x) is a quadratic inequality in x. Its answer is an interval only when the bend is
 * clearly not zero; else it is everything, or everything outside a gap, and no interval may be printed.
 *
 * @param errorVariance  of one observation
 * @param t              two-sided t quantile for the level
 * @param slope          y per x
 * Source: Fieller (1954), Some problems in interval estimation, JRSS B 16:175–185. Reference check: test/reference/rate-response.
 */
export function fiellerSet(
  parabola: Pick<Parabola, "b" | "c" | "k" | "scale" | "centre" | "squaresB" | "squaresC">,
  errorVariance: number,
  t: number,
  slope: number,
): FiellerSet {
  const { b, c, k, scale, centre, squaresB, squaresC } = parabola;
  // the slope in v is b + c·m with m = 2v − k; b and c are independent
  const short = b - slope * scale;
  const varianceB = (t * t * errorVariance) / squaresB;
  const varianceC = (t * t * errorVariance) / squaresC;
  const square = c * c - varianceC;
  const discriminant = c * c * varianceB + varianceC * short * short - varianceB * varianceC;
  if (discriminant < 0 || square === 0) return { kind: "everywhere" };
  const xAt = (m: number): number => centre + (scale * (m + k)) / 2;
  const root = Math.sqrt(discriminant);
  const ends = [(-short * c - root) / square, (-short * c + root) / square].map(xAt);
  const [lower, upper] = [Math.min(...ends), Math.max(...ends)];
  return square > 0 ? { kind: "between", lower, upper } : { kind: "outside", from: lower, to: upper };
}
