/** The likelihood of a mixed model at given relative standard deviations, and its slope: REML or maximum likelihood. */
import { cholesky, invertCholesky, logDeterminant, solveCholesky } from "../../maths/cholesky.ts";
import { addCorner, eliminate, pullBack } from "./elimination.ts";
import type { MixedModel } from "./mixed-model.ts";

export type Criterion = "REML" | "ML";

/** The parts of the criterion at one theta. */
export interface Evaluation {
  logDetRandom: number;
  logDetFixed: number;
  /** Generalized residual sum of squares over the residual variance. */
  residualSquares: number;
  /** Cholesky factor of X'V⁻¹X (V relative to the residual variance). */
  fixedFactor: Float64Array;
  /** Estimates for y minus its least-squares fit. */
  shifted: Float64Array;
  gradient: Float64Array;
}

/** Room for the elimination of every group, kept between evaluations. */
export interface Workspace {
  groups: (MixedModel["groups"][number] & { store: Float64Array })[];
  slopes: Float64Array;
}

/** Room for the numbers of one evaluation, used again by the next. */
export function makeWorkspace(model: MixedModel): Workspace {
  return {
    groups: model.groups.map((group) => ({ ...group, store: new Float64Array(group.pattern.size) })),
    slopes: new Float64Array(Math.max(0, ...model.groups.map((group) => group.pattern.size))),
  };
}

/**
 * Criterion and its slope in theta.
 *
 * The slope is that of logDetRandom [+ logDetFixed under REML] + weight × residualSquares, where the default weight
 * (degrees of freedom ÷ residual squares) is the one of the profiled criterion.
 *
 * @returns null where theta gives no positive definite matrix
 */
export function evaluateAt(
  model: MixedModel,
  theta: Float64Array,
  criterion: Criterion,
  workspace: Workspace,
  weight?: number,
): Evaluation | null {
  const { totals, thetaCount } = model;
  const order = model.kept.length;
  const size = order + 1;
  const withOne = new Float64Array(thetaCount + 1);
  withOne.set(theta);
  withOne[thetaCount] = 1;
  const corner = totals.slice();
  let logDetRandom = 0;
  for (const { pattern, raw, store } of workspace.groups) {
    logDetRandom += eliminate(pattern, raw, withOne, store);
    addCorner(pattern, store, corner, size);
  }
  if (!Number.isFinite(logDetRandom)) return null;
  const fixedPart = new Float64Array(order * order);
  for (let i = 0; i < order; i++) {
    for (let j = 0; j <= i; j++) fixedPart[i * order + j] = corner[i * size + j]!;
  }
  const withY = corner.subarray(order * size, order * size + order);
  const fixedFactor = cholesky(fixedPart, order);
  if (fixedFactor === null) return null;
  const shifted = solveCholesky(fixedFactor, order, withY);
  let residualSquares = corner[order * size + order]!;
  for (let i = 0; i < order; i++) residualSquares -= withY[i]! * shifted[i]!;
  if (!(residualSquares > 0)) return null;

  const useWeight = weight ?? degreesOfFreedom(model, criterion) / residualSquares;
  const slopes = new Float64Array(size * size);
  const inverse = criterion === "REML" ? invertCholesky(fixedFactor, order) : null;
  for (let i = 0; i < order; i++) {
    slopes[order * size + i] = -2 * useWeight * shifted[i]!;
    for (let j = 0; j <= i; j++) {
      const slope = useWeight * shifted[i]! * shifted[j]! + (inverse === null ? 0 : inverse[i * order + j]!);
      slopes[i * size + j] = i === j ? slope : 2 * slope;
    }
  }
  slopes[order * size + order] = useWeight;
  const gradient = new Float64Array(thetaCount + 1);
  for (const { pattern, raw, store } of workspace.groups)
    pullBack(pattern, raw, withOne, store, slopes, size, workspace.slopes, gradient);
  return {
    logDetRandom,
    logDetFixed: logDeterminant(fixedFactor, order),
    residualSquares,
    fixedFactor,
    shifted,
    gradient: gradient.subarray(0, thetaCount),
  };
}

/** The divisor of the variances: observations, minus the fixed effects under REML. */
export const degreesOfFreedom = (model: MixedModel, criterion: Criterion): number =>
  criterion === "REML" ? model.observations - model.kept.length : model.observations;
