/** The same decision with prices doubled, for the lesson. */
import { decideAgain } from "../decide/decide.ts";
import type { Result } from "../vocabulary/result.ts";
import type { Settings } from "../vocabulary/settings.ts";
import type { DoubledPrices } from "../tell/wording/lesson.ts";

export function doublePrices(result: Result): DoubledPrices {
  const { settings } = result;
  const grain = dearGrain(settings);
  const seed = dearSeed(settings);
  return {
    grain: decideAgain(result, { ...settings, ...grain }),
    seed: decideAgain(result, { ...settings, ...seed }),
    both: decideAgain(result, { ...settings, ...grain, ...seed }),
  };
}

/** The protein premium and the cost of lodging are doubled with the price of grain. */
const dearGrain = (settings: Settings): Partial<Settings> => ({
  grainPricePerKg: 2 * settings.grainPricePerKg,
  proteinSchedule: settings.proteinSchedule.map((step) => ({ ...step, premiumPerKg: 2 * step.premiumPerKg })),
  lodgingCostPerHa: 2 * settings.lodgingCostPerHa,
});

const dearSeed = (settings: Settings): Partial<Settings> => ({
  seedPricePerThousand: 2 * settings.seedPricePerThousand,
  lots: settings.lots.map((lot) => ({
    ...lot,
    pricePerKg: twice(lot.pricePerKg),
    pricePerThousandSeeds: twice(lot.pricePerThousandSeeds),
  })),
});

const twice = (price: number | null): number | null => (price === null ? null : 2 * price);
