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

/** What values come to at one place under a kernel of `normalKernel`; the outermost stand for those beyond the ends. */
export function smoothedAt(values: ArrayLike<number>, place: number, half: Float64Array): number {
  let sum = 0;
  for (let d = 1 - half.length; d < half.length; d++)
    sum += half[Math.abs(d)]! * values[Math.min(Math.max(place + d, 0), values.length - 1)]!;
  return sum;
}

/** A wide kernel at every second step: sums over a smooth function are then as near. */
export interface Smoother {
  /** Weights at 0, 1, 2 … strides; with both sides they sum to 1. */
  half: Float64Array;
  /** Steps between weights. */
  stride: number;
  /** Steps from the middle to the last weight. */
  reach: number;
}

/** From so many steps on, every second one is enough: sums of a normal density at even places of 1.25 sd are right to 1e-5. */
const wideSteps = 2.5;

export function normalSmoother(sd: number, step: number): Smoother {
  const stride = sd >= wideSteps * step ? 2 : 1;
  const half = normalKernel(sd, stride * step);
  return { half, stride, reach: (half.length - 1) * stride };
}
