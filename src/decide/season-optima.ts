/** The optima of every fit at today's prices: all that a moved price changes in the fits. */
import { ratePoints } from "../model/forms/rate-points.ts";
import type { FittedVariety, VarietyFit } from "../result.ts";
import type { Settings } from "../settings.ts";
import { findOptimum, priceRatio } from "./optimum.ts";
import { pricePerThousandViable } from "./seed-cost.ts";

/** Each variety's own price ratio: its lot's seed price where it has one, else the setting's. */
export function priceRatioOf(variety: string, settings: Settings): number {
  const lot = settings.lots.find((one) => one.variety === variety);
  return priceRatio(pricePerThousandViable(lot, settings), settings.grainPricePerKg);
}

/** Yield- and economic-optimum rates of every form, from the fits' cells: nothing is fitted again. */
export function addOptima(fits: readonly FittedVariety[], settings: Settings): VarietyFit[] {
  const level = settings.intervalLevels[1];
  return fits.map((fit) => {
    const points = ratePoints(fit.cells, fit.withinCellSs);
    const ratio = priceRatioOf(fit.variety, settings);
    return {
      ...fit,
      forms: fit.forms.map((form) => ({
        ...form,
        yieldOptimum: findOptimum(form, points, 0, level),
        economicOptimum: findOptimum(form, points, ratio, level),
      })),
    };
  });
}
