/** Reading values at the rates of a table, one row for each curve. */
import { indexOfLargest } from "../../maths/weighted-quantiles.ts";

/** Rate of the highest value of a row: the top of a parabola through the best rate of the table and its neighbours. */
export function rateOfBest(rates: readonly number[], values: ArrayLike<number>, row = 0): number {
  const last = rates.length - 1;
  const best = indexOfLargest(values, row, row + last);
  const x = best - row;
  if (x === 0 || x === last) return rates[x]!;
  return topOfThree(rates, x, values[best - 1]!, values[best]!, values[best + 1]!);
}

/** Rate at the top of a parabola through the values at rate x of the table and at its neighbours. */
export function topOfThree(
  rates: readonly number[],
  x: number,
  before: number,
  at: number,
  after: number,
): number {
  const bend = before - 2 * at + after;
  return bend === 0 ? rates[x]! : rates[x]! + ((before - after) / (2 * bend)) * (rates[x + 1]! - rates[x]!);
}

/** Rate of the highest value under each kept curve. */
export function bestRates(rates: readonly number[], byCurve: Float64Array): Float64Array {
  const best = new Float64Array(byCurve.length / rates.length);
  for (let c = 0; c < best.length; c++) best[c] = rateOfBest(rates, byCurve, c * rates.length);
  return best;
}

/** Length of a stretch: neighbouring rates of the table that are looked at together. */
export const stretch = 8;

/** The largest value on each stretch of rates. */
export function largestOfStretches(values: Float64Array, row = 0, rates = values.length): Float64Array {
  const largest = new Float64Array(Math.ceil(rates / stretch)).fill(-Infinity);
  for (let x = 0; x < rates; x++) {
    const s = Math.floor(x / stretch);
    if (values[row + x]! > largest[s]!) largest[s] = values[row + x]!;
  }
  return largest;
}

/** Rates of the table between which a rate is: the index of the lower one, and the share of the way to the next. */
export function placeOf(rates: readonly number[], rate: number): { index: number; share: number } {
  const last = rates.length - 1;
  const place = ((rate - rates[0]!) / (rates[last]! - rates[0]!)) * last;
  const index = Math.min(Math.max(Math.floor(place), 0), last - 1);
  return { index, share: Math.min(Math.max(place - index, 0), 1) };
}

/** Linear between the rates of the table; beyond its ends, the value at the end. */
export function valueAt(rates: readonly number[], values: ArrayLike<number>, rate: number, row = 0): number {
  const { index, share } = placeOf(rates, rate);
  const at = row + index;
  return values[at]! + share * (values[at + 1]! - values[at]!);
}
