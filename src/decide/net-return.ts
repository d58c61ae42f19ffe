/** What each believable curve earns at each rate, at today's prices. */
import { averageOverSeasons } from "../model/forms/believable-curve.ts";
import type { Belief } from "../result.ts";
import type { Settings } from "../settings.ts";
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

/** Yields and net returns at the rates of the belief's table, each curve through the mean of the strips. */
export interface NetReturns {
  prices: VarietyPrices;
  rates: readonly number[];
  weights: Float64Array;
  /** Of the expected curve [money/ha], and of each curve, [curve][rate]. */
  expected: Float64Array;
  byCurve: Float64Array;
  /** [curve][rate, kg/ha]. */
  yieldsByCurve: Float64Array;
}

export function netReturns(belief: Belief, prices: VarietyPrices): NetReturns {
  const { ratesSeedsPerM2: rates, expectedKgPerHa, curves } = belief;
  const { grainPerKg, costPerHa } = prices;
  const yields = yieldsByCurve(belief);
  const net = (value: number, x: number): number => value * grainPerKg[x]! - costPerHa[x]!;
  return {
    prices,
    rates,
    weights: Float64Array.from(curves, (curve) => curve.weight),
    expected: Float64Array.from(expectedKgPerHa, net),
    byCurve: yields.map((value, i) => net(value, i % rates.length)),
    yieldsByCurve: yields,
  };
}

/** Yields by curve know no price: they are worked out once for each belief. */
const yieldTables = new WeakMap<Belief, Float64Array>();

/** Yield of every kept curve at every rate of the table, averaged over coming seasons [kg/ha], [curve][rate]. */
function yieldsByCurve(belief: Belief): Float64Array {
  const known = yieldTables.get(belief);
  if (known !== undefined) return known;
  const { ratesSeedsPerM2: rates, stripsAtRates, meanYieldKgPerHa: mean, curves } = belief;
  const tested = stripsAtRates.map((one) => one.rateSeedsPerM2);
  const strips = stripsAtRates.reduce((sum, one) => sum + one.strips, 0);
  const table = new Float64Array(curves.length * rates.length);
  curves.forEach((curve, c) => {
    const atTested = averageOverSeasons(curve, tested);
    const level = stripsAtRates.reduce((sum, one, k) => sum + (one.strips * atTested[k]!) / strips, 0);
    averageOverSeasons(curve, rates).forEach((share, x) => {
      table[c * rates.length + x] = mean * (1 + share - level);
    });
  });
  yieldTables.set(belief, table);
  return table;
}

/** Index of the largest value; the lowest rate of several that earn the same. */
export function indexOfBest(values: ArrayLike<number>, from = 0, to = values.length - 1): number {
  let best = from;
  for (let i = from + 1; i <= to; i++) if (values[i]! > values[best]!) best = i;
  return best;
}

/** Rate of the highest value of a row: the top of a parabola through the best rate of the table and its neighbours. */
export function rateOfBest(rates: readonly number[], values: ArrayLike<number>, row = 0): number {
  const last = rates.length - 1;
  const best = indexOfBest(values, row, row + last);
  const x = best - row;
  if (x === 0 || x === last) return rates[x]!;
  const [before, at, after] = [values[best - 1]!, values[best]!, values[best + 1]!];
  const bend = before - 2 * at + after;
  return bend === 0 ? rates[x]! : rates[x]! + ((before - after) / (2 * bend)) * (rates[x + 1]! - rates[x]!);
}

/** Rate of the highest value under each kept curve. */
export const bestRates = (rates: readonly number[], byCurve: Float64Array): Float64Array =>
  Float64Array.from({ length: byCurve.length / rates.length }, (_, c) =>
    rateOfBest(rates, byCurve, c * rates.length),
  );

/** Straight between the rates of the table; at its ends beyond them. */
export function valueAt(rates: readonly number[], values: ArrayLike<number>, rate: number, row = 0): number {
  const last = rates.length - 1;
  const place = ((rate - rates[0]!) / (rates[last]! - rates[0]!)) * last;
  const i = Math.min(Math.max(Math.floor(place), 0), last - 1);
  const share = Math.min(Math.max(place - i, 0), 1);
  return values[row + i]! + share * (values[row + i + 1]! - values[row + i]!);
}

/** Middle `level` of weighted values. */
export function weightedInterval(
  values: Float64Array,
  weights: Float64Array,
  level: number,
): { lower: number; upper: number } {
  const order = Uint32Array.from(values.keys()).sort((a, b) => values[a]! - values[b]! || a - b);
  const tail = (1 - level) / 2;
  const at = (wanted: number): number => {
    let sum = 0;
    for (const i of order) {
      sum += weights[i]!;
      if (sum >= wanted - 1e-12) return values[i]!;
    }
    return values[order[order.length - 1]!]!;
  };
  return { lower: at(tail), upper: at(1 - tail) };
}
