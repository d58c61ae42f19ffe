/**
 * Logistic regression of shares in which every observation belongs to a group, and may belong to a subgroup of it.
 *
 * log odds = Σ value·coefficient + effect of the group + effect of the subgroup. The effects are eliminated one by one, so
 * the work grows with the number of cells and not with the square of the number of groups. Penalties are those of
 * independent normal priors.
 */
import { cholesky, invertCholesky, logDeterminant, solveCholesky } from "./cholesky.ts";

/** Shares summed over observations alike in everything: one cell. */
export interface LogitCells {
  groups: number;
  columns: number;
  /** Number of the cell's group. */
  group: Int32Array;
  /** Number of the cell's subgroup, and the group of each subgroup; used where subgroups have a penalty. */
  subgroup: Int32Array;
  groupOfSubgroup: Int32Array;
  /** Observations in the cell, the mean of their shares, and sums over them that dispersion and deviance need. */
  count: Float64Array;
  mean: Float64Array;
  sumOfSquares: Float64Array;
  /** Σ y·ln y + (1 − y)·ln(1 − y). */
  sumOfEntropy: Float64Array;
  /** The same number of terms for each cell, cell after cell: which column, and its value. Cells of a subgroup have the same columns. */
  termsPerCell: number;
  column: Int32Array;
  value: Float64Array;
}

export interface LogitOptions {
  /** The log-likelihood is divided by it, as for quasi-likelihood. */
  dispersion: number;
  /** Prior mean and 1 ÷ prior variance of each coefficient, precision 0 for no prior. */
  columnMean: Float64Array;
  columnPrecision: Float64Array;
  /** 1 ÷ variance of the group effects; null: no penalty, and the effect of group 0 is 0. */
  groupPrecision: number | null;
  /** 1 ÷ variance of the subgroup effects; null: there are none. */
  subgroupPrecision: number | null;
  /** Where to start; null: at the prior means, all effects 0. */
  start: Pick<LogitFit, "coefficients" | "groupEffects" | "subgroupEffects"> | null;
}

export interface LogitFit {
  converged: boolean;
  iterations: number;
  coefficients: Float64Array;
  groupEffects: Float64Array;
  subgroupEffects: Float64Array;
  /** Quasi-log-likelihood less the penalties. */
  objective: number;
  deviance: number;
  /** Σ (y − μ)² ÷ μ(1 − μ), over observations. */
  pearson: number;
  /** log |matrix of second derivatives|, coefficients and effects together. */
  logDeterminant: number;
  /** Covariance of the coefficients, columns × columns. */
  covariance: Float64Array;
  /** Variance of Σ weight·coefficient + Σ weight·group effect. */
  varianceOf: (columnWeights: ArrayLike<number>, groupWeights?: ArrayLike<number>) => number;
}

const mostIterations = 60;
/** Newton's steps end when the largest is below this, in log odds. */
const smallestStep = 1e-9;

/** ln(1 + eˣ) without overflow. */
const softplus = (x: number): number => (x > 0 ? x + Math.log1p(Math.exp(-x)) : Math.log1p(Math.exp(x)));

const largestOf = (numbers: Float64Array): number =>
  numbers.reduce((largest, number) => Math.max(largest, Math.abs(number)), 0);

/**
 * Fits by Newton's method with halved steps; the objective is concave, so there is one answer or none.
 *
 * `converged` is false where shares of 0 and 1 are separated and no penalty holds the coefficients.
 *
 * Source: McCullagh & Nelder 1989, Generalized Linear Models, 2nd ed., ch. 4 and 9; elimination by Schur complements.
 * Reference check: test/reference/lodging.
 */
export function fitGroupedLogit(cells: LogitCells, options: LogitOptions): LogitFit {
  const { groups, columns, termsPerCell, group, subgroup, groupOfSubgroup, count, mean, column, value } =
    cells;
  const { dispersion, columnMean, columnPrecision, groupPrecision, subgroupPrecision, start } = options;
  const size = count.length;
  const subgroups = subgroupPrecision === null ? 0 : groupOfSubgroup.length;
  const firstFree = groupPrecision === null ? 1 : 0;

  let coefficients = Float64Array.from(start?.coefficients ?? columnMean);
  let groupEffects = Float64Array.from(start?.groupEffects ?? new Float64Array(groups));
  let subgroupEffects = Float64Array.from(start?.subgroupEffects ?? new Float64Array(subgroups));

  const predict = (theta: Float64Array, effects: Float64Array, subEffects: Float64Array): Float64Array => {
    const eta = new Float64Array(size);
    for (let cell = 0; cell < size; cell++) {
      let sum = effects[group[cell]!]!;
      if (subgroups > 0) sum += subEffects[subgroup[cell]!]!;
      for (let t = cell * termsPerCell; t < (cell + 1) * termsPerCell; t++)
        sum += value[t]! * theta[column[t]!]!;
      eta[cell] = sum;
    }
    return eta;
  };
  const objectiveOf = (
    eta: Float64Array,
    theta: Float64Array,
    effects: Float64Array,
    subEffects: Float64Array,
  ): number => {
    let sum = 0;
    for (let cell = 0; cell < size; cell++)
      sum += count[cell]! * (mean[cell]! * eta[cell]! - softplus(eta[cell]!));
    sum /= dispersion;
    for (let j = 0; j < columns; j++) sum -= 0.5 * columnPrecision[j]! * (theta[j]! - columnMean[j]!) ** 2;
    if (groupPrecision !== null) for (const effect of effects) sum -= 0.5 * groupPrecision * effect ** 2;
    if (subgroupPrecision !== null)
      for (const effect of subEffects) sum -= 0.5 * subgroupPrecision * effect ** 2;
    return sum;
  };

  /* Second derivatives: of each subgroup and group with itself, of a subgroup with its group, of both with the columns. */
  const subCurvature = new Float64Array(subgroups);
  const subWithGroup = new Float64Array(subgroups);
  const subCross = new Float64Array(subgroups * termsPerCell);
  const subColumn = new Int32Array(subgroups * termsPerCell);
  const groupCurvature = new Float64Array(groups);
  const cross = new Float64Array(groups * columns);
  const curvature = new Float64Array(columns * columns);
  const subSlope = new Float64Array(subgroups);
  const groupSlope = new Float64Array(groups);
  const slope = new Float64Array(columns);
  if (subgroups > 0)
    for (let cell = 0; cell < size; cell++)
      for (let t = 0; t < termsPerCell; t++)
        subColumn[subgroup[cell]! * termsPerCell + t] = column[cell * termsPerCell + t]!;

  /** Derivatives at the point, subgroups and then groups eliminated; the Cholesky factor of what is left. */
  const differentiate = (eta: Float64Array): Float64Array | null => {
    subCurvature.fill(subgroupPrecision ?? 0);
    subWithGroup.fill(0);
    subCross.fill(0);
    groupCurvature.fill(groupPrecision ?? 0);
    cross.fill(0);
    curvature.fill(0);
    for (let s = 0; s < subgroups; s++) subSlope[s] = -subgroupPrecision! * subgroupEffects[s]!;
    for (let g = 0; g < groups; g++) groupSlope[g] = -(groupPrecision ?? 0) * groupEffects[g]!;
    for (let j = 0; j < columns; j++) {
      slope[j] = -columnPrecision[j]! * (coefficients[j]! - columnMean[j]!);
      curvature[j * columns + j] = columnPrecision[j]!;
    }
    for (let cell = 0; cell < size; cell++) {
      const mu = 1 / (1 + Math.exp(-eta[cell]!));
      const weight = (count[cell]! * mu * (1 - mu)) / dispersion;
      const pull = (count[cell]! * (mean[cell]! - mu)) / dispersion;
      const g = group[cell]!;
      const first = cell * termsPerCell;
      groupCurvature[g]! += weight;
      groupSlope[g]! += pull;
      if (subgroups > 0) {
        const s = subgroup[cell]!;
        subCurvature[s]! += weight;
        subWithGroup[s]! += weight;
        subSlope[s]! += pull;
        for (let t = 0; t < termsPerCell; t++) subCross[s * termsPerCell + t]! += weight * value[first + t]!;
      }
      for (let s = first; s < first + termsPerCell; s++) {
        const j = column[s]!;
        const weighted = weight * value[s]!;
        slope[j]! += pull * value[s]!;
        cross[g * columns + j]! += weighted;
        for (let t = first; t < first + termsPerCell; t++)
          curvature[j * columns + column[t]!]! += weighted * value[t]!;
      }
    }
    for (let s = 0; s < subgroups; s++) {
      const g = groupOfSubgroup[s]!;
      const a = subCurvature[s]!;
      const tie = subWithGroup[s]! / a;
      groupCurvature[g]! -= tie * subWithGroup[s]!;
      groupSlope[g]! -= tie * subSlope[s]!;
      for (let t = s * termsPerCell; t < (s + 1) * termsPerCell; t++) {
        const j = subColumn[t]!;
        cross[g * columns + j]! -= tie * subCross[t]!;
        slope[j]! -= (subCross[t]! / a) * subSlope[s]!;
        for (let u = s * termsPerCell; u < (s + 1) * termsPerCell; u++)
          curvature[j * columns + subColumn[u]!]! -= (subCross[t]! / a) * subCross[u]!;
      }
    }
    for (let g = firstFree; g < groups; g++)
      for (let j = 0; j < columns; j++) {
        const b = cross[g * columns + j]! / groupCurvature[g]!;
        if (b === 0) continue;
        slope[j]! -= b * groupSlope[g]!;
        for (let k = 0; k < columns; k++) curvature[j * columns + k]! -= b * cross[g * columns + k]!;
      }
    return cholesky(curvature, columns);
  };

  let eta = predict(coefficients, groupEffects, subgroupEffects);
  let objective = objectiveOf(eta, coefficients, groupEffects, subgroupEffects);
  let converged = false;
  let iterations = 0;
  let factor = differentiate(eta);
  while (factor !== null && !converged && iterations < mostIterations) {
    iterations++;
    const step = solveCholesky(factor, columns, slope);
    const groupStep = new Float64Array(groups);
    for (let g = firstFree; g < groups; g++) {
      let pull = groupSlope[g]!;
      for (let j = 0; j < columns; j++) pull -= cross[g * columns + j]! * step[j]!;
      groupStep[g] = pull / groupCurvature[g]!;
    }
    const subgroupStep = new Float64Array(subgroups);
    for (let s = 0; s < subgroups; s++) {
      let pull = subSlope[s]! - subWithGroup[s]! * groupStep[groupOfSubgroup[s]!]!;
      for (let t = s * termsPerCell; t < (s + 1) * termsPerCell; t++)
        pull -= subCross[t]! * step[subColumn[t]!]!;
      subgroupStep[s] = pull / subCurvature[s]!;
    }
    const along = (from: Float64Array, by: Float64Array, share: number): Float64Array<ArrayBuffer> =>
      Float64Array.from(from, (now, i) => now + share * by[i]!);
    for (let share = 1; ; share /= 2) {
      const next = along(coefficients, step, share);
      const nextEffects = along(groupEffects, groupStep, share);
      const nextSubEffects = along(subgroupEffects, subgroupStep, share);
      const nextEta = predict(next, nextEffects, nextSubEffects);
      const reached = objectiveOf(nextEta, next, nextEffects, nextSubEffects);
      if (reached < objective - 1e-12 * (1 + Math.abs(objective)) && share > 1e-9) continue;
      [coefficients, groupEffects, subgroupEffects] = [next, nextEffects, nextSubEffects];
      [eta, objective] = [nextEta, reached];
      break;
    }
    factor = differentiate(eta);
    converged =
      factor !== null &&
      Math.max(largestOf(step), largestOf(groupStep), largestOf(subgroupStep)) < smallestStep;
  }

  const covariance = factor === null ? new Float64Array(columns * columns) : invertCholesky(factor, columns);
  let logDet = factor === null ? 0 : logDeterminant(factor, columns);
  for (let g = firstFree; g < groups; g++) logDet += Math.log(groupCurvature[g]!);
  for (const a of subCurvature) logDet += Math.log(a);
  const varianceOf = (
    columnWeights: ArrayLike<number>,
    groupWeights: ArrayLike<number> = new Float64Array(groups),
  ): number => {
    const left = Float64Array.from(columnWeights);
    let variance = 0;
    for (let g = firstFree; g < groups; g++) {
      const c = groupWeights[g]!;
      if (c === 0) continue;
      variance += (c * c) / groupCurvature[g]!;
      for (let j = 0; j < columns; j++) left[j]! -= (c * cross[g * columns + j]!) / groupCurvature[g]!;
    }
    for (let j = 0; j < columns; j++)
      for (let k = 0; k < columns; k++) variance += left[j]! * covariance[j * columns + k]! * left[k]!;
    return variance;
  };

  let deviance = 0;
  let pearson = 0;
  for (let cell = 0; cell < size; cell++) {
    const mu = 1 / (1 + Math.exp(-eta[cell]!));
    const n = count[cell]!;
    const squares = cells.sumOfSquares[cell]! - 2 * mu * n * mean[cell]! + n * mu * mu;
    deviance += 2 * (cells.sumOfEntropy[cell]! - n * (mean[cell]! * eta[cell]! - softplus(eta[cell]!)));
    pearson += Math.max(0, squares) / (mu * (1 - mu));
  }
  return {
    converged,
    iterations,
    coefficients,
    groupEffects,
    subgroupEffects,
    objective,
    deviance,
    pearson,
    logDeterminant: logDet,
    covariance,
    varianceOf,
  };
}
