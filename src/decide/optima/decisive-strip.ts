/**
 * Strips that alone change an economic optimum. This depends on prices, so it is checked again when a price changes.
 */
import { movesOptimum } from "../../messages/fitting.ts";
import { tQuantile } from "../../maths/distributions.ts";
import { groupBy } from "../../maths/group-by.ts";
import { bestBetween, fittedWithinGroups, leverageAt, withoutObservation } from "../../maths/parabola.ts";
import { remembered, rememberedWith } from "../../maths/remembered.ts";
import { cellKey } from "../../model/forms/rate-points.ts";
import type { FittedVariety, StripPoint } from "../../vocabulary/result.ts";
import type { Settings } from "../../vocabulary/settings.ts";
import type { Finding } from "../../vocabulary/trial.ts";
import { parabolaOf, pointsOf } from "./fit-points.ts";
import { priceRatioOf } from "./price-ratio.ts";

/** A strip that alone changes an optimum, and by what share of it. */
export interface DecisiveStrip {
  strip: StripPoint;
  share: number;
}

/**
 * The strip of a fit that alone moves the economic optimum of the quadratic, the strongest if several.
 *
 * It does if the optimum of all strips is outside Fieller's set of the others, at the higher of the two interval levels.
 * At that optimum the slope of all strips equals the price ratio, so the test comes down to how far the strip pulls the
 * slope there, in standard errors of the slope without it: closed form, nothing is fitted again.
 *
 * @param strips those of the fit, as far as they are listed
 * @param ratio  price of a seed ÷ price of grain [kg/ha per seed/m²]
 * @returns null where the optimum of all strips is not inside the tested rates, or no strip moves it so far
 * Source: Cook (1977), Technometrics 19:15–18, for a shift held against a confidence region; the closed form in Belsley,
 * Kuh & Welsch (1980), Regression Diagnostics. Held to fitting again without each strip in
 * test/unit/decide/optima/decisive-strip.test.ts. Reference check: test/reference/influence
 */
export function decisiveStrip(
  fit: Pick<FittedVariety, "cells" | "withinCellSs">,
  strips: readonly StripPoint[],
  ratio: number,
  settings: Pick<Settings, "intervalLevels">,
): DecisiveStrip | null {
  const points = pointsOf(fit);
  const { lowest, highest } = points;
  const curve = parabolaOf(points);
  const residualDf = points.observations - points.groups - 2;
  if (curve === null || residualDf < 2) return null;
  const optimum = bestBetween(curve, curve, lowest, highest, ratio);
  // A curve that bends upward is best at an end, too.
  if (optimum <= lowest || optimum >= highest) return null;
  // The slope there is b + c·m.
  const m = (ratio * curve.scale - curve.b) / curve.c;
  const slopeVariance = 1 / curve.squaresB + m ** 2 / curve.squaresC;
  let strongest: StripOnCurve | null = null;
  let strength = tQuantile((1 + settings.intervalLevels[1]) / 2, residualDf - 1);
  for (const one of stripsOnCurve(fit, strips)) {
    const left = 1 - one.leverage;
    const pull = curve.first[one.i]! / curve.squaresB + (m * curve.second[one.i]!) / curve.squaresC;
    const standardErrors =
      Math.abs(one.studentizedResidual * pull) /
      Math.sqrt(left) /
      Math.sqrt(slopeVariance + pull ** 2 / left);
    if (standardErrors > strength) [strongest, strength] = [one, standardErrors];
  }
  if (strongest === null) return null;
  const { strip, i, leverage } = strongest;
  const residual = strip.yieldKgPerHa - points.groupMean[points.group[i]!]! - fittedWithinGroups(curve)[i]!;
  const without = withoutObservation(curve, i, residual, leverage)!;
  return { strip, share: bestBetween(curve, without, lowest, highest, ratio) / optimum - 1 };
}

/** A strip with a residual, and where it is on the curve of its fit. */
interface StripOnCurve {
  strip: StripPoint;
  studentizedResidual: number;
  /** Index of its cell. */
  i: number;
  leverage: number;
}

/** They depend on no price, so they are kept for the next price; of a fit with a curve. */
const stripsOnCurve = rememberedWith(
  (fit: Pick<FittedVariety, "cells" | "withinCellSs">, strips: readonly StripPoint[]): StripOnCurve[] => {
    const points = pointsOf(fit);
    const curve = parabolaOf(points)!;
    const pointOf = new Map(fit.cells.map((cell, i) => [cellKey(cell), i]));
    return strips.flatMap((strip): StripOnCurve[] => {
      const { studentizedResidual } = strip;
      if (studentizedResidual === null) return [];
      const i = pointOf.get(cellKey(strip))!;
      return [{ strip, studentizedResidual, i, leverage: leverageAt(points, curve, i) }];
    });
  },
  ({ cells }) => cells,
);

/** A finding for each fit whose economic optimum one strip alone changes, at today's prices. */
export function optimaMovedByOneStrip(
  fits: readonly FittedVariety[],
  strips: readonly StripPoint[],
  settings: Settings,
): Finding[] {
  const ofFits = stripsOfFits(strips);
  return fits.flatMap((fit) => {
    const { variety, environment } = fit;
    const ratio = priceRatioOf(variety, settings);
    const found = decisiveStrip(fit, ofFits.get(fitKey(fit)) ?? [], ratio, settings);
    return found === null ? [] : [movesOptimum(variety, environment, found.share, found.strip)];
  });
}

const stripsOfFits = remembered(
  (strips: readonly StripPoint[]): ReadonlyMap<string, StripPoint[]> => new Map(groupBy(strips, fitKey)),
);

const fitKey = ({ variety, environment }: { variety: string; environment: string }): string =>
  JSON.stringify([variety, environment]);
