/** Reading values at the rates of a table, one row for each curve. */

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
  const before = values[best - 1]!;
  const at = values[best]!;
  const after = values[best + 1]!;
  const bend = before - 2 * at + after;
  return bend === 0 ? rates[x]! : rates[x]! + ((before - after) / (2 * bend)) * (rates[x + 1]! - rates[x]!);
}

/** Rate of the highest value under each kept curve. */
export function bestRates(rates: readonly number[], byCurve: Float64Array): Float64Array {
  const best = new Float64Array(byCurve.length / rates.length);
  for (let c = 0; c < best.length; c++) best[c] = rateOfBest(rates, byCurve, c * rates.length);
  return best;
}

/** Rates of the table between which a rate is: the index of the lower one, and the share of the way to the next. */
export function placeOf(rates: readonly number[], rate: number): { index: number; share: number } {
  const last = rates.length - 1;
  const place = ((rate - rates[0]!) / (rates[last]! - rates[0]!)) * last;
  const index = Math.min(Math.max(Math.floor(place), 0), last - 1);
  return { index, share: Math.min(Math.max(place - index, 0), 1) };
}

/** Straight between the rates of the table; at its ends beyond them. */
export function valueAt(rates: readonly number[], values: ArrayLike<number>, rate: number, row = 0): number {
  const { index, share } = placeOf(rates, rate);
  const at = row + index;
  return values[at]! + share * (values[at + 1]! - values[at]!);
}

/** Quantiles of weighted values: the lowest value that has a share of the weight at or below it. */
export function weightedQuantiles(values: Float64Array, weights: Float64Array): (share: number) => number {
  const sorted = values.slice().sort();
  const weightUpTo = (value: number): number => {
    let sum = 0;
    for (let i = 0; i < values.length; i++) if (values[i]! <= value) sum += weights[i]!;
    return sum;
  };
  return (share) => {
    let low = 0;
    let high = sorted.length - 1;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (weightUpTo(sorted[middle]!) >= share - 1e-12) high = middle;
      else low = middle + 1;
    }
    return sorted[low]!;
  };
}

/** Middle `level` of weighted values. */
export function weightedInterval(
  values: Float64Array,
  weights: Float64Array,
  level: number,
): { lower: number; upper: number } {
  const at = weightedQuantiles(values, weights);
  const tail = (1 - level) / 2;
  return { lower: at(tail), upper: at(1 - tail) };
}
