/** What each believable curve earns at each rate, at given prices. */
import type { Belief } from "../../vocabulary/result.ts";
import type { Settings } from "../../vocabulary/settings.ts";
import { believedYields, fieldYields, type BelievedYields } from "./believed-yields.ts";
import type { QualityMoney } from "./quality.ts";
import { pricePerThousandViable, seedCostPerHa } from "./seed-cost.ts";

/** What a kg of grain brings and what the field costs, at each rate of a belief's table. */
export interface VarietyPrices {
  /** Money per thousand viable seeds. */
  seedPricePerThousand: number;
  /** Grain with its protein premium [money/kg]. */
  grainPerKg: Float64Array;
  /** Seed, and loss where lodged [money/ha]. */
  costPerHa: Float64Array;
}

/**
 * What a variety's grain brings and its seed costs, at each rate of its table.
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
  /** Of the expected curve [money/ha], and of each curve, [curve][rate]. */
  expected: Float64Array;
  byCurve: Float64Array;
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

function netOfYields(
  belief: Belief,
  yields: BelievedYields,
  expected: Float64Array,
  prices: VarietyPrices,
): NetReturns {
  const { grainPerKg, costPerHa } = prices;
  const rates = grainPerKg.length;
  const ofCurve = yields.byCurve;
  const byCurve = new Float64Array(ofCurve.length);
  for (let row = 0; row < byCurve.length; row += rates)
    for (let x = 0; x < rates; x++) byCurve[row + x] = ofCurve[row + x]! * grainPerKg[x]! - costPerHa[x]!;
  return {
    prices,
    rates: belief.ratesSeedsPerM2,
    weights: yields.weights,
    expected,
    byCurve,
    yields,
  };
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
