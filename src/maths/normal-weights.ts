/** Weights by the normal distribution at places of an axis. */

/** Density of a normal distribution x from its middle, over that in the middle. */
export const bell = (x: number, sd: number): number => Math.exp(-0.5 * (x / sd) ** 2);

/** The same weights with sum 1. */
export function normalise(weights: readonly number[]): number[] {
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  return weights.map((weight) => weight / total);
}
