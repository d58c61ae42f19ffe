/** Symmetric positive definite matrices, stored row by row in one array of n × n numbers. */

/**
 * Lower triangle L with L Lᵀ = a; the upper triangle of the answer is 0.
 *
 * @returns null when a is not positive definite to working precision
 */
export function cholesky(a: Float64Array, n: number): Float64Array | null {
  const l = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j <= i; j++) {
      let sum = a[i * n + j]!;
      for (let k = 0; k < j; k++) sum -= l[i * n + k]! * l[j * n + k]!;
      if (i > j) l[i * n + j] = sum / l[j * n + j]!;
      else if (sum > 1e-13 * Math.abs(a[i * n + i]!)) l[i * n + i] = Math.sqrt(sum);
      else return null;
    }
  return l;
}

/** x with L Lᵀ x = b. */
export function solveCholesky(l: Float64Array, n: number, b: ArrayLike<number>): Float64Array {
  const x = Float64Array.from(b);
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < i; k++) x[i]! -= l[i * n + k]! * x[k]!;
    x[i]! /= l[i * n + i]!;
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let k = i + 1; k < n; k++) x[i]! -= l[k * n + i]! * x[k]!;
    x[i]! /= l[i * n + i]!;
  }
  return x;
}

/** Inverse of L Lᵀ, by way of W = L⁻¹: WᵀW. */
export function invertCholesky(l: Float64Array, n: number): Float64Array {
  const w = new Float64Array(n * n);
  for (let j = 0; j < n; j++) {
    w[j * n + j] = 1 / l[j * n + j]!;
    for (let i = j + 1; i < n; i++) {
      let sum = 0;
      for (let k = j; k < i; k++) sum -= l[i * n + k]! * w[k * n + j]!;
      w[i * n + j] = sum / l[i * n + i]!;
    }
  }
  const inverse = new Float64Array(n * n);
  for (let k = 0; k < n; k++)
    for (let i = 0; i <= k; i++) {
      const wki = w[k * n + i]!;
      if (wki !== 0) for (let j = 0; j <= i; j++) inverse[i * n + j]! += wki * w[k * n + j]!;
    }
  for (let i = 0; i < n; i++) for (let j = 0; j < i; j++) inverse[j * n + i] = inverse[i * n + j]!;
  return inverse;
}

/** log |L Lᵀ|. */
export function logDeterminant(l: Float64Array, n: number): number {
  let sum = 0;
  for (let i = 0; i < n; i++) sum += 2 * Math.log(l[i * n + i]!);
  return sum;
}
