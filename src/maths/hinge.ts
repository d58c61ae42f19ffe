/**
 * Least squares of a hinge: f(x) = max(j − x, 0) or its square, with the join j unknown and a level for each group.
 *
 * Between two neighbouring values of x the same points lie below the join, so there f is a polynomial in j. So are its
 * sum of squares and its sum of products with y once group means are taken off, and what the fit gains over no slope is
 * their ratio: its highest place, and every join whose fit is nearly as good, are roots of polynomials of degree four at
 * most. Every stretch is searched, so the best join is the best of all. One pass over the points, linear in their number.
 *
 * Source: Hudson (1966), Fitting segmented curves whose join points have to be estimated, JASA 61:1097–1129, for the
 * search by stretches; the sums are algebra. Reference check: test/reference/rate-response.
 */
import type { GroupedPoints } from "./grouped-points.ts";
import { crossings, evaluate } from "./polynomial.ts";

export type HingeDegree = 1 | 2;

/** Stretches of joins between neighbouring x, from the second lowest to the highest, in u = (x − lowest)/range. */
export interface HingeStretches {
  degree: HingeDegree;
  count: number;
  /** Ends of the stretches: stretch s runs from ends[s] to ends[s + 1]. */
  ends: Float64Array;
  /** Σ f y as a polynomial in j, degree + 1 coefficients a stretch. */
  products: Float64Array;
  /** Σ f² as a polynomial in j, 2·degree + 1 coefficients a stretch. */
  squares: Float64Array;
  /** Observations below the join. */
  below: Float64Array;
  groupedSs: number;
}

/** A run of joins; an open end is the end of the joins allowed, not of what the data say. */
export interface JoinRange {
  from: number;
  to: number;
  fromOpen: boolean;
  toOpen: boolean;
}

/**
 * The stretches and their polynomials.
 *
 * @returns null with fewer than three different x: then a join cannot be told
 */
export function hingeStretches(p: GroupedPoints, degree: HingeDegree): HingeStretches | null {
  const distinct = p.starts.length - 1;
  if (distinct < 3) return null;
  const count = distinct - 2;
  const perProduct = degree + 1;
  const perSquare = 2 * degree + 1;
  const stretches: HingeStretches = {
    degree,
    count,
    ends: new Float64Array(count + 1),
    products: new Float64Array(count * perProduct),
    squares: new Float64Array(count * perSquare),
    below: new Float64Array(count),
    groupedSs: p.groupedSs,
  };
  const { products, squares, below, ends } = stretches;
  const range = p.highest - p.lowest;
  const inGroup0 = new Float64Array(p.groups);
  const inGroup1 = new Float64Array(p.groups);
  const inGroup2 = new Float64Array(p.groups);
  let [m0, m1, m2, m3, m4] = [0, 0, 0, 0, 0];
  let [q00, q01, q02, q11, q12, q22] = [0, 0, 0, 0, 0, 0];
  let [t0, t1, t2] = [0, 0, 0];
  for (let k = 0; k < distinct - 1; k++) {
    const u = (p.x[p.starts[k]!]! - p.lowest) / range;
    for (let i = p.starts[k]!; i < p.starts[k + 1]!; i++) {
      const g = p.group[i]!;
      const w = p.weight[i]!;
      const d0 = w;
      const d1 = w * u;
      const d2 = w * u * u;
      const a0 = inGroup0[g]!;
      const a1 = inGroup1[g]!;
      const a2 = inGroup2[g]!;
      const share = 1 / p.groupWeight[g]!;
      q00 += (2 * a0 * d0 + d0 * d0) * share;
      q01 += (a0 * d1 + a1 * d0 + d0 * d1) * share;
      q11 += (2 * a1 * d1 + d1 * d1) * share;
      q02 += (a0 * d2 + a2 * d0 + d0 * d2) * share;
      q12 += (a1 * d2 + a2 * d1 + d1 * d2) * share;
      q22 += (2 * a2 * d2 + d2 * d2) * share;
      inGroup0[g] = a0 + d0;
      inGroup1[g] = a1 + d1;
      inGroup2[g] = a2 + d2;
      m0 += d0;
      m1 += d1;
      m2 += d2;
      m3 += d2 * u;
      m4 += d2 * u * u;
      const wy = w * p.y[i]!;
      t0 += wy;
      t1 += wy * u;
      t2 += wy * u * u;
    }
    if (k === 0) continue;
    const s = k - 1;
    ends[s] = u;
    const s00 = m0 - q00;
    const s01 = m1 - q01;
    const s11 = m2 - q11;
    if (degree === 1) {
      products[2 * s] = -t1;
      products[2 * s + 1] = t0;
      squares[3 * s] = s11;
      squares[3 * s + 1] = -2 * s01;
      squares[3 * s + 2] = s00;
    } else {
      const s02 = m2 - q02;
      const s12 = m3 - q12;
      const s22 = m4 - q22;
      products[3 * s] = t2;
      products[3 * s + 1] = -2 * t1;
      products[3 * s + 2] = t0;
      squares[5 * s] = s22;
      squares[5 * s + 1] = -4 * s12;
      squares[5 * s + 2] = 2 * s02 + 4 * s11;
      squares[5 * s + 3] = -4 * s01;
      squares[5 * s + 4] = s00;
    }
    below[s] = m0;
  }
  ends[count] = 1;
  return stretches;
}

const productsAt = (h: HingeStretches, s: number): Float64Array =>
  h.products.subarray(s * (h.degree + 1), (s + 1) * (h.degree + 1));
const squaresAt = (h: HingeStretches, s: number): Float64Array =>
  h.squares.subarray(s * (2 * h.degree + 1), (s + 1) * (2 * h.degree + 1));

/** Whether Σ f² at a join is more than rounding error, so that a slope can be told there. */
const isTold = (h: HingeStretches, s: number, join: number, square: number): boolean =>
  square > 1e-12 * h.below[s]! * join ** (2 * h.degree);

/** The join of least residual sum of squares, in u. Of several equally good the lowest. */
export function bestJoin(h: HingeStretches): number {
  let best = h.ends[0]!;
  let bestGain = 0;
  const margin = 1e-13 * h.groupedSs;
  const consider = (s: number, join: number): void => {
    const square = evaluate(squaresAt(h, s), join);
    if (!isTold(h, s, join, square)) return;
    const gain = evaluate(productsAt(h, s), join) ** 2 / square;
    if (gain > bestGain + margin) {
      bestGain = gain;
      best = join;
    }
  };
  consider(0, h.ends[0]!);
  for (let s = 0; s < h.count; s++) {
    for (const join of stationaryJoins(h, s)) consider(s, join);
    consider(s, h.ends[s + 1]!);
  }
  return best;
}

/** Where 2·products′·squares = products·squares′ inside a stretch. */
function stationaryJoins(h: HingeStretches, s: number): number[] {
  const from = h.ends[s]!;
  const to = h.ends[s + 1]!;
  const q = productsAt(h, s);
  const v = squaresAt(h, s);
  const equation =
    h.degree === 1
      ? [2 * q[1]! * v[0]! - q[0]! * v[1]!, q[1]! * v[1]! - 2 * q[0]! * v[2]!]
      : [
          2 * q[1]! * v[0]! - q[0]! * v[1]!,
          4 * q[2]! * v[0]! + q[1]! * v[1]! - 2 * q[0]! * v[2]!,
          3 * q[2]! * v[1]! - 3 * q[0]! * v[3]!,
          2 * q[2]! * v[2]! - q[1]! * v[3]! - 4 * q[0]! * v[4]!,
          q[2]! * v[3]! - 2 * q[1]! * v[4]!,
        ];
  return crossings(equation, from, to);
}

/** products² − needed·squares: not below zero where the fit gains at least `needed`. */
function nearEquation(h: HingeStretches, s: number, needed: number): number[] {
  const q = productsAt(h, s);
  const v = squaresAt(h, s);
  if (h.degree === 1)
    return [q[0]! ** 2 - needed * v[0]!, 2 * q[0]! * q[1]! - needed * v[1]!, q[1]! ** 2 - needed * v[2]!];
  return [
    q[0]! ** 2 - needed * v[0]!,
    2 * q[0]! * q[1]! - needed * v[1]!,
    2 * q[0]! * q[2]! + q[1]! ** 2 - needed * v[2]!,
    2 * q[1]! * q[2]! - needed * v[3]!,
    q[2]! ** 2 - needed * v[4]!,
  ];
}

/** A run of joins inside one stretch. */
type Piece = readonly [from: number, to: number];

/** Where the residual sum of squares is within a limit, by stretch: its equation, the roots of that, and the pieces in between. */
export interface NearStretches {
  needed: number;
  stretches: { equation: number[]; roots: number[]; pieces: Piece[] }[];
}

export function nearStretches(h: HingeStretches, limit: number): NearStretches {
  const needed = h.groupedSs - limit;
  const stretches = Array.from({ length: h.count }, (_, s) => {
    const equation = nearEquation(h, s, needed);
    const roots = crossings(equation, h.ends[s]!, h.ends[s + 1]!);
    return { equation, roots, pieces: nearPieces(h, s, needed, equation, roots) };
  });
  return { needed, stretches };
}

/** The pieces of a stretch between some places, in rising order, that are within the limit. */
function nearPieces(
  h: HingeStretches,
  s: number,
  needed: number,
  equation: readonly number[],
  places: readonly number[],
): Piece[] {
  const to = h.ends[s + 1]!;
  const pieces: Piece[] = [];
  let left = h.ends[s]!;
  for (const right of [...places, to]) {
    if (right <= left && right < to) continue;
    const middle = 0.5 * (left + right);
    const told = isTold(h, s, middle, evaluate(squaresAt(h, s), middle));
    if (told ? evaluate(equation, middle) >= 0 : needed <= 0) pieces.push([left, right]);
    left = right;
  }
  return pieces;
}

/**
 * A stretch cut where the answer may change, each piece with its two ends; used by what asks for more than the joins.
 *
 * @param near   from `nearStretches(h, limit)`
 * @param visit  called for every piece of joins whose residual sum of squares is at most the limit, in rising order
 * @param cuts   more places where a stretch is to be cut
 */
export function visitNearJoins(
  h: HingeStretches,
  { needed, stretches }: NearStretches,
  visit: (stretch: number, from: number, to: number) => void,
  cuts: (stretch: number) => number[] = () => [],
): void {
  for (const [s, { equation, roots, pieces }] of stretches.entries()) {
    const inside = cuts(s).filter((cut) => cut > h.ends[s]! && cut < h.ends[s + 1]!);
    const near =
      inside.length === 0
        ? pieces
        : nearPieces(
            h,
            s,
            needed,
            equation,
            [...roots, ...inside].sort((a, b) => a - b),
          );
    for (const [from, to] of near) visit(s, from, to);
  }
}

/**
 * All joins whose residual sum of squares is at most a limit: the profile-likelihood set.
 *
 * @param best  the best join, which belongs to the set whatever rounding says
 */
export function joinsWithin(h: HingeStretches, limit: number, best: number): JoinRange[] {
  const ranges: JoinRange[] = [];
  const [lowest, highest] = [h.ends[0]!, h.ends[h.count]!];
  const add = (from: number, to: number): void => {
    const last = ranges[ranges.length - 1];
    if (last !== undefined && from <= last.to) last.to = Math.max(last.to, to);
    else ranges.push({ from, to, fromOpen: false, toOpen: false });
  };
  visitNearJoins(h, nearStretches(h, limit), (_, from, to) => add(from, to));
  if (!ranges.some((range) => range.from <= best && best <= range.to)) {
    ranges.push({ from: best, to: best, fromOpen: false, toOpen: false });
    ranges.sort((a, b) => a.from - b.from);
  }
  for (const range of ranges) {
    range.fromOpen = range.from <= lowest;
    range.toOpen = range.to >= highest;
  }
  return ranges;
}

/**
 * Smallest and largest multiple m of the hinge, y ≈ level − m·f, that keep the residual sum of squares within a limit,
 * at each join of a stretch.
 */
export function multiplesWithin(
  h: HingeStretches,
  s: number,
  limit: number,
): Record<"least" | "most", (join: number) => number> {
  const [products, squares] = [productsAt(h, s), squaresAt(h, s)];
  const spare = h.groupedSs - limit;
  const end =
    (sign: 1 | -1) =>
    (join: number): number => {
      const q = evaluate(products, join);
      const v = evaluate(squares, join);
      return (-q + sign * Math.sqrt(Math.max(0, q * q - v * spare))) / v;
    };
  return { least: end(-1), most: end(1) };
}

/** Residual sum of squares minus a limit at the multiple m, as a polynomial in the join. */
export function excessAtMultiple(h: HingeStretches, s: number, multiple: number, limit: number): number[] {
  const q = productsAt(h, s);
  const equation = Array.from(squaresAt(h, s), (v) => multiple * multiple * v);
  for (let i = 0; i < q.length; i++) equation[i]! += 2 * multiple * q[i]!;
  equation[0]! += h.groupedSs - limit;
  return equation;
}
