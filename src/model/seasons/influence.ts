/** Strips that stand apart, and strips that alone move the economic optimum. */
import { movesOptimum, outlyingStrip } from "../../messages/fitting.ts";
import { tQuantile } from "../../maths/distributions.ts";
import type { GroupedPoints } from "../../maths/grouped-points.ts";
import type { Parabola } from "../../maths/parabola.ts";
import type { Settings } from "../../vocabulary/settings.ts";
import type { Finding, Strip } from "../../vocabulary/trial.ts";
import type { VarietyStrips } from "./rate-cells.ts";
import type { StripResiduals } from "./strip-residuals.ts";

/** A finding and the strip that it names. */
export interface StripDoubt {
  strip: Strip;
  finding: Finding;
}

/**
 * Strips so far from their curve that chance would put one there in fewer trials than the test level.
 *
 * Externally studentized residual against Student's t, its p-value times the number of strips in the whole trial
 * (Bonferroni), so that a large clean trial is not full of doubt.
 *
 * @param stripsInTrial  how many residuals are looked at in all
 * Source: Weisberg (1985), Applied Linear Regression, 2nd ed., sec. 5.3 (FROM MEMORY). Reference check: test/reference/influence
 */
export function outlyingStrips(
  { variety, environment, strips }: VarietyStrips,
  { studentized, residual, residualDf }: StripResiduals,
  stripsInTrial: number,
  settings: Pick<Settings, "testLevel">,
): StripDoubt[] {
  if (residualDf < 2) return [];
  const limit = tQuantile(1 - settings.testLevel / (2 * stripsInTrial), residualDf - 1);
  return strips.flatMap((strip, i) => {
    const t = studentized[i]!;
    if (t === null || Math.abs(t) <= limit) return [];
    const expected = strip.yieldKgPerHa - residual[i]!;
    return [{ strip, finding: outlyingStrip(variety, environment, residual[i]! / expected, t, strip.place) }];
  });
}

/**
 * The strip that alone moves the economic optimum of the quadratic, the strongest if several.
 *
 * It does if the optimum of all strips lies outside Fieller's set of the others, at the higher of the two interval levels.
 * At that optimum the slope of all strips equals the price ratio, so the test comes down to how far the strip pulls the
 * slope there, in standard errors of the slope without it: closed form, nothing is fitted again.
 *
 * @param ratio  price of a seed ÷ price of grain [kg/ha per seed/m²]
 * @returns null where the optimum of all strips is not inside the tested rates, or no strip moves it so far
 * Source: Cook (1977), Technometrics 19:15–18, for a shift held against a confidence region; the closed form in Belsley,
 * Kuh & Welsch (1980), Regression Diagnostics, ch. 2 (chapter FROM MEMORY). Reference check: test/reference/influence
 */
export function decisiveStrip(
  { variety, environment, strips }: VarietyStrips,
  residuals: StripResiduals,
  points: GroupedPoints,
  ratio: number,
  settings: Pick<Settings, "intervalLevels">,
): StripDoubt | null {
  const { curve, residualDf, studentized, leverage, point } = residuals;
  if (curve === null || !(curve.c < 0) || residualDf < 2) return null;
  const optimum = bestTestedRate(curve, curve.b, curve.c, points, ratio);
  if (optimum <= points.lowest || optimum >= points.highest) return null;
  const t = tQuantile((1 + settings.intervalLevels[1]) / 2, residualDf - 1);
  // the slope there is b + c·m
  const m = (ratio * curve.scale - curve.b) / curve.c;
  const slopeVariance = 1 / curve.squaresB + m ** 2 / curve.squaresC;
  let strongest = -1;
  let strength = t;
  for (let s = 0; s < strips.length; s++) {
    if (studentized[s] === null) continue;
    const i = point[s]!;
    const left = 1 - leverage[s]!;
    const pull = curve.first[i]! / curve.squaresB + (m * curve.second[i]!) / curve.squaresC;
    const standardErrors =
      Math.abs(studentized[s]! * pull) / Math.sqrt(left) / Math.sqrt(slopeVariance + pull ** 2 / left);
    if (standardErrors > strength) [strongest, strength] = [s, standardErrors];
  }
  if (strongest < 0) return null;
  const strip = strips[strongest]!;
  const without = optimumWithout(strongest, residuals, points, ratio)!;
  return { strip, finding: movesOptimum(variety, environment, without / optimum - 1, strip.place) };
}

/** The economic optimum without one strip, kept to the tested rates; null where the curve cannot do without it. */
export function optimumWithout(
  strip: number,
  { curve, residual, leverage, point }: StripResiduals,
  points: GroupedPoints,
  ratio: number,
): number | null {
  const left = 1 - leverage[strip]!;
  if (curve === null || left < 1e-10) return null;
  const pull = residual[strip]! / left;
  const i = point[strip]!;
  const b = curve.b - (pull * curve.first[i]!) / curve.squaresB;
  const c = curve.squaresC > 0 ? curve.c - (pull * curve.second[i]!) / curve.squaresC : 0;
  return bestTestedRate(curve, b, c, points, ratio);
}

/** How far the rate of most grain moves when a strip is left out, kept to the tested rates; null as in `optimumWithout`. */
export function topShift(strip: number, residuals: StripResiduals, points: GroupedPoints): number | null {
  const { curve } = residuals;
  const without = optimumWithout(strip, residuals, points, 0);
  return curve === null || without === null
    ? null
    : without - bestTestedRate(curve, curve.b, curve.c, points, 0);
}

/** Where b and c earn most within the tested rates. */
function bestTestedRate(
  { centre, scale, k }: Parabola,
  b: number,
  c: number,
  { lowest, highest }: GroupedPoints,
  ratio: number,
): number {
  if (c < 0) {
    const top = centre + (scale * ((ratio * scale - b) / c + k)) / 2;
    return Math.min(highest, Math.max(lowest, top));
  }
  const [low, high] = [(lowest - centre) / scale, (highest - centre) / scale];
  const gain = b * (high - low) + c * (high ** 2 - low ** 2 - k * (high - low)) - ratio * (highest - lowest);
  return gain > 0 ? highest : lowest;
}
