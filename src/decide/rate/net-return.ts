/** What each believable curve earns at each rate, at given prices. */
import type { Belief } from "../../vocabulary/result.ts";
import type { Settings } from "../../vocabulary/settings.ts";
import { believedYields, fieldYields, type BelievedYields } from "./believed-yields.ts";
import { placeOf, rateOfBest } from "./curve-table.ts";
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
  /** Of the expected curve, at each rate [money/ha]. */
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
 * On each field by itself: the expected curve is the mean of the kept ones.
 *
 * @param yieldsKgPerHa  mean yield of each field, in the order of `belief.fields`: better ground pays more seed
 */
export const netReturnsOfFields = (
  belief: Belief,
  prices: VarietyPrices,
  yieldsKgPerHa: readonly number[],
): NetReturns[] =>
  fieldYields(belief, yieldsKgPerHa).map((yields) =>
    netOfYields(belief, yields, netOf(yields.meanKgPerHa, prices), prices),
  );

/** The returns of all curves are a table of some megabytes: one row of it at a time is worked out and read. */
function netOfYields(
  belief: Belief,
  yields: BelievedYields,
  expected: Float64Array,
  prices: VarietyPrices,
): NetReturns {
  const { grainPerKg, costPerHa } = prices;
  const rates = belief.ratesSeedsPerM2;
  const { byCurve, weights } = yields;
  const bestRates = new Float64Array(weights.length);
  const mostPerHa = new Float64Array(weights.length);
  const earned = new Float64Array(rates.length);
  for (let c = 0, at = 0; c < weights.length; c++) {
    let most = -Infinity;
    for (let x = 0; x < earned.length; x++, at++) {
      const one = byCurve[at]! * grainPerKg[x]! - costPerHa[x]!;
      earned[x] = one;
      if (one > most) most = one;
    }
    mostPerHa[c] = most;
    bestRates[c] = rateOfBest(rates, earned);
  }
  return { prices, rates, weights, expected, bestRates, mostPerHa, yields };
}

/** What each curve earns at a rate, straight between the rates of the table [money/ha]. */
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
