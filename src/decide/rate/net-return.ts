/** What each believable curve earns at each rate, at given prices. */
import type { Belief } from "../../vocabulary/result.ts";
import type { Settings } from "../../vocabulary/settings.ts";
import { believedYields, fieldYields, type BelievedYields } from "./believed-yields.ts";
import { remembered } from "../../maths/remembered.ts";
import { indexOfLargest } from "../../maths/weighted-quantiles.ts";
import { largestOfStretches, placeOf, stretch, topOfThree } from "./curve-table.ts";
import type { QualityMoney } from "./quality.ts";
import { pricePerThousandViable, seedCostPerHa } from "./seed-cost.ts";

/** What a kg of grain earns and what the field costs, at each rate of a belief's table. */
export interface VarietyPrices {
  /** Money per thousand viable seeds. */
  seedPricePerThousand: number;
  /** Grain with its protein premium [money/kg]. */
  grainPerKg: Float64Array;
  /** Seed, and loss where lodged [money/ha]. */
  costPerHa: Float64Array;
}

/**
 * What a variety's grain earns and its seed costs, at each rate of its table.
 *
 * @param quality  premium per kg and cost per hectare by rate, on top of price and seed
 */
export function varietyPrices(belief: Belief, quality: QualityMoney, settings: Settings): VarietyPrices {
  const lot = settings.lots.find((one) => one.variety === belief.variety);
  const seedPricePerThousand = pricePerThousandViable(lot, settings);
  const rates = Float64Array.from(belief.ratesSeedsPerM2);
  return {
    seedPricePerThousand,
    grainPerKg: rates.map((rate) => settings.grainPricePerKg + quality.premiumPerKg(rate)),
    costPerHa: rates.map((rate) => seedCostPerHa(rate, seedPricePerThousand) + quality.costPerHa(rate)),
  };
}

/** Net returns at the rates of the belief's table, each curve through the mean of the strips. */
export interface NetReturns {
  prices: VarietyPrices;
  rates: readonly number[];
  weights: Float64Array;
  /** For the expected curve, at each rate [money/ha]. */
  expected: Float64Array;
  /** Of each curve: the rate at which it earns most, and what it earns at that rate of the table [money/ha]. */
  bestRates: Float64Array;
  mostPerHa: Float64Array;
  yields: BelievedYields;
}

/** On average over the fields of the farm, each curve and the expected one [money/ha]. */
export const netReturns = (belief: Belief, prices: VarietyPrices): NetReturns =>
  netOfYields(belief, believedYields(belief), netOf(belief.expectedKgPerHa, prices), prices);

/**
 * On one field by itself: the expected curve is the mean of the kept ones.
 *
 * @param field         its place in `belief.fields`
 * @param yieldKgPerHa  its mean yield: better ground pays more seed
 */
export function netReturnsOnField(
  belief: Belief,
  prices: VarietyPrices,
  field: number,
  yieldKgPerHa: number,
): NetReturns {
  const yields = fieldYields(belief, field, yieldKgPerHa);
  return netOfYields(belief, yields, netOf(yields.meanKgPerHa, prices), prices);
}

/**
 * The returns of all curves are a table of some megabytes, of which only what may hold a curve's best rate is worked out: the
 * stretches of rates where its highest yield, at the best price and the least cost there, earns more than what was found.
 */
function netOfYields(
  belief: Belief,
  yields: BelievedYields,
  expected: Float64Array,
  prices: VarietyPrices,
): NetReturns {
  const { grainPerKg, costPerHa } = prices;
  const rates = belief.ratesSeedsPerM2;
  const { byCurve, weights, tops } = yields;
  const bestRates = new Float64Array(weights.length);
  const mostPerHa = new Float64Array(weights.length);
  const { bestPrice, leastCost } = extremesOf(prices);
  const mayEarn = new Float64Array(bestPrice.length);
  for (let c = 0; c < weights.length; c++) {
    const row = c * rates.length;
    for (let s = 0; s < mayEarn.length; s++)
      mayEarn[s] = tops[c * mayEarn.length + s]! * bestPrice[s]! - leastCost[s]!;
    const first = indexOfLargest(mayEarn);
    let most = -Infinity;
    let best = 0;
    for (let k = -1; k < mayEarn.length; k++) {
      const s = k === -1 ? first : k;
      if (mayEarn[s]! < most || k === first) continue;
      const end = Math.min((s + 1) * stretch, rates.length);
      for (let x = s * stretch; x < end; x++) {
        const one = byCurve[row + x]! * grainPerKg[x]! - costPerHa[x]!;
        if (one < most || (one === most && x > best)) continue;
        most = one;
        best = x;
      }
    }
    mostPerHa[c] = most;
    bestRates[c] =
      best === 0 || best === rates.length - 1
        ? rates[best]!
        : topOfThree(
            rates,
            best,
            byCurve[row + best - 1]! * grainPerKg[best - 1]! - costPerHa[best - 1]!,
            most,
            byCurve[row + best + 1]! * grainPerKg[best + 1]! - costPerHa[best + 1]!,
          );
  }
  return { prices, rates, weights, expected, bestRates, mostPerHa, yields };
}

/** The best price and the least cost on each stretch of rates. A price below 0 excludes no stretch. */
const extremesOf = remembered(({ grainPerKg, costPerHa }: VarietyPrices) => {
  const bestPrice = largestOfStretches(grainPerKg);
  const leastCost = largestOfStretches(costPerHa.map((cost) => -cost)).map((cost) => -cost);
  return grainPerKg.every((price) => price >= 0)
    ? { bestPrice, leastCost }
    : { bestPrice, leastCost: leastCost.fill(-Infinity) };
});

/** What each curve earns at a rate, linear between the rates of the table [money/ha]. */
export function earnedByCurve(
  { rates, prices: { grainPerKg, costPerHa }, yields: { byCurve } }: NetReturns,
  rate: number,
): Float64Array {
  const { index, share } = placeOf(rates, rate);
  const earned = new Float64Array(byCurve.length / rates.length);
  for (let c = 0, at = index; c < earned.length; c++, at += rates.length) {
    const here = byCurve[at]! * grainPerKg[index]! - costPerHa[index]!;
    const next = byCurve[at + 1]! * grainPerKg[index + 1]! - costPerHa[index + 1]!;
    earned[c] = here + share * (next - here);
  }
  return earned;
}

/** What yields at the rates of the table earn [money/ha]. */
export function netOf(
  yieldsKgPerHa: ArrayLike<number>,
  { grainPerKg, costPerHa }: Pick<VarietyPrices, "grainPerKg" | "costPerHa">,
): Float64Array {
  const earned = new Float64Array(yieldsKgPerHa.length);
  for (let x = 0; x < earned.length; x++) earned[x] = yieldsKgPerHa[x]! * grainPerKg[x]! - costPerHa[x]!;
  return earned;
}
