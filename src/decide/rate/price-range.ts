/** The prices between which the advice stays the same: its break-even prices. */
import type { Belief, PriceRange, PriceRanges } from "../../vocabulary/result.ts";
import type { Settings } from "../../vocabulary/settings.ts";
import { netOf, type NetReturns } from "./net-return.ts";
import { seedCostPerHa } from "./seed-cost.ts";

/** How far from today's price the search goes, as shares of it: as far as the page lets a price be changed. */
const grainShares: [number, number] = [0.4, 2];
const seedShares: [number, number] = [0, 3];
/** Prices tried between today's and the farthest, before the change is located. */
const looks = 24;
/** A change is located to within this share of the price. */
const exactness = 1e-4;

/**
 * For grain and for seed separately, with everything else unchanged: the prices around today's at which the advice goes
 * the same way (more seed, less, or as now). A range ends at the first price where it does not.
 *
 * @param now    today's rate [seeds/m²]
 * @param rateAt the rate advised, given what the rates of the table earn [money/ha]
 */
export function priceRanges(
  belief: Pick<Belief, "expectedKgPerHa">,
  { rates, prices }: Pick<NetReturns, "rates" | "prices">,
  now: number,
  rateAt: (earned: Float64Array) => number | null,
  { grainPricePerKg: grain }: Pick<Settings, "grainPricePerKg">,
): PriceRanges {
  const seed = prices.seedPricePerThousand;
  const earnedNow = netOf(belief.expectedKgPerHa, prices);
  const earned = new Float64Array(earnedNow.length);
  const way = (grainPrice: number, seedPrice: number): number => {
    for (let x = 0; x < earned.length; x++)
      earned[x] =
        earnedNow[x]! +
        (belief.expectedKgPerHa[x]! * (grainPrice - grain) - seedCostPerHa(rates[x]!, seedPrice - seed));
    return Math.sign((rateAt(earned) ?? now) - now);
  };
  return {
    grainPricePerKg: rangeAbout(grain, grainShares, (price) => way(price, seed)),
    seedPricePerThousand: rangeAbout(seed, seedShares, (price) => way(grain, price)),
  };
}

function rangeAbout(
  price: number,
  [least, most]: [number, number],
  wayAt: (price: number) => number,
): PriceRange {
  const today = wayAt(price);
  const holds = (at: number): boolean => wayAt(at) === today;
  const looked: [number, number] = [least * price, most * price];
  return {
    lower: lastThatHolds(price, looked[0], holds),
    upper: lastThatHolds(price, looked[1], holds),
    looked,
  };
}

/** The price toward `end` at which the advice changes; null where it holds all the way. */
function lastThatHolds(price: number, end: number, holds: (at: number) => boolean): number | null {
  let good = price;
  for (let look = 1; look <= looks; look++) {
    let bad = price + ((end - price) * look) / looks;
    if (holds(bad)) {
      good = bad;
      continue;
    }
    while (Math.abs(bad - good) > exactness * price) {
      const middle = (good + bad) / 2;
      if (holds(middle)) good = middle;
      else bad = middle;
    }
    return good;
  }
  return null;
}
