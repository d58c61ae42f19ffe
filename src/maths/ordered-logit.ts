/** Logistic regression of ordered categories: proportional odds. */
import { cholesky, invertCholesky, solveCholesky } from "./cholesky.ts";

/** Observations alike in category and terms, put together. */
export interface OrderedCases {
  /** Categories 0, 1 … in order, each of which occurs. */
  categories: number;
  columns: number;
  category: Int32Array;
  count: Float64Array;
  /** The same number of terms for each case: which column, and its value. */
  termsPerCase: number;
  column: Int32Array;
  value: Float64Array;
}

export interface OrderedFit {
  converged: boolean;
  logLikelihood: number;
  thresholds: Float64Array;
  coefficients: Float64Array;
  /** Covariance of thresholds, then coefficients; from the observed information. */
  covariance: Float64Array;
}

const mostIterations = 50;
const smallestStep = 1e-9;

/**
 * Maximum likelihood of log odds(category ≤ k) = threshold k − Σ value·coefficient.
 *
 * The log-likelihood is concave (Pratt 1981, J. Am. Stat. Assoc. 76:103); Newton's method with halved steps.
 * Source: McCullagh 1980, J. R. Stat. Soc. B 42:109. Reference check: test/reference/lodging.
 */
export function fitOrderedLogit(cases: OrderedCases): OrderedFit {
  const { categories, columns, category, count, termsPerCase, column, value } = cases;
  const cuts = categories - 1;
  const size = cuts + columns;
  let parameters = startingPoint(cases);
  let logLikelihood = likelihoodAt(cases, parameters);
  let converged = false;
  let factor: Float64Array | null = null;
  const moves = new Moves(2 + termsPerCase);

  for (let iteration = 0; iteration < mostIterations && !converged; iteration++) {
    const slope = new Float64Array(size);
    const information = new Float64Array(size * size);
    for (let i = 0; i < category.length; i++) {
      const k = category[i]!;
      const eta = predictor(cases, parameters, i);
      const upper = end(k < cuts ? parameters[k]! - eta : Infinity);
      const lower = end(k > 0 ? parameters[k - 1]! - eta : -Infinity);
      const p = upper.below - lower.below;
      const n = count[i]!;
      // Parameters that move the upper and the lower end of the category, and by how much.
      moves.count = 0;
      if (k < cuts) moves.add(k, 1, 0);
      if (k > 0) moves.add(k - 1, 0, 1);
      for (let t = i * termsPerCase; t < (i + 1) * termsPerCase; t++)
        moves.add(cuts + column[t]!, -value[t]!, -value[t]!);
      const { parameter, up, low } = moves;
      for (let a = 0; a < moves.count; a++) {
        const first = upper.density * up[a]! - lower.density * low[a]!;
        slope[parameter[a]!]! += (n * first) / p;
        for (let b = 0; b < moves.count; b++) {
          const other = upper.density * up[b]! - lower.density * low[b]!;
          const second = upper.bend * up[a]! * up[b]! - lower.bend * low[a]! * low[b]!;
          information[parameter[a]! * size + parameter[b]!]! += n * ((first * other) / (p * p) - second / p);
        }
      }
    }
    factor = cholesky(information, size);
    if (factor === null) break;
    const step = solveCholesky(factor, size, slope);
    for (let share = 1; share > 1e-9; share /= 2) {
      const next = parameters.map((now, j) => now + share * step[j]!);
      const reached = likelihoodAt(cases, next);
      if (!(reached >= logLikelihood - 1e-12 * Math.abs(logLikelihood))) continue;
      [parameters, logLikelihood] = [next, reached];
      break;
    }
    converged = step.every((by) => Math.abs(by) < smallestStep);
  }
  return {
    converged,
    logLikelihood,
    thresholds: parameters.slice(0, cuts),
    coefficients: parameters.slice(cuts),
    covariance: factor === null ? new Float64Array(size * size) : invertCholesky(factor, size),
  };
}

/** Which parameters move the ends of a category, and by how much: filled anew for each case. */
class Moves {
  readonly parameter: Int32Array;
  /** How far the upper and the lower end move. */
  readonly up: Float64Array;
  readonly low: Float64Array;
  count = 0;

  constructor(most: number) {
    this.parameter = new Int32Array(most);
    this.up = new Float64Array(most);
    this.low = new Float64Array(most);
  }

  add(parameter: number, up: number, low: number): void {
    this.parameter[this.count] = parameter;
    this.up[this.count] = up;
    this.low[this.count++] = low;
  }
}

/** Logistic distribution at one end of a category: what lies below, its density, and the slope of that. */
function end(at: number): { below: number; density: number; bend: number } {
  if (at === Infinity) return { below: 1, density: 0, bend: 0 };
  if (at === -Infinity) return { below: 0, density: 0, bend: 0 };
  const below = 1 / (1 + Math.exp(-at));
  const density = below * (1 - below);
  return { below, density, bend: density * (1 - 2 * below) };
}

function predictor(
  { categories, termsPerCase, column, value }: OrderedCases,
  parameters: Float64Array,
  i: number,
): number {
  let eta = 0;
  for (let t = i * termsPerCase; t < (i + 1) * termsPerCase; t++)
    eta += value[t]! * parameters[categories - 1 + column[t]!]!;
  return eta;
}

/** Log-likelihood; −Infinity where thresholds are out of order. */
function likelihoodAt(cases: OrderedCases, parameters: Float64Array): number {
  const cuts = cases.categories - 1;
  for (let k = 1; k < cuts; k++) if (!(parameters[k]! > parameters[k - 1]!)) return -Infinity;
  let sum = 0;
  for (let i = 0; i < cases.category.length; i++) {
    const k = cases.category[i]!;
    const eta = predictor(cases, parameters, i);
    const upper = k < cuts ? end(parameters[k]! - eta).below : 1;
    const lower = k > 0 ? end(parameters[k - 1]! - eta).below : 0;
    sum += cases.count[i]! * Math.log(upper - lower);
  }
  return sum;
}

/** Thresholds at the log odds of all observations, coefficients 0. */
function startingPoint({ categories, columns, category, count }: OrderedCases): Float64Array {
  const sums = new Float64Array(categories);
  category.forEach((k, i) => (sums[k]! += count[i]!));
  const total = sums.reduce((sum, n) => sum + n, 0);
  const parameters = new Float64Array(categories - 1 + columns);
  let below = 0;
  for (let k = 0; k < categories - 1; k++) {
    below += sums[k]!;
    parameters[k] = Math.log(below / (total - below));
  }
  return parameters;
}
