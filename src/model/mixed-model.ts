/**
 * Linear mixed models with normal errors, by REML or maximum likelihood: y = Xβ + Zb + e.
 *
 * Written for trials: random effects are nested in environments, so sums of products are gathered environment by
 * environment, once, and one evaluation of the criterion costs a few thousand multiplications an environment, whatever
 * the number of strips. Groups that share a random effect (crossed sites and years) are found and joined, so other
 * layouts work too, only less fast.
 */
import { cholesky, invertCholesky, logDeterminant, solveCholesky } from "../maths/cholesky.ts";
import { findSmoothMinimum } from "../maths/smooth-minimum.ts";
import type { ValueAndGradient } from "../maths/smooth-minimum.ts";
import { addCorner, eliminate, layOutPattern, predictEffects, pullBack } from "./elimination.ts";
import type { Pattern } from "./elimination.ts";
import type { GroupSums, LevelPlace, TermPlace, TrialSums } from "./gather-sums.ts";

/** X without its zeros, one row a treatment: row i has entries start[i] … start[i + 1] − 1. */
export interface FixedColumns {
  count: number;
  start: Int32Array;
  column: Int32Array;
  value: Float64Array;
}

interface Group {
  pattern: Pattern;
  raw: Float64Array;
  levels: LevelPlace[];
}

/** A model ready to be fitted, by REML or by ML. */
export interface MixedModel {
  observations: number;
  /** Columns of X that depend on earlier ones; they have no estimate. */
  droppedColumns: number[];
  terms: TermPlace[];
  thetaCount: number;
  groups: Group[];
  /** Columns kept, as columns of X. */
  kept: Int32Array;
  columnCount: number;
  /** [X y]'[X y] of the kept columns, y less its least-squares fit: lower triangle, row by row. */
  totals: Float64Array;
  /** Least-squares estimates that were taken off y. */
  offset: Float64Array;
  /** Σ y², the scale against which no scatter is told. */
  squares: number;
}

export type Criterion = "REML" | "ML";

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

/**
 * Puts curves over the treatments of a trial.
 *
 * @param fixed  one row a treatment
 * @throws Error where X has not one row a treatment
 */
export function buildMixedModel(sums: TrialSums, fixed: FixedColumns): MixedModel {
  if (fixed.start.length !== sums.treatments + 1) throw new Error("X must have one row a treatment.");
  const { kept, newColumn, totals, offset, squares } = fitFixedPart(sums, fixed);
  const droppedColumns: number[] = [];
  newColumn.forEach((column, old) => {
    if (column < 0) droppedColumns.push(old);
  });
  const columns = keepColumns(fixed, newColumn, kept.length);
  const planning = { sums, columns, offset, localColumn: new Int32Array(kept.length) };
  const groups = sums.groups.map((group) => layOutGroup(group, planning));
  return {
    observations: sums.observations,
    droppedColumns,
    terms: sums.terms,
    thetaCount: sums.thetaCount,
    groups,
    kept,
    columnCount: fixed.count,
    totals,
    offset,
    squares,
  };
}

/**
 * Least squares with the fixed part alone: finds dependent columns and takes the fit off y.
 *
 * The mixed model of what is left differs only by these estimates, and its sums keep their digits.
 */
function fitFixedPart(sums: TrialSums, fixed: FixedColumns) {
  const all = fixed.count;
  const strips = new Float64Array(sums.treatments);
  const yields = new Float64Array(sums.treatments);
  let squares = 0;
  for (const group of sums.groups) {
    group.treatments.forEach((treatment, local) => {
      strips[treatment] += group.strips[local];
      yields[treatment] += group.yields[local];
    });
    squares += group.squares;
  }
  const cross = new Float64Array(all * all);
  const withY = new Float64Array(all);
  for (let treatment = 0; treatment < sums.treatments; treatment++) {
    for (let i = fixed.start[treatment]; i < fixed.start[treatment + 1]; i++) {
      const [column, value] = [fixed.column[i], fixed.value[i]];
      withY[column] += value * yields[treatment];
      for (let j = fixed.start[treatment]; j < fixed.start[treatment + 1]; j++) {
        cross[column * all + fixed.column[j]] += value * fixed.value[j] * strips[treatment];
      }
    }
  }
  const kept = independentColumns(cross, all);
  const order = kept.length;
  const newColumn = new Int32Array(all).fill(-1);
  kept.forEach((old, column) => (newColumn[old] = column));
  const keptCross = new Float64Array(order * order);
  const withKept = Float64Array.from(kept, (old) => withY[old]);
  for (let i = 0; i < order; i++) {
    for (let j = 0; j < order; j++) keptCross[i * order + j] = cross[kept[i] * all + kept[j]];
  }
  const factor = cholesky(keptCross, order);
  if (factor === null) throw new Error("Independent columns must have positive definite sums.");
  const offset = solveCholesky(factor, order, withKept);

  const size = order + 1;
  const totals = new Float64Array(size * size);
  let left = squares;
  for (let i = 0; i < order; i++) {
    let unexplained = withKept[i];
    for (let j = 0; j < order; j++) unexplained -= keptCross[i * order + j] * offset[j];
    for (let j = 0; j <= i; j++) totals[i * size + j] = keptCross[i * order + j];
    totals[order * size + i] = unexplained;
    left -= offset[i] * (withKept[i] + unexplained);
  }
  totals[order * size + order] = Math.max(0, left);
  return { kept, newColumn, totals, offset, squares };
}

/** Columns that earlier columns do not already say, from X'X: a pivot below 1e-10 of its diagonal counts as nothing. */
function independentColumns(cross: Float64Array, order: number): Int32Array {
  const kept: number[] = [];
  const factorRows: Float64Array[] = [];
  for (let column = 0; column < order; column++) {
    const row = new Float64Array(kept.length + 1);
    let pivot = cross[column * order + column];
    for (let k = 0; k < kept.length; k++) {
      let sum = cross[column * order + kept[k]];
      for (let i = 0; i < k; i++) sum -= row[i] * factorRows[k][i];
      row[k] = sum / factorRows[k][k];
      pivot -= row[k] * row[k];
    }
    if (!(pivot > 1e-10 * cross[column * order + column])) continue;
    row[kept.length] = Math.sqrt(pivot);
    kept.push(column);
    factorRows.push(row);
  }
  return Int32Array.from(kept);
}

/** X with only the kept columns. */
function keepColumns(fixed: FixedColumns, newColumn: Int32Array, count: number): FixedColumns {
  const start = new Int32Array(fixed.start.length);
  const column: number[] = [];
  const value: number[] = [];
  for (let row = 0; row + 1 < fixed.start.length; row++) {
    for (let i = fixed.start[row]; i < fixed.start[row + 1]; i++) {
      const kept = newColumn[fixed.column[i]];
      if (kept < 0) continue;
      column.push(kept);
      value.push(fixed.value[i]);
    }
    start[row + 1] = column.length;
  }
  return { count, start, column: Int32Array.from(column), value: Float64Array.from(value) };
}

/** What laying out one group after another shares. */
interface Planning {
  sums: TrialSums;
  columns: FixedColumns;
  offset: Float64Array;
  localColumn: Int32Array;
}

/** A group's sums with the fixed columns, and with y less its least-squares fit. */
function layOutGroup(group: GroupSums, { sums, columns, offset, localColumn }: Planning): Group {
  const { withTreatment, random, randomCount, treatments } = group;
  const touched = new Set<number>();
  for (const treatment of treatments) {
    for (let i = columns.start[treatment]; i < columns.start[treatment + 1]; i++)
      touched.add(columns.column[i]);
  }
  const fixedColumns = Int32Array.from(touched).sort();
  const count = fixedColumns.length;
  fixedColumns.forEach((column, local) => (localColumn[column] = local));
  const withY = group.withYield.slice();
  const table = new Float64Array(randomCount * count);
  const bits = new Uint16Array(Math.ceil(table.length / 16));
  for (let e = 0; e < withTreatment.row.length; e++) {
    const treatment = treatments[withTreatment.row[e]];
    const [effect, sum] = [withTreatment.column[e], withTreatment.value[e]];
    for (let i = columns.start[treatment]; i < columns.start[treatment + 1]; i++) {
      const [column, value] = [columns.column[i], columns.value[i]];
      const place = localColumn[column] * randomCount + effect;
      table[place] += sum * value;
      bits[place >> 4] |= 1 << (place & 15);
      withY[effect] -= sum * value * offset[column];
    }
  }
  const key = `${group.structure};${fixedColumns.join()};${textOf(bits)}`;
  let known = sums.patterns.get(key);
  if (known === undefined) {
    const places = Int32Array.from(
      Array.from(table.keys()).filter((place) => (bits[place >> 4] >> (place & 15)) & 1),
    );
    const effects = Array.from({ length: randomCount }, (_, effect) => effect);
    const pattern = layOutPattern({
      row: [
        ...random.row,
        ...Array.from(places, (place) => randomCount + Math.floor(place / randomCount)),
        ...effects.map(() => randomCount + count),
      ],
      column: [...random.column, ...Array.from(places, (place) => place % randomCount), ...effects],
      levels: group.levels.map(({ term, first }) => ({ ...sums.terms[term], first })),
      randomCount,
      fixedColumns,
      one: sums.thetaCount,
    });
    known = { pattern, places };
    sums.patterns.set(key, known);
  }
  const { pattern, places } = known;
  const raw = new Float64Array(random.value.length + places.length + randomCount);
  raw.set(random.value);
  for (let i = 0; i < places.length; i++) raw[random.value.length + i] = table[places[i]];
  raw.set(withY, random.value.length + places.length);
  return { pattern, raw, levels: group.levels };
}

/** One character for sixteen bits. */
function textOf(bits: Uint16Array): string {
  let text = "";
  for (const word of bits) text += String.fromCharCode(word);
  return text;
}

/** What the criterion is made of at one theta. */
export interface Evaluation {
  logDetRandom: number;
  logDetFixed: number;
  /** Generalized residual sum of squares over the residual variance. */
  residualSquares: number;
  /** Cholesky factor of X'V⁻¹X (V relative to the residual variance). */
  fixedFactor: Float64Array;
  /** Estimates for y less its least-squares fit. */
  shifted: Float64Array;
  gradient: Float64Array;
}

/** Room for the elimination of every group, kept between evaluations. */
interface Workspace {
  stores: Float64Array[];
  slopes: Float64Array;
}

export function makeWorkspace(model: MixedModel): Workspace {
  return {
    stores: model.groups.map((group) => new Float64Array(group.pattern.size)),
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
  const { groups, totals, thetaCount } = model;
  const order = model.kept.length;
  const size = order + 1;
  const withOne = new Float64Array(thetaCount + 1);
  withOne.set(theta);
  withOne[thetaCount] = 1;
  const corner = totals.slice();
  let logDetRandom = 0;
  for (let g = 0; g < groups.length; g++) {
    const { pattern, raw } = groups[g];
    logDetRandom += eliminate(pattern, raw, withOne, workspace.stores[g]);
    addCorner(pattern, workspace.stores[g], corner, size);
  }
  if (!Number.isFinite(logDetRandom)) return null;
  const fixedPart = new Float64Array(order * order);
  for (let i = 0; i < order; i++) {
    for (let j = 0; j <= i; j++) fixedPart[i * order + j] = corner[i * size + j];
  }
  const withY = corner.subarray(order * size, order * size + order);
  const fixedFactor = cholesky(fixedPart, order);
  if (fixedFactor === null) return null;
  const shifted = solveCholesky(fixedFactor, order, withY);
  let residualSquares = corner[order * size + order];
  for (let i = 0; i < order; i++) residualSquares -= withY[i] * shifted[i];
  if (!(residualSquares > 0)) return null;

  const useWeight = weight ?? degreesOfFreedom(model, criterion) / residualSquares;
  const slopes = new Float64Array(size * size);
  const inverse = criterion === "REML" ? invertCholesky(fixedFactor, order) : null;
  for (let i = 0; i < order; i++) {
    slopes[order * size + i] = -2 * useWeight * shifted[i];
    for (let j = 0; j <= i; j++) {
      const slope = useWeight * shifted[i] * shifted[j] + (inverse === null ? 0 : inverse[i * order + j]);
      slopes[i * size + j] = i === j ? slope : 2 * slope;
    }
  }
  slopes[order * size + order] = useWeight;
  const gradient = new Float64Array(thetaCount + 1);
  for (let g = 0; g < groups.length; g++) {
    const { pattern, raw } = groups[g];
    pullBack(pattern, raw, withOne, workspace.stores[g], slopes, size, workspace.slopes, gradient);
  }
  return {
    logDetRandom,
    logDetFixed: logDeterminant(fixedFactor, order),
    residualSquares,
    fixedFactor,
    shifted,
    gradient: gradient.subarray(0, thetaCount),
  };
}

export const degreesOfFreedom = (model: MixedModel, criterion: Criterion): number =>
  criterion === "REML" ? model.observations - model.kept.length : model.observations;

/** A relative standard deviation beyond this means that the residual variance is running to zero. */
const largestDeviation = 1e3;

/**
 * Fits a prepared model.
 *
 * The criterion is smooth and even in the relative standard deviations, so it is minimized without bounds and a
 * standard deviation that ends at zero is an ordinary minimum there; it is then set to zero exactly and said.
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

/** Diagonal entries of Λ made positive, and set to zero where the criterion does not mind. */
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
      if (theta[at] < 0) for (let i = 0; i < width - c; i++) theta[at + i] = -theta[at + i];
      if (theta[at] > 0 && theta[at] < 1e-2) {
        const trial = theta.slice();
        trial[at] = 0;
        if (criterionAt(trial) <= lowest + 1e-7) theta = trial;
      }
      at += width - c;
    }
  }
  return theta;
}

/** Whether the fixed part alone goes through every yield, as far as rounding lets one see. */
const isExact = (model: MixedModel): boolean =>
  model.totals[model.totals.length - 1] <= 1e-13 * model.squares;

/**
 * Whether strips scatter beyond what fixed and random effects can follow.
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

/** Effects left free: exact curves, no variances and no likelihood to speak of. */
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
    estimates[model.kept[i]] = model.offset[i] + evaluation.shifted[i];
    // Without scatter every entry is 0, and none is −0, which JSON would not keep.
    for (let j = 0; j < order && residualVariance > 0; j++) {
      covariance[model.kept[i] * all + model.kept[j]] = residualVariance * inverse[i * order + j];
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
    for (let row = column; row < width; row++) lower[row * width + column] = theta[at++];
  }
  const covariance: number[] = [];
  for (let i = 0; i < width; i++) {
    for (let j = 0; j < width; j++) {
      let sum = 0;
      for (let k = 0; k < width; k++) sum += lower[i * width + k] * lower[j * width + k];
      covariance.push(residualVariance * sum);
    }
  }
  return { term: term.name, levels: term.levels, covariance, atBoundary };
}

/**
 * Best predictions of the random effects of a fit.
 *
 * @returns for each term one array a coefficient, one number a level, in the units of y
 */
export function predictRandomEffects(model: MixedModel, fit: MixedFit): Float64Array[][] {
  const workspace = makeWorkspace(model);
  const evaluation = evaluateAt(model, fit.theta, fit.criterion, workspace);
  const effects = model.terms.map((term) =>
    Array.from({ length: term.width }, () => new Float64Array(term.levels)),
  );
  if (evaluation === null) return effects;
  model.groups.forEach((group, g) => {
    const independent = predictEffects(group.pattern, workspace.stores[g], evaluation.shifted);
    for (const { term, level, first } of group.levels) {
      const { width, theta } = model.terms[term];
      let at = theta;
      for (let column = 0; column < width; column++) {
        for (let row = column; row < width; row++) {
          effects[term][row][level] += fit.theta[at++] * independent[first + column];
        }
      }
    }
  });
  return effects;
}
