/** Smoothing with a normal distribution on an even axis. */

/** Kernels end at this many standard deviations. */
const reach = 3;

/**
 * Half of a symmetric kernel: weights at 0, 1, 2 … steps; with both sides they sum to 1.
 *
 * @example normalKernel(0, 1) // [1]
 */
export function normalKernel(sd: number, step: number): Float64Array {
  if (sd === 0) return Float64Array.of(1);
  const length = Math.ceil((reach * sd) / step) + 1;
  const half = Float64Array.from({ length }, (_, i) => Math.exp(-0.5 * ((i * step) / sd) ** 2));
  const total = half.reduce((sum, weight) => sum + 2 * weight, -half[0]!);
  return half.map((weight) => weight / total);
}
