/** Rates for tables: as they are while they are few, otherwise in classes of equal width. */

/** More different rates than this are shown in classes. */
const mostRates = 24;
const classes = 12;

/**
 * For every rate the one it is shown as: itself, or the mean of the rates of its class.
 *
 * @param rates all rates of a table [seeds/m²], at least one
 * @example rateClasses([200, 300, 300])(300) // 300
 */
export function rateClasses(rates: readonly number[]): (rate: number) => number {
  if (new Set(rates).size <= mostRates) return (rate) => rate;
  const lowest = rates.reduce((least, rate) => Math.min(least, rate));
  const highest = rates.reduce((most, rate) => Math.max(most, rate));
  const classOf = (rate: number): number =>
    Math.min(classes - 1, Math.floor(((rate - lowest) / (highest - lowest)) * classes));
  const sums = new Float64Array(classes);
  const counts = new Float64Array(classes);
  for (const rate of rates) {
    sums[classOf(rate)]! += rate;
    counts[classOf(rate)]! += 1;
  }
  return (rate) => sums[classOf(rate)]! / counts[classOf(rate)]!;
}
