/** Rates at which a variety's curves are evaluated, and their level. */
import { firstAndLast } from "../../maths/first-and-last.ts";
import type { RateEvidence } from "./rate-evidence.ts";

/** Rates of a table. */
const tabulated = 121;

export interface RateTable {
  /** Evenly from the lowest to the highest tested. */
  rates: number[];
  /** Every tested rate, ascending. */
  strips: { rateSeedsPerM2: number; strips: number }[];
  meanYield: number;
}

/** @param mine evidence of one variety */
export function rateTable(mine: readonly RateEvidence[]): RateTable {
  const counts = new Map<number, number>();
  let [yields, strips] = [0, 0];
  for (const one of mine) {
    one.rates.forEach((rate, k) => counts.set(rate, (counts.get(rate) ?? 0) + one.counts[k]!));
    yields += one.strips * one.meanYieldKgPerHa;
    strips += one.strips;
  }
  const tested = [...counts.keys()].sort((a, b) => a - b);
  return {
    rates: evenRates(firstAndLast(tested)),
    strips: tested.map((rate) => ({ rateSeedsPerM2: rate, strips: counts.get(rate)! })),
    meanYield: yields / strips,
  };
}

/** Rates at which a curve is evaluated, evenly from the lowest to the highest tested. */
export function evenRates([lowest, highest]: readonly [number, number]): number[] {
  const step = (highest - lowest) / (tabulated - 1);
  return Array.from({ length: tabulated }, (_, i) => (i === tabulated - 1 ? highest : lowest + i * step));
}

/** Shares of the mean yield at the rates of the table → kg/ha, so that the mean over the strips is their mean yield. */
export function throughMean(shares: Float64Array, { rates, strips, meanYield }: RateTable): number[] {
  const step = rates[1]! - rates[0]!;
  let [sum, count] = [0, 0];
  for (const { rateSeedsPerM2, strips: n } of strips) {
    const at = Math.min((rateSeedsPerM2 - rates[0]!) / step, rates.length - 1.000001);
    const i = Math.floor(at);
    sum += n * (shares[i]! + (at - i) * (shares[i + 1]! - shares[i]!));
    count += n;
  }
  return Array.from(shares, (share) => meanYield * (1 + share - sum / count));
}
