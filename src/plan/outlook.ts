/** What is believed of one variety, as curves × rates, so that trials can be simulated on it. */
import { indexOfLargest } from "../maths/weighted-quantiles.ts";

/** K curves with weights, S kinds of season, G rates. Yields and money are relative: each curve has its own free level. */
export interface Outlook {
  variety: string;
  /** Ascending [seeds/m²], length G. */
  ratesSeedsPerM2: Float64Array;
  /** Weights of the curves, sum 1, length K. */
  weights: Float64Array;
  /** Net return averaged over seasons, K × G [money/ha]. */
  netPerHa: Float64Array;
  /** Weights of the kinds of season, sum 1, length S. */
  seasonWeights: Float64Array;
  /** Yield in each kind of season, K × S × G [kg/ha]. */
  yieldKgPerHa: Float64Array;
  /** Sd between strips of one block [kg/ha]. */
  errorSdKgPerHa: number;
  /** First and last rate, by index, that may be chosen now: no advice goes beyond the tested rates. */
  tested: [number, number];
}

/** Expected net return at every rate [money/ha], with the outlook's weights or others. */
export function expectedNet(
  outlook: Outlook,
  weights: Float64Array = outlook.weights,
  into: Float64Array = new Float64Array(outlook.ratesSeedsPerM2.length),
): Float64Array {
  const rates = into.length;
  into.fill(0);
  for (let k = 0; k < weights.length; k++) {
    const weight = weights[k]!;
    if (weight === 0) continue;
    const row = k * rates;
    for (let g = 0; g < rates; g++) into[g]! += weight * outlook.netPerHa[row + g]!;
  }
  return into;
}

/** Rate that earns most under each curve [seeds/m²], between the grid's rates by a parabola. */
export function bestRates(outlook: Outlook): Float64Array {
  const { ratesSeedsPerM2: rates, netPerHa } = outlook;
  const count = rates.length;
  return Float64Array.from(outlook.weights, (_, k) =>
    topOfParabola(rates, netPerHa.subarray(k * count, (k + 1) * count)),
  );
}

function topOfParabola(rates: Float64Array, values: Float64Array): number {
  const top = indexOfLargest(values);
  if (top === 0 || top === rates.length - 1) return rates[top]!;
  const left = rates[top]! - rates[top - 1]!;
  const right = rates[top + 1]! - rates[top]!;
  const fallLeft = values[top]! - values[top - 1]!;
  const fallRight = values[top]! - values[top + 1]!;
  // Above 0: the top is the first of its height, so that values fall on its left.
  const curvature = fallLeft * right + fallRight * left;
  return rates[top]! + (fallLeft * right * right - fallRight * left * left) / (2 * curvature);
}

/** Index of the rate nearest to the one wanted. */
export function nearestRate(rates: ArrayLike<number>, wanted: number): number {
  let nearest = 0;
  for (let g = 1; g < rates.length; g++) {
    if (Math.abs(rates[g]! - wanted) < Math.abs(rates[nearest]! - wanted)) nearest = g;
  }
  return nearest;
}
