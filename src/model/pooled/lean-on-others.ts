/**
 * How much the response of each variety draws on those of the others.
 *
 * Slope and bend of the varieties at the mean rate are treated as draws, each normal around a common mean, with the
 * variance between varieties by REML; each variety's own estimates, with the covariance that the mixed model gives
 * them, are drawn toward the mean, the more so the more uncertain they are compared with that variance. This equals
 * random responses of the varieties in the mixed model itself with its other variances fixed.
 *
 * Source: Robinson (1991), That BLUP is a good thing, Statist. Sci. 6:15–32.
 */
import { cholesky, invertCholesky, logDeterminant } from "../../maths/cholesky.ts";
import { dot } from "../../maths/dot.ts";
import { multiply, transpose } from "../../maths/small-matrix.ts";
import { findSmoothMinimum } from "../../maths/smooth-minimum.ts";

export interface Leaned {
  /** Standard deviations between varieties. */
  slopeSpread: number;
  bendSpread: number;
  /** Share by which each is drawn to the mean: 0 alone, 1 wholly. */
  slopeShares: number[];
  bendShares: number[];
  /**
   * Drawn estimates = drawing × (slopes, then bends), row by row. An error covariance C of the estimates leaves
   * drawing × C for the drawn ones, and a small change D of C changes that by drawing × D × drawing'.
   */
  drawing: number[][];
}

/**
 * @param slopes      one a variety, at the mean rate
 * @param bends       coefficient of u², one a variety
 * @param covariance  of all slopes, then all bends, row by row
 * @returns null with fewer than two varieties, or where the covariance is not positive definite
 */
export function leanOnOthers(
  slopes: readonly number[],
  bends: readonly number[],
  covariance: Float64Array,
): Leaned | null {
  const count = slopes.length;
  const order = 2 * count;
  if (count < 2 || cholesky(covariance, order) === null) return null;
  const y = Float64Array.of(...slopes, ...bends);
  /** Error variance of an estimate. */
  const ownVariance = (i: number): number => covariance[i * order + i]!;
  const partOf = (i: number): 0 | 1 => (i < count ? 0 : 1);
  // Standard deviations are in units of the typical error, so that steps of about 1 make sense.
  const scales = [0, 1].map((part) => {
    let sum = 0;
    for (let i = part * count; i < (part + 1) * count; i++) sum += ownVariance(i) / count;
    return Math.sqrt(sum);
  });
  const varianceOf = (between: ArrayLike<number>, i: number): number =>
    (between[partOf(i)]! * scales[partOf(i)]!) ** 2;
  const at = (between: ArrayLike<number>): Restricted => {
    const whole = covariance.slice();
    for (let i = 0; i < order; i++) whole[i * order + i]! += varianceOf(between, i);
    return restrictedAt(whole, y, count);
  };
  const found = findSmoothMinimum(
    (between) => {
      const { projection, projected, value } = at(between);
      const gradient = new Float64Array(2);
      for (let i = 0; i < order; i++) {
        const part = partOf(i);
        gradient[part]! +=
          2 * between[part]! * scales[part]! ** 2 * (projection[i * order + i]! - projected[i]! ** 2);
      }
      return { value, gradient };
    },
    Float64Array.of(1, 1),
  );
  const between = found.x.map((value) => (Math.abs(value) < 1e-3 ? 0 : Math.abs(value)));
  const drawn = multiply(covariance, at(between).projection, order, order, order);
  const shares = Array.from(
    { length: order },
    (_, i) => ownVariance(i) / (ownVariance(i) + varianceOf(between, i)),
  );
  return {
    slopeSpread: between[0]! * scales[0]!,
    bendSpread: between[1]! * scales[1]!,
    slopeShares: shares.slice(0, count),
    bendShares: shares.slice(count),
    drawing: Array.from({ length: order }, (_, i) =>
      Array.from({ length: order }, (_, j) => (i === j ? 1 : 0) - drawn[i * order + j]!),
    ),
  };
}

interface Restricted {
  /** P = Σ⁻¹ − Σ⁻¹X(X'Σ⁻¹X)⁻¹X'Σ⁻¹, and P y. */
  projection: Float64Array;
  projected: Float64Array;
  /** −2 log restricted likelihood. */
  value: number;
}

/**
 * @param whole  Σ, covariance of the estimates, including the variance between varieties
 * @param y      slopes of `count` varieties, then their bends
 */
function restrictedAt(whole: Float64Array, y: Float64Array, count: number): Restricted {
  const order = 2 * count;
  const mean = new Float64Array(2 * order);
  for (let i = 0; i < order; i++) mean[2 * i + (i < count ? 0 : 1)] = 1;
  const factor = cholesky(whole, order)!;
  const inverted = invertCholesky(factor, order);
  const weighted = multiply(inverted, mean, order, order, 2);
  const normal = multiply(transpose(mean, order, 2), weighted, 2, order, 2);
  const normalFactor = cholesky(normal, 2)!;
  const half = multiply(weighted, invertCholesky(normalFactor, 2), order, 2, 2);
  const explained = multiply(half, transpose(weighted, order, 2), order, 2, order);
  const projection = inverted.map((entry, at) => entry - explained[at]!);
  const projected = multiply(projection, y, order, order, 1);
  const value = logDeterminant(factor, order) + logDeterminant(normalFactor, 2) + dot(y, projected);
  return { projection, projected, value };
}
