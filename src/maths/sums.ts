/** Sums over lists of numbers that are too long for a function call each. */

/** @example sumOf(Float64Array.of(1, 2)) // 3 */
export function sumOf(values: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += values[i]!;
  return sum;
}

/** Rows of one length added up, each times its weight. */
export function weightedRows(rows: readonly Float64Array[], weights: readonly number[]): Float64Array {
  const sums = new Float64Array(rows[0]!.length);
  rows.forEach((row, r) => {
    const weight = weights[r]!;
    for (let i = 0; i < sums.length; i++) sums[i]! += weight * row[i]!;
  });
  return sums;
}
