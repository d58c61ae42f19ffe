/** Quantiles of weighted values: the lowest value that a share of the weight lies at or below. */

/** A share counts as reached where the sum of the weights misses it by less: sums are rounded. */
const rounding = 1e-12;

/** Index of the largest of `values[from]` … `values[to]`; of equal ones the earlier. */
export function indexOfLargest(values: ArrayLike<number>, from = 0, to = values.length - 1): number {
  let best = from;
  for (let i = from + 1; i <= to; i++) if (values[i]! > values[best]!) best = i;
  return best;
}

/** Indexes of the values, the smallest value first; of equal ones the earlier. */
export const sortOrder = (values: Float64Array): Uint32Array =>
  Uint32Array.from(values.keys()).sort((a, b) => values[a]! - values[b]! || a - b);

/** Quantiles of values in any order: the weights are added up for the shares that are asked alone. */
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
      if (weightUpTo(sorted[middle]!) >= share - rounding) high = middle;
      else low = middle + 1;
    }
    return sorted[low]!;
  };
}

/**
 * Middle `level` of weighted values.
 *
 * @param weights  sum 1
 */
export function weightedInterval(
  values: Float64Array,
  weights: Float64Array,
  level: number,
): { lower: number; upper: number } {
  const at = weightedQuantiles(values, weights);
  const tail = (1 - level) / 2;
  return { lower: at(tail), upper: at(1 - tail) };
}

/**
 * The same for values whose order is known, in one pass: for the same values under ever new weights.
 *
 * @param order  from `sortOrder`
 */
export function intervalInOrder(
  values: Float64Array,
  order: Uint32Array,
  weights: Float64Array,
  level: number,
): { lower: number; upper: number } {
  const tail = (1 - level) / 2;
  let i = 0;
  let sum = weights[order[0]!]!;
  while (sum < tail - rounding && i < order.length - 1) sum += weights[order[++i]!]!;
  const lower = values[order[i]!]!;
  while (sum < 1 - tail - rounding && i < order.length - 1) sum += weights[order[++i]!]!;
  return { lower, upper: values[order[i]!]! };
}
