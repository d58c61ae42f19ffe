/** What a thousand viable seeds of a lot cost: the seed side of every rate decision. */
import type { Lot, Settings } from "../../vocabulary/settings.ts";
import { viableSeedsPerKg } from "../drill/sowing.ts";

/**
 * Price of a thousand viable seeds of a lot.
 *
 * A price by weight needs the lot's seeds/kg; a price by count does not. Treatment is part of the lot's price. Without
 * a usable price, that of the settings is used.
 *
 * @returns money per 1000 viable seeds
 * @example $15/bu of 60 lb, 12,500 seeds/lb, all viable → $0.02 per thousand, $20 per million
 * Source: algebra; trade units as in North Carolina State and Purdue Univ. extension price examples.
 */
export function pricePerThousandViable(
  lot: Lot | undefined,
  settings: Pick<Settings, "seedPricePerThousand">,
): number {
  if (lot === undefined) return settings.seedPricePerThousand;
  if (lot.pricePerThousandSeeds !== null) return lot.pricePerThousandSeeds / (lot.germination * lot.purity);
  if (lot.pricePerKg !== null && lot.seedsPerKg !== null)
    return (1000 * lot.pricePerKg) / viableSeedsPerKg({ ...lot, seedsPerKg: lot.seedsPerKg });
  return settings.seedPricePerThousand;
}

/**
 * Cost of the seed at a rate [money/ha].
 *
 * @example seedCostPerHa(300, 0.02) // 60
 */
export const seedCostPerHa = (rateSeedsPerM2: number, pricePerThousand: number): number =>
  rateSeedsPerM2 * 10 * pricePerThousand;
