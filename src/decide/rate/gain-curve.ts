/**
 * What each rate earns over one rate, with the band of that difference, which is far narrower than the bands of the two
 * rates.
 */
import type { Belief, CurvePoint } from "../../vocabulary/result.ts";
import type { BelievedYields } from "./believed-yields.ts";
import { weightedInterval } from "../../maths/weighted-quantiles.ts";
import { valueAt } from "./curve-table.ts";
import type { NetReturns } from "./net-return.ts";

/**
 * @param from  rate that all others are compared with [seeds/m²]
 * @param level of the band
 * @returns one point for each `every`th rate of the table [money/ha]
 */
export function gainCurve(
  belief: Pick<Belief, "expectedKgPerHa">,
  { rates, yields, prices, expected }: NetReturns,
  from: number,
  level: number,
  every: number,
): CurvePoint[] {
  const { grainPerKg, costPerHa } = prices;
  const { spread } = differencesFrom(yields, rates, from, level, every);
  const [grainThere, costThere] = [valueAt(rates, grainPerKg, from), valueAt(rates, costPerHa, from)];
  const expectedThere = valueAt(rates, expected, from);
  const yieldThere = valueAt(rates, belief.expectedKgPerHa, from);
  return spread.map(({ x, lower, upper }) => {
    // Curves differ in how much more they yield; that the premium changes too matters only for the mean.
    const aside = yieldThere * (grainPerKg[x]! - grainThere) - (costPerHa[x]! - costThere);
    const earned = (kgPerHa: number): number => kgPerHa * grainPerKg[x]! + aside;
    return {
      rateSeedsPerM2: rates[x]!,
      value: expected[x]! - expectedThere,
      lower: earned(lower),
      upper: earned(upper),
    };
  });
}

interface Differences {
  from: number;
  level: number;
  /** Places in the table of rates, with the differences of yield that enclose the middle of the curves there [kg/ha]. */
  spread: { x: number; lower: number; upper: number }[];
}

/** It depends on no price, so it is kept for the next price. */
const known = new WeakMap<BelievedYields, Differences>();

function differencesFrom(
  yields: BelievedYields,
  rates: readonly number[],
  from: number,
  level: number,
  every: number,
): Differences {
  const last = known.get(yields);
  if (last !== undefined && last.from === from && last.level === level) return last;
  const { weights, byCurve } = yields;
  const there = weights.map((_, c) => valueAt(rates, byCurve, from, c * rates.length));
  const shown = rates.map((_, x) => x).filter((x) => x % every === 0);
  const spread = shown.map((x) => {
    const differences = weights.map((_, c) => byCurve[c * rates.length + x]! - there[c]!);
    return { x, ...weightedInterval(differences, weights, level) };
  });
  const made = { from, level, spread };
  known.set(yields, made);
  return made;
}
