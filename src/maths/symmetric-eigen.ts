/** Eigenvalues and eigenvectors of symmetric matrices, stored row by row in one array of n × n numbers. */

export interface SymmetricEigen {
  /** Ascending. */
  values: Float64Array;
  /** Of length 1 and at right angles; row k belongs to `values[k]`. */
  vectors: Float64Array;
}

/**
 * Householder's reduction to three diagonals, then the QL algorithm with shifts.
 *
 * @param a  symmetric, n ≥ 1, every number finite; its lower triangle is read
 * Source: Bowdler, Martin, Reinsch & Wilkinson (1968), The QR and QL algorithms for symmetric matrices, Numer. Math.
 * 11:293–306; the EISPACK routines tred2 and tql2.
 */
export function symmetricEigen(a: Float64Array, n: number): SymmetricEigen {
  const v = new Float64Array(n * n);
  for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) v[j * n + i] = a[i * n + j]!;
  const [d, e] = [new Float64Array(n), new Float64Array(n)];
  reduce(v, d, e, n);
  gatherRotations(v, d, e, n);
  turnToDiagonal(v, d, e, n);
  sortUpward(v, d, n);
  return { values: d, vectors: v };
}

/** Reflections that leave three diagonals: `e` beside the main one; the reflections stay in `v`, their sizes in `d`. */
function reduce(v: Float64Array, d: Float64Array, e: Float64Array, n: number): void {
  for (let j = 0; j < n; j++) d[j] = v[j * n + n - 1]!;
  for (let i = n - 1; i > 0; i--) {
    let scale = 0;
    for (let k = 0; k < i; k++) scale += Math.abs(d[k]!);
    let h = 0;
    if (scale === 0) {
      e[i] = d[i - 1]!;
      for (let j = 0; j < i; j++) {
        d[j] = v[j * n + i - 1]!;
        v[j * n + i] = 0;
        v[i * n + j] = 0;
      }
    } else {
      for (let k = 0; k < i; k++) {
        d[k]! /= scale;
        h += d[k]! * d[k]!;
      }
      const f = d[i - 1]!;
      const g = f > 0 ? -Math.sqrt(h) : Math.sqrt(h);
      e[i] = scale * g;
      h -= f * g;
      d[i - 1] = f - g;
      reflect(v, d, e, n, i, h);
    }
    d[i] = h;
  }
}

/** The reflection along `d` of the leading i rows and columns. */
function reflect(v: Float64Array, d: Float64Array, e: Float64Array, n: number, i: number, h: number): void {
  for (let j = 0; j < i; j++) e[j] = 0;
  for (let j = 0; j < i; j++) {
    const f = d[j]!;
    v[i * n + j] = f;
    let g = e[j]! + v[j * n + j]! * f;
    for (let k = j + 1; k < i; k++) {
      g += v[j * n + k]! * d[k]!;
      e[k]! += v[j * n + k]! * f;
    }
    e[j] = g;
  }
  let sum = 0;
  for (let j = 0; j < i; j++) {
    e[j]! /= h;
    sum += e[j]! * d[j]!;
  }
  const half = sum / (h + h);
  for (let j = 0; j < i; j++) e[j]! -= half * d[j]!;
  for (let j = 0; j < i; j++) {
    const [f, g] = [d[j]!, e[j]!];
    for (let k = j; k < i; k++) v[j * n + k]! -= f * e[k]! + g * d[k]!;
    d[j] = v[j * n + i - 1]!;
    v[j * n + i] = 0;
  }
}

/** All reflections as one rotation in `v`, the main diagonal in `d`. */
function gatherRotations(v: Float64Array, d: Float64Array, e: Float64Array, n: number): void {
  for (let i = 0; i < n - 1; i++) {
    v[i * n + n - 1] = v[i * n + i]!;
    v[i * n + i] = 1;
    const h = d[i + 1]!;
    const next = (i + 1) * n;
    if (h !== 0) {
      for (let k = 0; k <= i; k++) d[k] = v[next + k]! / h;
      for (let j = 0; j <= i; j++) {
        let g = 0;
        for (let k = 0; k <= i; k++) g += v[next + k]! * v[j * n + k]!;
        for (let k = 0; k <= i; k++) v[j * n + k]! -= g * d[k]!;
      }
    }
    for (let k = 0; k <= i; k++) v[next + k] = 0;
  }
  for (let j = 0; j < n; j++) {
    d[j] = v[j * n + n - 1]!;
    v[j * n + n - 1] = 0;
  }
  v[n * n - 1] = 1;
  e[0] = 0;
}

/** Rotations until what is beside the main diagonal is no more than rounding. */
function turnToDiagonal(v: Float64Array, d: Float64Array, e: Float64Array, n: number): void {
  e.copyWithin(0, 1);
  e[n - 1] = 0;
  let shift = 0;
  let size = 0;
  for (let l = 0; l < n; l++) {
    size = Math.max(size, Math.abs(d[l]!) + Math.abs(e[l]!));
    let m = l;
    while (m < n - 1 && Math.abs(e[m]!) > Number.EPSILON * size) m++;
    if (m > l)
      do shift += rotateOnce(v, d, e, n, l, m);
      while (Math.abs(e[l]!) > Number.EPSILON * size);
    d[l]! += shift;
    e[l] = 0;
  }
}

/** One shifted sweep of rotations from place m up to place l; the shift taken off what is not done yet. */
function rotateOnce(
  v: Float64Array,
  d: Float64Array,
  e: Float64Array,
  n: number,
  l: number,
  m: number,
): number {
  const g = d[l]!;
  const slope = (d[l + 1]! - g) / (2 * e[l]!);
  const root = slope < 0 ? -length(slope, 1) : length(slope, 1);
  d[l] = e[l]! / (slope + root);
  d[l + 1] = e[l]! * (slope + root);
  const [upper, beside] = [d[l + 1]!, e[l + 1]!];
  const shift = g - d[l]!;
  for (let i = l + 2; i < n; i++) d[i]! -= shift;
  let p = d[m]!;
  let [c, c2, c3, s, s2] = [1, 1, 1, 0, 0];
  for (let i = m - 1; i >= l; i--) {
    c3 = c2;
    c2 = c;
    s2 = s;
    const along = c * e[i]!;
    const across = c * p;
    const r = length(p, e[i]!);
    e[i + 1] = s * r;
    s = e[i]! / r;
    c = p / r;
    p = c * d[i]! - s * along;
    d[i + 1] = across + s * (c * along + s * d[i]!);
    for (let at = i * n, next = at + n; at < (i + 1) * n; at++, next++) {
      const here = v[at]!;
      const there = v[next]!;
      v[next] = s * here + c * there;
      v[at] = c * here - s * there;
    }
  }
  p = (-s * s2 * c3 * beside * e[l]!) / upper;
  e[l] = s * p;
  d[l] = c * p;
  return shift;
}

function sortUpward(v: Float64Array, d: Float64Array, n: number): void {
  for (let i = 0; i < n - 1; i++) {
    let least = i;
    for (let j = i + 1; j < n; j++) if (d[j]! < d[least]!) least = j;
    if (least === i) continue;
    [d[i], d[least]] = [d[least]!, d[i]!];
    const row = v.slice(i * n, (i + 1) * n);
    v.copyWithin(i * n, least * n, (least + 1) * n);
    v.set(row, least * n);
  }
}

/** √(a² + b²) without overflow. */
function length(a: number, b: number): number {
  const [larger, smaller] =
    Math.abs(a) > Math.abs(b) ? [Math.abs(a), b / a] : [Math.abs(b), b === 0 ? 0 : a / b];
  return larger * Math.sqrt(1 + smaller * smaller);
}
