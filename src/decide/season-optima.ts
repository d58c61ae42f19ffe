/** The optima of every fit at today's prices: all that a moved price changes in the fits. */
import { outliersDrive } from "../check/findings/fitting.ts";
import { ratePoints } from "../model/forms/rate-points.ts";
import type { FittedVariety, FormFit, ResistantSlope, VarietyFit } from "../result.ts";
import type { Settings } from "../settings.ts";
import type { Finding } from "../trial.ts";
import { findOptimum } from "./optimum.ts";
import { priceRatioOf } from "./price-ratio.ts";
import { priceSensitivity } from "./price-sensitivity.ts";

/** In a larger trial nobody reads a table of prices for each fit. */
const mostFitsWithTable = 500;

/** Yield- and economic-optimum rates of every form, from the fits' cells: nothing is fitted again. */
export function addOptima(fits: readonly FittedVariety[], settings: Settings): VarietyFit[] {
  const level = settings.intervalLevels[1];
  return fits.map((fit) => {
    const points = ratePoints(fit.cells, fit.withinCellSs);
    const ratio = priceRatioOf(fit.variety, settings);
    const forms = fit.forms.map((form) => ({
      ...form,
      yieldOptimum: findOptimum(form, points, 0, level),
      economicOptimum: findOptimum(form, points, ratio, level),
    }));
    return {
      ...fit,
      forms,
      resistant: resistantOptimum(fit.resistantSlope, forms, fit.ratesSeedsPerM2, ratio),
      prices: fits.length > mostFitsWithTable ? null : priceSensitivity({ ...fit, forms }, settings),
    };
  });
}

/** Where the resistant slope meets the price ratio, kept to the tested rates, held against the quadratic's interval. */
function resistantOptimum(
  slope: ResistantSlope | null,
  forms: readonly FormFit[],
  rates: readonly number[],
  ratio: number,
): VarietyFit["resistant"] {
  if (slope === null) return null;
  const [lowest, highest] = [rates[0]!, rates[rates.length - 1]!];
  const { atZero, perRate } = slope;
  const gainPerSeed = atZero + (perRate * (lowest + highest)) / 2 - ratio;
  const rate =
    perRate < 0
      ? Math.min(highest, Math.max(lowest, (ratio - atZero) / perRate))
      : gainPerSeed > 0
        ? highest
        : lowest;
  const optimum = forms.find(({ form }) => form === "quadratic")?.economicOptimum;
  const differs =
    optimum?.kind === "found" &&
    ((optimum.lower !== null && rate < optimum.lower) || (optimum.upper !== null && rate > optimum.upper));
  return { economicOptimumSeedsPerM2: rate, differs };
}

/** Fits whose quadratic a few outlying strips may drive. */
export function drivenByOutliers(fits: readonly VarietyFit[]): Finding[] {
  return fits.flatMap(({ variety, environment, resistant, forms }) => {
    const optimum = forms.find(({ form }) => form === "quadratic")?.economicOptimum;
    if (resistant === null || !resistant.differs || optimum?.kind !== "found") return [];
    const higher = resistant.economicOptimumSeedsPerM2 > optimum.rateSeedsPerM2;
    return [outliersDrive(variety, environment, higher)];
  });
}
