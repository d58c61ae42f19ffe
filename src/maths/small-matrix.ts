/** Products of small matrices, stored row by row in one array. */

/** a b, of n × inner and inner × m numbers. */
export function multiply(
  a: ArrayLike<number>,
  b: ArrayLike<number>,
  n: number,
  inner: number,
  m: number,
): Float64Array {
  const product = new Float64Array(n * m);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < m; j++) {
      let sum = 0;
      for (let k = 0; k < inner; k++) sum += a[i * inner + k]! * b[k * m + j]!;
      product[i * m + j] = sum;
    }
  return product;
}

/** aᵀ, of a with n × m numbers. */
export function transpose(a: ArrayLike<number>, n: number, m: number): Float64Array {
  const turned = new Float64Array(n * m);
  for (let i = 0; i < n; i++) for (let j = 0; j < m; j++) turned[j * n + i] = a[i * m + j]!;
  return turned;
}
