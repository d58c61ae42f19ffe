/** The price of seed in grain. */
import type { Settings } from "../../vocabulary/settings.ts";
import { grainPriceNotPositive } from "../../messages/amounts.ts";
import { pricePerThousandViable, seedCostPerHa } from "../rate/seed-cost.ts";

/**
 * Grain that pays for one more seed per m² [kg/ha per seed/m²].
 *
 * @throws TrialError `grain-price` unless the price of grain is above zero
 * @example priceRatio(0.02, 0.2) // 1: a seed on every m² of a hectare costs $0.20, the price of 1 kg of grain
 */
export function priceRatio(seedPricePerThousand: number, grainPricePerKg: number): number {
  if (!(grainPricePerKg > 0)) throw grainPriceNotPositive(grainPricePerKg);
  return seedCostPerHa(1, seedPricePerThousand) / grainPricePerKg;
}

/** Money per thousand viable seeds of a variety: its lot's price where it has one, else the setting's. */
export function seedPriceOf(variety: string, settings: Settings): number {
  const lot = settings.lots.find((one) => one.variety === variety);
  return pricePerThousandViable(lot, settings);
}

/** `priceRatio` of a variety, by its own lot's price of seed where it has one. */
export const priceRatioOf = (variety: string, settings: Settings): number =>
  priceRatio(seedPriceOf(variety, settings), settings.grainPricePerKg);
