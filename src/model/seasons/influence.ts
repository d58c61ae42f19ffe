/** Outlying strips, and how much one strip alone bends its curve. It depends on no price. */
import { outlyingStrip } from "../../messages/fitting.ts";
import { tQuantile } from "../../maths/distributions.ts";
import type { GroupedPoints } from "../../maths/grouped-points.ts";
import { bestBetween, curveLeverage, withoutObservation } from "../../maths/parabola.ts";
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
 * Source: documentation of outlierTest, R package car 3.0 (t with one degree of freedom less, Bonferroni; after Weisberg,
 * Applied Linear Regression). Reference check: test/reference/influence
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
 * Strips that might change the economic optimum at some price by more than the others' interval. A thinned list of
 * strips must keep them, so that the decision can check them at any price.
 *
 * Without a strip of studentized residual t and leverage h, of which the curve has H, no slope of the curve moves by more
 * than √(t²·q ÷ (1 + q)) of its standard errors, q = H ÷ (1 − h) (by Cauchy and Schwarz).
 */
export function stripsOfInfluence(
  { strips }: VarietyStrips,
  { curve, studentized, leverage, point, residualDf }: StripResiduals,
  settings: Pick<Settings, "intervalLevels">,
): Strip[] {
  if (curve === null || residualDf < 2) return [];
  const t = tQuantile((1 + settings.intervalLevels[1]) / 2, residualDf - 1);
  return strips.filter((_, i) => {
    const own = studentized[i]!;
    const q = curveLeverage(curve, point[i]!) / (1 - leverage[i]!);
    return own !== null && own ** 2 * (q / (1 + q)) > t ** 2;
  });
}

/**
 * How far the rate of highest yield moves when a strip is left out, kept to the tested rates; null where there is no
 * curve without it.
 */
export function topShift(
  strip: number,
  { curve, residual, leverage, point }: StripResiduals,
  { lowest, highest }: GroupedPoints,
): number | null {
  if (curve === null) return null;
  const without = withoutObservation(curve, point[strip]!, residual[strip]!, leverage[strip]!);
  if (without === null) return null;
  const topOf = (terms: { b: number; c: number }): number => bestBetween(curve, terms, lowest, highest, 0);
  return topOf(without) - topOf(curve);
}
