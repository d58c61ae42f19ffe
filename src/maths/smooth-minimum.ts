/** Lowest point of a smooth function of a few numbers whose slope is known. */
import { dot } from "./dot.ts";
import { symmetricEigen } from "./symmetric-eigen.ts";

export interface ValueAndGradient {
  value: number;
  gradient: Float64Array;
}

export interface SmoothMinimum {
  x: Float64Array;
  /** About the inverse of the second derivatives there, row by row: a start for a function much like this one. */
  inverse: Float64Array;
  value: number;
  gradient: Float64Array;
  iterations: number;
  evaluations: number;
  /** False where steps ran out, or no step went down, before the bottom was reached. */
  converged: boolean;
}

/**
 * A local minimum by quasi-Newton steps (BFGS, backtracking) that begin and end with Newton's.
 *
 * Second derivatives are differences of the gradient. Directions that curve down count by the size of their curve. A
 * function that is even in a coordinate is flat in it at zero, whether that is a minimum or not: there the curve is
 * measured once more, and a saddle is left along the way that goes down. The bottom is reached when the
 * expected fall, ½ g'H⁻¹g, is below 1e-10 (or below what rounding of the value hides).
 *
 * @param f        value and gradient at a point; a value of +Infinity means "not allowed here"
 * @param start    where to begin; of the size of the answer, so that steps of about 1 make sense
 * @param inverse  of the second derivatives, from a function much like this one; measured where not given
 * Source: Nocedal & Wright (2006), Numerical Optimization, 2nd ed., algorithm 6.1 and §3.4.
 */
export function findSmoothMinimum(
  f: (x: Float64Array) => ValueAndGradient,
  start: Float64Array,
  inverse?: Float64Array,
  mostEvaluations = 300,
): SmoothMinimum {
  let x = Float64Array.from(start);
  let evaluations = 0;
  const evaluate = (point: Float64Array): ValueAndGradient => {
    evaluations++;
    return f(point);
  };
  let here = evaluate(x);
  let iterations = 0;
  let curve: Curve = { inverse: inverse?.slice() ?? new Float64Array(x.length ** 2), down: null };
  const answer = (converged: boolean): SmoothMinimum => ({
    x,
    inverse: curve.inverse,
    ...here,
    iterations,
    evaluations,
    converged,
  });
  if (x.length === 0) return answer(true);
  if (!Number.isFinite(here.value)) return answer(false);

  const rounding = (): number => 1e-14 * Math.abs(here.value);
  /** Steps along `direction`, shortened until the value falls; false where it never does. */
  const goDown = (direction: Float64Array, slope: number): boolean => {
    let length = Math.min(1, (1 + norm(x)) / norm(direction));
    for (let shortenings = 0; shortenings < 30; shortenings++) {
      const next = x.map((value, i) => value + length * direction[i]!);
      const there = evaluate(next);
      if (there.value <= here.value + 1e-4 * length * slope + rounding()) {
        x = next;
        here = there;
        return true;
      }
      const bend = there.value - here.value - slope * length;
      const best = Number.isFinite(bend) && bend > 0 ? (-slope * length * length) / (2 * bend) : 0;
      length = Math.min(0.5 * length, Math.max(0.1 * length, best));
    }
    return false;
  };

  const measure = (): Curve => measureCurve((point) => evaluate(point).gradient, x, here.gradient);
  if (inverse === undefined) curve = measure();
  /** Steps since the curve was measured here; a borrowed curve counts as old. */
  let steps = inverse === undefined ? 0 : 2;
  while (evaluations < mostEvaluations) {
    const direction = times(curve.inverse, here.gradient).map((value) => -value);
    const slope = dot(direction, here.gradient);
    if (-slope / 2 < Math.max(1e-10, rounding())) {
      if (steps > 1 && (curve.down !== null || x.some(isNearZero))) {
        curve = measure();
        steps = 0;
        continue;
      }
      if (curve.down === null) return answer(true);
      if (!goDown(curve.down, 0)) return answer(false);
    } else {
      const [oldX, oldGradient] = [x, here.gradient];
      if (!goDown(direction, slope)) {
        if (steps === 0) return answer(false);
        curve = measure();
        steps = 0;
        continue;
      }
      updateInverse(
        curve.inverse,
        x.map((value, i) => value - oldX[i]!),
        here.gradient.map((value, i) => value - oldGradient[i]!),
      );
    }
    iterations++;
    steps++;
  }
  return answer(false);
}

const isNearZero = (value: number): boolean => Math.abs(value) < 1e-2;

interface Curve {
  /** Inverse of the second derivatives, each direction by the size of its curve. */
  inverse: Float64Array;
  /** A direction in which the function curves down, null where there is none. */
  down: Float64Array | null;
}

function measureCurve(
  gradientAt: (x: Float64Array) => Float64Array,
  x: Float64Array,
  gradient: Float64Array,
): Curve {
  const order = x.length;
  const second = new Float64Array(order * order);
  for (let i = 0; i < order; i++) {
    const step = 1e-5 * Math.max(0.1, Math.abs(x[i]!));
    const moved = Float64Array.from(x);
    moved[i]! += step;
    const there = gradientAt(moved);
    for (let j = 0; j < order; j++) {
      const slope = (there[j]! - gradient[j]!) / (2 * step);
      second[i * order + j]! += slope;
      second[j * order + i]! += slope;
    }
  }
  const inverse = new Float64Array(order * order);
  if (!second.every(Number.isFinite)) {
    for (let i = 0; i < order; i++) inverse[i * order + i] = 1;
    return { inverse, down: null };
  }
  const { values, vectors } = symmetricEigen(second, order);
  const largest = Math.max(...values.map(Math.abs), 1e-300);
  values.forEach((value, k) => {
    const size = Math.max(Math.abs(value), 1e-6 * largest);
    const direction = vectors.subarray(k * order, (k + 1) * order);
    for (let i = 0; i < order; i++) {
      for (let j = 0; j < order; j++) inverse[i * order + j]! += (direction[i]! * direction[j]!) / size;
    }
  });
  const bendsDown = values[0]! < -1e-4 * largest;
  return { inverse, down: bendsDown ? vectors.slice(0, order).map((share) => 0.3 * share) : null };
}

/** H ← (I − s b'/c) H (I − b s'/c) + s s'/c with c = s'b, where the step s met a rising slope b. */
function updateInverse(h: Float64Array, s: Float64Array, b: Float64Array): void {
  const order = s.length;
  const c = dot(s, b);
  if (!(c > 1e-10 * norm(s) * norm(b))) return;
  const hb = times(h, b);
  const weight = (1 + dot(b, hb) / c) / c;
  for (let i = 0; i < order; i++) {
    for (let j = 0; j < order; j++) {
      h[i * order + j]! += weight * s[i]! * s[j]! - (hb[i]! * s[j]! + s[i]! * hb[j]!) / c;
    }
  }
}

function times(matrix: Float64Array, vector: Float64Array): Float64Array {
  const order = vector.length;
  return vector.map((_, i) => dot(matrix.subarray(i * order, (i + 1) * order), vector));
}

const norm = (a: Float64Array): number => Math.sqrt(dot(a, a));
