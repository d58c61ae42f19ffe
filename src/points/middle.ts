/** The middle value, of an even number the upper of the two in the middle; NaN of none. */
export function middleOf(values: ArrayLike<number>): number {
  const sorted = Float64Array.from(values).sort();
  return sorted.length === 0 ? NaN : sorted[sorted.length >> 1]!;
}
