/**
 * Degrees of freedom and tests for contrasts of a mixed model's fixed effects.
 *
 * Satterthwaite's method as published by Fai & Cornelius (1996, J. Stat. Comput. Simul. 54:363) for several contrasts
 * at once, with the uncertainty of the variances from the curvature of the (restricted) likelihood in the relative
 * standard deviations and the residual standard deviation. A variance at zero is treated as known: the likelihood is
 * even in its standard deviation, so to first order it changes nothing.
 * Reference check: test/reference/mixed-models (lmerTest 3.1-3; Kuznetsova, Brockhoff & Christensen 2017, J. Stat.
 * Softw. 82(13)).
 */
import { mean } from "simple-statistics";
import { invertCholesky } from "../../maths/cholesky.ts";
import { fUpperTail, tTwoSided } from "../../maths/distributions.ts";
import { satterthwaiteDf } from "../../maths/satterthwaite-df.ts";
import { multiply, transpose } from "../../maths/small-matrix.ts";
import { symmetricEigen } from "../../maths/symmetric-eigen.ts";
import type { MixedFit } from "./fit-mixed-model.ts";
import { degreesOfFreedom, evaluateAt, makeWorkspace } from "./mixed-likelihood.ts";
import type { MixedModel } from "./mixed-model.ts";

/** How well the variances are known, and how that affects the covariance of the fixed effects. */
export interface VarianceUncertainty {
  /** Covariance matrix of the variance parameters that are not at zero, row by row. */
  covariance: number[][];
  /** Slope of the fixed effects' covariance (row by row, as in the fit) in each of these parameters. */
  slopes: Float64Array[];
}

export interface ContrastTest {
  estimate: number;
  standardError: number;
  df: number;
  t: number;
  p: number;
}

export interface FTest {
  f: number;
  numeratorDf: number;
  denominatorDf: number;
  p: number;
}

/** Works out what all Satterthwaite tests of a fit share: two evaluations of the criterion a parameter. */
export function findVarianceUncertainty(model: MixedModel, fit: MixedFit): VarianceUncertainty {
  const order = model.kept.length;
  const workspace = makeWorkspace(model);
  const sigma2 = fit.residualVariance;
  if (!(sigma2 > 0)) return unknown;
  const sigma = Math.sqrt(sigma2);
  const free = freeParameters(model, fit.theta);
  const count = free.length + 1;

  const at = (theta: Float64Array) => {
    const evaluation = evaluateAt(model, theta, fit.criterion, workspace, 1 / sigma2);
    return (
      evaluation && {
        gradient: evaluation.gradient.slice(),
        residualSquares: evaluation.residualSquares,
        covariance: invertCholesky(evaluation.fixedFactor, order),
      }
    );
  };
  const here = at(fit.theta);
  if (here === null) return unknown;
  const second = new Float64Array(count * count);
  const slopes: Float64Array[] = [];
  for (const [i, parameter] of free.entries()) {
    const step = 3e-4 * Math.max(0.1, Math.abs(fit.theta[parameter]!));
    const moved = (by: number): ReturnType<typeof at> => {
      const theta = fit.theta.slice();
      theta[parameter]! += by;
      return at(theta);
    };
    const [below, above] = [moved(-step), moved(step)];
    if (below === null || above === null) return unknown;
    const slopeOf = (value: (point: NonNullable<typeof below>) => number): number =>
      (value(above) - value(below)) / (2 * step);
    free.forEach((other, j) => {
      const slope = slopeOf((point) => point.gradient[other]!);
      second[i * count + j]! += slope / 2;
      second[j * count + i]! += slope / 2;
    });
    const withSigma = (-2 / (sigma2 * sigma)) * slopeOf((point) => point.residualSquares);
    second[i * count + free.length] = withSigma;
    second[free.length * count + i] = withSigma;
    slopes.push(spread(model, (entry) => sigma2 * slopeOf((point) => point.covariance[entry]!)));
  }
  second[count * count - 1] =
    (6 * here.residualSquares) / sigma2 ** 2 - (2 * degreesOfFreedom(model, fit.criterion)) / sigma2;
  slopes.push(spread(model, (entry) => 2 * sigma * here.covariance[entry]!));
  return second.every(Number.isFinite) ? { covariance: twiceInverse(second, count), slopes } : unknown;
}

/** Strips that do not scatter, or whose likelihood fails next to the fit, give no degrees of freedom. */
const unknown: VarianceUncertainty = { covariance: [], slopes: [] };

/** A matrix of the kept columns written out over all columns, zeros elsewhere. */
function spread(model: MixedModel, entryOf: (entry: number) => number): Float64Array {
  const { kept, columnCount } = model;
  const whole = new Float64Array(columnCount * columnCount);
  for (let i = 0; i < kept.length; i++) {
    for (let j = 0; j <= i; j++) {
      const value = entryOf(i * kept.length + j);
      whole[kept[i]! * columnCount + kept[j]!] = value;
      whole[kept[j]! * columnCount + kept[i]!] = value;
    }
  }
  return whole;
}

/** Entries of theta that are not standard deviations found to be zero. */
function freeParameters(model: MixedModel, theta: Float64Array): number[] {
  const free: number[] = [];
  for (const { width, theta: first } of model.terms) {
    let at = first;
    for (let column = 0; column < width; column++) {
      for (let row = column; row < width; row++, at++) if (row > column || theta[at] !== 0) free.push(at);
    }
  }
  return free;
}

/** 2 H⁻¹; directions in which the likelihood does not bend are left out. */
function twiceInverse(second: Float64Array, order: number): number[][] {
  const { values, vectors } = symmetricEigen(second, order);
  const inverse = Array.from({ length: order }, () => new Array<number>(order).fill(0));
  values.forEach((value, k) => {
    if (!(value > 1e-8 * values.at(-1)!)) return;
    const direction = vectors.subarray(k * order, (k + 1) * order);
    for (const [i, row] of inverse.entries())
      for (let j = 0; j < order; j++) row[j]! += direction[i]! * direction[j]! * (2 / value);
  });
  return inverse;
}

/** l'Ml for a matrix stored row by row. */
function quadraticForm(matrix: Float64Array, l: ArrayLike<number>): number {
  const order = l.length;
  let sum = 0;
  for (let i = 0; i < order; i++) {
    if (l[i] === 0) continue;
    for (let j = 0; j < order; j++) if (l[j] !== 0) sum += l[i]! * l[j]! * matrix[i * order + j]!;
  }
  return sum;
}

/**
 * One contrast of the fixed effects.
 *
 * @param contrast one weight a column of X
 * @returns null where there is no scatter to judge by, or the contrast uses only dropped columns
 */
export function testContrast(
  fit: MixedFit,
  uncertainty: VarianceUncertainty,
  contrast: ArrayLike<number>,
): ContrastTest | null {
  const variance = quadraticForm(fit.covariance, contrast);
  const df = satterthwaiteDf(
    variance,
    uncertainty.slopes.map((slope) => quadraticForm(slope, contrast)),
    uncertainty.covariance,
  );
  if (df === null) return null;
  let estimate = 0;
  for (let i = 0; i < contrast.length; i++) estimate += contrast[i]! * fit.estimates[i]!;
  const standardError = Math.sqrt(variance);
  const t = estimate / standardError;
  return { estimate, standardError, df, t, p: tTwoSided(t, df) };
}

/**
 * Several contrasts at once: are all of them zero?
 *
 * Contrasts that repeat others count once.
 * @returns null where there is nothing to test
 */
export function testContrasts(
  fit: MixedFit,
  uncertainty: VarianceUncertainty,
  contrasts: ArrayLike<number>[],
): FTest | null {
  const all = fit.estimates.length;
  if (contrasts.length === 0) return null;
  const count = contrasts.length;
  const l = Float64Array.from(contrasts.flatMap((contrast) => Array.from(contrast)));
  const half = multiply(l, fit.covariance, count, all, all);
  const covariance = multiply(half, transpose(l, count, all), count, all, count);
  if (!covariance.every(Number.isFinite)) return null;
  const { values, vectors } = symmetricEigen(covariance, count);
  const tests: ContrastTest[] = [];
  values.forEach((value, k) => {
    if (!(value > 1e-10 * values.at(-1)!)) return;
    const combined = multiply(vectors.subarray(k * count, (k + 1) * count), l, 1, count, all);
    const test = testContrast(fit, uncertainty, combined);
    if (test !== null) tests.push(test);
  });
  if (tests.length === 0) return null;
  const numeratorDf = tests.length;
  const f = tests.reduce((sum, { t }) => sum + t * t, 0) / numeratorDf;
  const denominatorDf = combineDf(tests.map((test) => test.df));
  return { f, numeratorDf, denominatorDf, p: fUpperTail(f, numeratorDf, denominatorDf) };
}

/**
 * Denominator df whose F has the expectation of the mean of independent squared t's; 2 where that mean has no
 * expectation.
 */
function combineDf(dfs: number[]): number {
  if (dfs.length === 1) return dfs[0]!;
  if (Math.max(...dfs) - Math.min(...dfs) < 1e-8) return mean(dfs);
  if (!dfs.every((df) => df > 2)) return 2;
  const expected = dfs.reduce((sum, df) => sum + df / (df - 2), 0);
  return (2 * expected) / (expected - dfs.length);
}
