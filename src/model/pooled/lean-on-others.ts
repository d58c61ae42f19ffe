/**
 * How far the response of each variety leans on those of the others.
 *
 * Slope and bend of the varieties at the mean rate are taken as draws, each normal about a common mean with a variance
 * between varieties by REML; each variety's own estimates, with the covariance that the mixed model gives them, are
 * drawn toward the mean by as much as they are uncertain beside that variance. The same as random responses of the
 * varieties in the mixed model itself, its other variances held.
 *
 * Source: Robinson (1991), That BLUP is a good thing, Statist. Sci. 6:15–32.
 */
import { Matrix } from "ml-matrix";
import { cholesky, invertCholesky, logDeterminant } from "../../maths/cholesky.ts";
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
  const y = Matrix.columnVector([...slopes, ...bends]);
  const own = Matrix.from1DArray(order, order, Array.from(covariance));
  const partOf = (i: number): 0 | 1 => (i < count ? 0 : 1);
  // Standard deviations count in units of the typical error, so that steps of about 1 make sense.
  const scales = [0, 1].map((part) => {
    let sum = 0;
    for (let i = part * count; i < (part + 1) * count; i++) sum += own.get(i, i) / count;
    return Math.sqrt(sum);
  });
  const varianceOf = (between: ArrayLike<number>, i: number): number =>
    (between[partOf(i)]! * scales[partOf(i)]!) ** 2;
  const at = (between: ArrayLike<number>): Restricted => {
    const whole = own.clone();
    for (let i = 0; i < order; i++) whole.set(i, i, whole.get(i, i) + varianceOf(between, i));
    return restrictedAt(whole, y, count);
  };
  const found = findSmoothMinimum(
    (between) => {
      const { projection, projected, value } = at(between);
      const gradient = new Float64Array(2);
      for (let i = 0; i < order; i++) {
        const part = partOf(i);
        gradient[part]! +=
          2 * between[part]! * scales[part]! ** 2 * (projection.get(i, i) - projected.get(i, 0) ** 2);
      }
      return { value, gradient };
    },
    Float64Array.of(1, 1),
  );
  const between = found.x.map((value) => (Math.abs(value) < 1e-3 ? 0 : Math.abs(value)));
  const drawing = Matrix.eye(order).sub(own.mmul(at(between).projection));
  const shares = Array.from(
    { length: order },
    (_, i) => own.get(i, i) / (own.get(i, i) + varianceOf(between, i)),
  );
  return {
    slopeSpread: between[0]! * scales[0]!,
    bendSpread: between[1]! * scales[1]!,
    slopeShares: shares.slice(0, count),
    bendShares: shares.slice(count),
    drawing: drawing.to2DArray(),
  };
}

interface Restricted {
  /** P = Σ⁻¹ − Σ⁻¹X(X'Σ⁻¹X)⁻¹X'Σ⁻¹, and P y. */
  projection: Matrix;
  projected: Matrix;
  /** −2 log restricted likelihood. */
  value: number;
}

/**
 * @param whole  Σ, covariance of the estimates, what differs between varieties included
 * @param y      slopes of `count` varieties, then their bends
 */
function restrictedAt(whole: Matrix, y: Matrix, count: number): Restricted {
  const order = 2 * count;
  const mean = Matrix.zeros(order, 2);
  for (let i = 0; i < order; i++) mean.set(i, i < count ? 0 : 1, 1);
  const factor = cholesky(Float64Array.from(whole.to1DArray()), order)!;
  const inverted = Matrix.from1DArray(order, order, Array.from(invertCholesky(factor, order)));
  const weighted = inverted.mmul(mean);
  const normal = mean.transpose().mmul(weighted);
  const normalFactor = cholesky(Float64Array.from(normal.to1DArray()), 2)!;
  const inverseNormal = Matrix.from1DArray(2, 2, Array.from(invertCholesky(normalFactor, 2)));
  const projection = inverted.sub(weighted.mmul(inverseNormal).mmul(weighted.transpose()));
  const projected = projection.mmul(y);
  const value =
    logDeterminant(factor, order) + logDeterminant(normalFactor, 2) + y.transpose().mmul(projected).get(0, 0);
  return { projection, projected, value };
}
