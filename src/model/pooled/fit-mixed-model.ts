/** Fits a mixed model: variances by REML or maximum likelihood, estimates with their covariance. */
import { invertCholesky } from "../../maths/cholesky.ts";
import { findSmoothMinimum } from "../../maths/smooth-minimum.ts";
import type { ValueAndGradient } from "../../maths/smooth-minimum.ts";
import type { TermPlace } from "./gather-sums.ts";
import { degreesOfFreedom, evaluateAt, makeWorkspace } from "./mixed-likelihood.ts";
import type { Criterion, Evaluation, Workspace } from "./mixed-likelihood.ts";
import type { MixedModel } from "./mixed-model.ts";

/** Variances and covariances of one random term. */
export interface VarianceComponent {
  term: string;
  levels: number;
  /** Covariance matrix of its coefficients, row by row: one number, or width × width. */
  covariance: number[];
  /** A variance found to be zero, or coefficients found to be fully correlated. */
  atBoundary: boolean;
}

export interface MixedFit {
  criterion: Criterion;
  /** −2 log (restricted) likelihood, all constants included. */
  minusTwoLogLikelihood: number;
  /** Relative standard deviations: the lower triangle of each term's Λ, column by column. */
  theta: Float64Array;
  /** About the inverse of the criterion's second derivatives in theta: a start for a similar model. */
  curve: Float64Array;
  residualVariance: number;
  variances: VarianceComponent[];
  /** One a column of the design's X; 0 for dropped columns. */
  estimates: Float64Array;
  /** Covariance of the estimates, row by row; zeros for dropped columns. */
  covariance: Float64Array;
  /** Fixed coefficients + variances and covariances + the residual variance. */
  parameters: number;
  converged: boolean;
  iterations: number;
  evaluations: number;
  reason: string;
}

/** A relative standard deviation beyond this means that the residual variance is running to zero. */
const largestDeviation = 1e3;

/**
 * Fits a prepared model.
 *
 * The criterion is smooth and even in the relative standard deviations, so it is minimized without bounds, and a
 * standard deviation that ends at zero is an ordinary minimum there; it is then set exactly to zero and reported.
 *
 * @param start  the fit of a similar model; by default every relative standard deviation begins at 1
 * Reference check: test/reference/mixed-models
 */
export function fitMixedModel(
  model: MixedModel,
  criterion: Criterion,
  start?: { theta: Float64Array; curve?: Float64Array },
): MixedFit {
  const workspace = makeWorkspace(model);
  const df = degreesOfFreedom(model, criterion);
  const criterionOf = (evaluation: Evaluation): number =>
    evaluation.logDetRandom +
    (criterion === "REML" ? evaluation.logDetFixed : 0) +
    df * (1 + Math.log((2 * Math.PI * evaluation.residualSquares) / df));
  if (df <= 0 || isExact(model) || !hasScatter(model, criterion, workspace, criterionOf))
    return withoutScatter(model, criterion, workspace);
  const f = (theta: Float64Array): ValueAndGradient => {
    const isBounded = theta.every((value) => Math.abs(value) <= largestDeviation);
    const evaluation = isBounded ? evaluateAt(model, theta, criterion, workspace) : null;
    if (evaluation === null) return { value: Infinity, gradient: new Float64Array(model.thetaCount) };
    return { value: criterionOf(evaluation), gradient: evaluation.gradient };
  };
  const found = findSmoothMinimum(f, start?.theta ?? everyDeviation(model, 1), start?.curve);
  const theta = setToZero(model, found.x, (x) => f(x).value, found.value);
  const evaluation = evaluateAt(model, theta, criterion, workspace)!;
  return describe(model, criterion, theta, evaluation, criterionOf(evaluation), {
    curve: found.inverse,
    converged: found.converged,
    iterations: found.iterations,
    evaluations: found.evaluations,
    reason: found.converged
      ? ""
      : "strips are too few, or scatter too little beside blocks and environments, to tell the variances apart",
  });
}

/** Diagonal entries of Λ made positive, and set to zero where the criterion does not change. */
function setToZero(
  model: MixedModel,
  found: Float64Array,
  criterionAt: (theta: Float64Array) => number,
  lowest: number,
): Float64Array {
  let theta = Float64Array.from(found);
  for (const { width, theta: first } of model.terms) {
    let at = first;
    for (let c = 0; c < width; c++) {
      if (theta[at]! < 0) for (let i = 0; i < width - c; i++) theta[at + i] = -theta[at + i]!;
      if (theta[at]! > 0 && theta[at]! < 1e-2) {
        const trial = theta.slice();
        trial[at] = 0;
        if (criterionAt(trial) <= lowest + 1e-7) theta = trial;
      }
      at += width - c;
    }
  }
  return theta;
}

/** Whether the fixed part alone goes through every yield, up to rounding. */
const isExact = (model: MixedModel): boolean =>
  model.totals[model.totals.length - 1]! <= 1e-13 * model.squares;

/**
 * Whether strips scatter more than fixed and random effects can follow.
 *
 * Without scatter the likelihood grows without bound as the effects are left free.
 */
function hasScatter(
  model: MixedModel,
  criterion: Criterion,
  workspace: Workspace,
  criterionOf: (evaluation: Evaluation) => number,
): boolean {
  const free = evaluateAt(model, everyDeviation(model, 1e4), criterion, workspace);
  const freer = evaluateAt(model, everyDeviation(model, 1e5), criterion, workspace);
  return free !== null && freer !== null && criterionOf(freer) > criterionOf(free) - 1;
}

/** Theta with all relative standard deviations alike and no correlation. */
function everyDeviation(model: MixedModel, deviation: number): Float64Array {
  const theta = new Float64Array(model.thetaCount);
  for (const term of model.terms) {
    let at = term.theta;
    for (let c = 0; c < term.width; c++) {
      theta[at] = deviation;
      at += term.width - c;
    }
  }
  return theta;
}

/** Effects left free: exact curves, without variances or a likelihood. */
function withoutScatter(model: MixedModel, criterion: Criterion, workspace: Workspace): MixedFit {
  const theta = everyDeviation(model, isExact(model) ? 0 : 1e5);
  const order = model.kept.length;
  const evaluation = evaluateAt(model, theta, criterion, workspace) ?? {
    logDetRandom: 0,
    logDetFixed: 0,
    residualSquares: 0,
    fixedFactor: identityFactor(order),
    shifted: new Float64Array(order),
    gradient: theta,
  };
  return describe(model, criterion, theta, { ...evaluation, residualSquares: 0 }, 0, {
    curve: new Float64Array(model.thetaCount ** 2),
    converged: false,
    iterations: 0,
    evaluations: 1,
    reason: "the curves go through every strip, so there is no scatter to judge by",
  });
}

function identityFactor(order: number): Float64Array {
  const factor = new Float64Array(order * order);
  for (let i = 0; i < order; i++) factor[i * order + i] = 1;
  return factor;
}

function describe(
  model: MixedModel,
  criterion: Criterion,
  theta: Float64Array,
  evaluation: Evaluation,
  minusTwoLogLikelihood: number,
  how: Pick<MixedFit, "curve" | "converged" | "iterations" | "evaluations" | "reason">,
): MixedFit {
  const order = model.kept.length;
  const all = model.columnCount;
  const df = Math.max(1, degreesOfFreedom(model, criterion));
  const residualVariance = evaluation.residualSquares / df;
  const inverse = invertCholesky(evaluation.fixedFactor, order);
  const estimates = new Float64Array(all);
  const covariance = new Float64Array(all * all);
  for (let i = 0; i < order; i++) {
    estimates[model.kept[i]!] = model.offset[i]! + evaluation.shifted[i]!;
    // Without scatter every entry is 0, not −0, which JSON would not keep.
    for (let j = 0; j < order && residualVariance > 0; j++) {
      covariance[model.kept[i]! * all + model.kept[j]!] = residualVariance * inverse[i * order + j]!;
    }
  }
  return {
    criterion,
    minusTwoLogLikelihood,
    theta,
    residualVariance,
    variances: model.terms.map((term) => varianceOf(term, theta, residualVariance)),
    estimates,
    covariance,
    parameters: order + model.thetaCount + 1,
    ...how,
  };
}

/** σ² ΛΛ' of one term. */
function varianceOf(term: TermPlace, theta: Float64Array, residualVariance: number): VarianceComponent {
  const { width } = term;
  const lower = new Float64Array(width * width);
  let at = term.theta;
  let atBoundary = false;
  for (let column = 0; column < width; column++) {
    if (theta[at] === 0) atBoundary = true;
    for (let row = column; row < width; row++) lower[row * width + column] = theta[at++]!;
  }
  const covariance: number[] = [];
  for (let i = 0; i < width; i++) {
    for (let j = 0; j < width; j++) {
      let sum = 0;
      for (let k = 0; k < width; k++) sum += lower[i * width + k]! * lower[j * width + k]!;
      covariance.push(residualVariance * sum);
    }
  }
  return { term: term.name, levels: term.levels, covariance, atBoundary };
}
