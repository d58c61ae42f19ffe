/** A sample of the standard normal distribution that is even, however many are taken of it. */
import { normalQuantile } from "./distributions.ts";

/**
 * The quantile at the place that the van der Corput sequence gives a number: 1/2, 1/4, 3/4, 1/8, 5/8, 3/8, 7/8, …
 *
 * @param number  1, 2, 3, …
 */
export const evenNormal = (number: number): number => normalQuantile(mirrored(number));

/** The binary digits of a number, mirrored at the point. */
function mirrored(number: number): number {
  let value = 0;
  for (let left = number, digit = 0.5; left > 0; left >>= 1, digit /= 2) value += (left & 1) * digit;
  return value;
}
