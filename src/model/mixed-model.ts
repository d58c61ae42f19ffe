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
import type { LevelPlace, Pattern } from "./elimination.ts";

/** A random term: each level draws its own coefficients, normal about zero, correlated when there are several. */
export interface RandomTerm {
  name: string;
  /** How many levels there are, numbered from 0. */
  levels: number;
  /** How many levels one row touches: 1, or 2 where a row stands between two knots. */
  reach: number;
  /** For each row its `reach` levels. */
  levelOf: Int32Array;
  /** One array a coefficient, as long as `levelOf`: what the coefficient is multiplied by. */
  columns: Float64Array[];
}

/** X without its zeros: row i has entries start[i] … start[i + 1] − 1. */
export interface FixedColumns {
  count: number;
  start: Int32Array;
  column: Int32Array;
  value: Float64Array;
}

export interface MixedModelDesign {
  yields: Float64Array;
  fixed: FixedColumns;
  random: RandomTerm[];
}

interface Group {
  pattern: Pattern;
  raw: Float64Array;
  /** First coefficient of each local level place: its term and level. */
  levels: { term: number; level: number; first: number }[];
}

/** Sums of products of a design, gathered once; all fits of the design start from it. */
export interface MixedModel {
  rows: number;
  /** Columns of X that depend on earlier ones; they have no estimate. */
  droppedColumns: number[];
  terms: { name: string; levels: number; width: number; theta: number }[];
  thetaCount: number;
  groups: Group[];
  /** Columns kept, as columns of the design's X. */
  kept: Int32Array;
  columnCount: number;
  /** [X y]'[X y] of the kept columns, y less its least-squares fit: lower triangle, row by row. */
  totals: Float64Array;
  /** Least-squares estimates that were taken off y. */
  offset: Float64Array;
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
 * Gathers what all fits of a design need.
 *
 * @throws Error where the arrays of the design do not fit together
 */
export function prepareMixedModel(design: MixedModelDesign): MixedModel {
  const { yields, fixed, random } = design;
  const rows = yields.length;
  if (fixed.start.length !== rows + 1) throw new Error("X must have one row a yield.");
  for (const term of random) {
    if (term.levelOf.length !== rows * term.reach) throw new Error(`Term ${term.name}: one level a row.`);
    for (const column of term.columns) {
      if (column.length !== term.levelOf.length) throw new Error(`Term ${term.name}: one value a level.`);
    }
  }

  const { kept, newColumn, totals, offset, residuals } = fitFixedPart(yields, fixed);
  let thetaCount = 0;
  const terms = random.map((term) => {
    const width = term.columns.length;
    const theta = thetaCount;
    thetaCount += (width * (width + 1)) / 2;
    return { name: term.name, levels: term.levels, width, theta };
  });
  const entries = fixed.count + 1 + random.reduce((sum, term) => sum + term.reach * term.columns.length, 0);
  const gathering: Gathering = {
    residuals,
    fixed,
    newColumn,
    random,
    terms,
    thetaCount,
    patterns: new Map(),
    sums: new ProductSums(),
    firstOf: random.map((term) => new Int32Array(term.levels).fill(-1)),
    localColumn: new Int32Array(kept.length),
    where: new Int32Array(entries),
    value: new Float64Array(entries),
  };
  const groups =
    random.length === 0 ? [] : groupRows(rows, random).map((members) => gatherGroup(members, gathering));
  const droppedColumns: number[] = [];
  newColumn.forEach((column, old) => {
    if (column < 0) droppedColumns.push(old);
  });
  return {
    rows,
    droppedColumns,
    terms,
    thetaCount,
    groups,
    kept,
    columnCount: fixed.count,
    totals,
    offset,
  };
}

/**
 * Least squares with the fixed part alone: finds dependent columns and takes the fit off y.
 *
 * The mixed model of what is left differs only by these estimates, and its sums keep their digits.
 */
function fitFixedPart(yields: Float64Array, fixed: FixedColumns) {
  const rows = yields.length;
  const all = fixed.count;
  const cross = new Float64Array(all * all);
  const withY = new Float64Array(all);
  for (let row = 0; row < rows; row++) {
    for (let i = fixed.start[row]; i < fixed.start[row + 1]; i++) {
      const [column, value] = [fixed.column[i], fixed.value[i]];
      withY[column] += value * yields[row];
      for (let j = fixed.start[row]; j < fixed.start[row + 1]; j++) {
        cross[column * all + fixed.column[j]] += value * fixed.value[j];
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
  const factor = cholesky(keptCross, order)!;
  const offset = solveCholesky(factor, order, withKept);

  const size = order + 1;
  const totals = new Float64Array(size * size);
  for (let i = 0; i < order; i++) {
    for (let j = 0; j <= i; j++) totals[i * size + j] = keptCross[i * order + j];
  }
  const residuals = new Float64Array(rows);
  for (let row = 0; row < rows; row++) {
    let residual = yields[row];
    for (let i = fixed.start[row]; i < fixed.start[row + 1]; i++) {
      const column = newColumn[fixed.column[i]];
      if (column >= 0) residual -= fixed.value[i] * offset[column];
    }
    residuals[row] = residual;
    totals[order * size + order] += residual * residual;
    for (let i = fixed.start[row]; i < fixed.start[row + 1]; i++) {
      const column = newColumn[fixed.column[i]];
      if (column >= 0) totals[order * size + column] += fixed.value[i] * residual;
    }
  }
  return { kept, newColumn, totals, offset, residuals };
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

/** Rows that share a random effect, directly or through others: lists of row numbers, in order of their first row. */
function groupRows(rows: number, random: RandomTerm[]): Int32Array[] {
  const termStart: number[] = [];
  let nodes = 0;
  for (const term of random) {
    termStart.push(nodes);
    nodes += term.levels;
  }
  const parent = Int32Array.from({ length: nodes }, (_, node) => node);
  const rootOf = (node: number): number => {
    while (parent[node] !== node) {
      parent[node] = parent[parent[node]];
      node = parent[node];
    }
    return node;
  };
  const firstNode = new Int32Array(rows);
  for (let row = 0; row < rows; row++) {
    firstNode[row] = termStart[0] + random[0].levelOf[row * random[0].reach];
    const root = rootOf(firstNode[row]);
    random.forEach((term, t) => {
      for (let i = 0; i < term.reach; i++) {
        parent[rootOf(termStart[t] + term.levelOf[row * term.reach + i])] = rootOf(root);
      }
    });
  }
  const groupOfRoot = new Int32Array(nodes).fill(-1);
  const sizes: number[] = [];
  const groupOf = new Int32Array(rows);
  for (let row = 0; row < rows; row++) {
    const root = rootOf(firstNode[row]);
    if (groupOfRoot[root] < 0) groupOfRoot[root] = sizes.push(0) - 1;
    groupOf[row] = groupOfRoot[root];
    sizes[groupOf[row]]++;
  }
  const members = sizes.map((size) => new Int32Array(size));
  const filled = new Int32Array(sizes.length);
  for (let row = 0; row < rows; row++) members[groupOf[row]][filled[groupOf[row]]++] = row;
  return members;
}

/** What gathering one group after another shares. */
interface Gathering {
  residuals: Float64Array;
  fixed: FixedColumns;
  newColumn: Int32Array;
  random: RandomTerm[];
  terms: MixedModel["terms"];
  thetaCount: number;
  patterns: Map<string, Pattern>;
  sums: ProductSums;
  /** Local place of each term's levels and of each fixed column. */
  firstOf: Int32Array[];
  localColumn: Int32Array;
  /** One row's entries. */
  where: Int32Array;
  value: Float64Array;
}

/** Sums of products of one group, and where they stand. */
function gatherGroup(members: Int32Array, gathering: Gathering): Group {
  const { random, fixed, newColumn, terms, firstOf, localColumn, sums } = gathering;
  // Levels of each term in order of first appearance; the term with the most levels is eliminated first.
  const localLevels = random.map((term, t) => {
    const local: number[] = [];
    for (const row of members) {
      for (let i = 0; i < term.reach; i++) {
        const level = term.levelOf[row * term.reach + i];
        if (firstOf[t][level] >= 0) continue;
        firstOf[t][level] = local.push(level);
      }
    }
    return local;
  });
  const elimination = random
    .map((_, t) => t)
    .sort((a, b) => localLevels[b].length - localLevels[a].length || a - b);
  const levels: Group["levels"] = [];
  const places: LevelPlace[] = [];
  let randomCount = 0;
  for (const t of elimination) {
    for (const level of localLevels[t]) {
      firstOf[t][level] = randomCount;
      levels.push({ term: t, level, first: randomCount });
      places.push({ first: randomCount, width: terms[t].width, theta: terms[t].theta });
      randomCount += terms[t].width;
    }
  }
  const touched = new Set<number>();
  for (const row of members) {
    for (let i = fixed.start[row]; i < fixed.start[row + 1]; i++) {
      if (newColumn[fixed.column[i]] >= 0) touched.add(newColumn[fixed.column[i]]);
    }
  }
  const fixedColumns = Int32Array.from([...touched].sort((a, b) => a - b));
  fixedColumns.forEach((column, i) => (localColumn[column] = randomCount + i));
  const yRow = randomCount + fixedColumns.length;

  sums.begin(yRow + 1);
  const { where, value, residuals } = gathering;
  for (const row of members) {
    let effects = 0;
    for (let t = 0; t < random.length; t++) {
      const term = random[t];
      for (let i = 0; i < term.reach; i++) {
        const entry = row * term.reach + i;
        const first = firstOf[t][term.levelOf[entry]];
        for (let c = 0; c < term.columns.length; c++) {
          where[effects] = first + c;
          value[effects++] = term.columns[c][entry];
        }
      }
    }
    let count = effects;
    for (let i = fixed.start[row]; i < fixed.start[row + 1]; i++) {
      const column = newColumn[fixed.column[i]];
      if (column < 0) continue;
      where[count] = localColumn[column];
      value[count++] = fixed.value[i];
    }
    where[count] = yRow;
    value[count++] = residuals[row];
    for (let b = 0; b < effects; b++) {
      for (let a = b; a < count; a++) sums.add(where[a], where[b], value[a] * value[b]);
    }
  }
  const raw = sums.take();
  const key = [fixedColumns.join(), places.map((place) => place.theta).join(), raw.keys.join()].join(";");
  let pattern = gathering.patterns.get(key);
  if (pattern === undefined) {
    pattern = layOutPattern(raw, places, fixedColumns, gathering.thetaCount);
    gathering.patterns.set(key, pattern);
  }
  return { pattern, raw: raw.value, levels };
}

/** Adds up products by row and column, row ≥ column; only what was touched is kept. Small orders use a table, large a map. */
class ProductSums {
  private order = 0;
  private table = new Float64Array(0);
  private touched = new Uint8Array(0);
  private readonly keys: number[] = [];
  private readonly map = new Map<number, number>();

  /** Begins afresh for a group with this many columns. */
  begin(order: number): void {
    this.order = order;
    if (order <= tableOrder && this.table.length < order * order) {
      this.table = new Float64Array(order * order);
      this.touched = new Uint8Array(order * order);
    }
  }

  add(a: number, b: number, product: number): void {
    const key = a >= b ? a * this.order + b : b * this.order + a;
    if (this.order <= tableOrder) {
      if (this.touched[key] === 0) {
        this.touched[key] = 1;
        this.keys.push(key);
      }
      this.table[key] += product;
    } else this.map.set(key, (this.map.get(key) ?? 0) + product);
  }

  /** The sums by row and column, in order; forgets them. */
  take() {
    const { order, table, touched, map } = this;
    const small = order <= tableOrder;
    const keys = Float64Array.from(small ? this.keys : map.keys()).sort();
    const sums = {
      keys,
      row: Int32Array.from(keys, (key) => Math.floor(key / order)),
      column: Int32Array.from(keys, (key) => key % order),
      value: Float64Array.from(keys, (key) => (small ? table[key] : map.get(key)!)),
    };
    for (const key of this.keys) table[key] = touched[key] = 0;
    this.keys.length = 0;
    map.clear();
    return sums;
  }
}

const tableOrder = 600;

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
  criterion === "REML" ? model.rows - model.kept.length : model.rows;

/**
 * Fits a prepared model.
 *
 * The criterion is smooth and even in the relative standard deviations, so it is minimized without bounds and a
 * standard deviation that ends at zero is an ordinary minimum there; it is then set to zero exactly and said.
 *
 * @param start  theta to begin at, for instance that of a similar model; 1 for each standard deviation by default
 * Reference check: test/reference/mixed-models
 */
export function fitMixedModel(model: MixedModel, criterion: Criterion, start?: Float64Array): MixedFit {
  const workspace = makeWorkspace(model);
  const df = degreesOfFreedom(model, criterion);
  if (df <= 0 || isExact(model)) return withoutScatter(model, criterion, workspace);
  const criterionOf = (evaluation: Evaluation): number =>
    evaluation.logDetRandom +
    (criterion === "REML" ? evaluation.logDetFixed : 0) +
    df * (1 + Math.log((2 * Math.PI * evaluation.residualSquares) / df));
  const f = (theta: Float64Array): ValueAndGradient => {
    const evaluation = evaluateAt(model, theta, criterion, workspace);
    if (evaluation === null) return { value: Infinity, gradient: new Float64Array(model.thetaCount) };
    return { value: criterionOf(evaluation), gradient: evaluation.gradient };
  };
  const first = start ?? standardStart(model);
  const found = findSmoothMinimum(f, first);
  const theta = setToZero(model, found.x, (x) => f(x).value, found.value);
  const evaluation = evaluateAt(model, theta, criterion, workspace)!;
  return describe(model, criterion, theta, evaluation, criterionOf(evaluation), {
    converged: found.converged,
    iterations: found.iterations,
    evaluations: found.evaluations,
    reason: found.converged ? "" : "the likelihood was still rising when the steps ran out",
  });
}

/** Relative standard deviation 1 and no correlation. */
function standardStart(model: MixedModel): Float64Array {
  const theta = new Float64Array(model.thetaCount);
  for (const term of model.terms) {
    let at = term.theta;
    for (let c = 0; c < term.width; c++) {
      theta[at] = 1;
      at += term.width - c;
    }
  }
  return theta;
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

/** Whether the fixed part alone goes through every yield. */
function isExact(model: MixedModel): boolean {
  const order = model.kept.length;
  const left = model.totals[(order + 1) * (order + 1) - 1];
  let scale = 0;
  for (let i = 0; i < order; i++) scale += model.offset[i] ** 2 * model.totals[i * (order + 1) + i];
  return left <= 1e-20 * scale;
}

/** All variances zero: least squares, and no likelihood to speak of. */
function withoutScatter(model: MixedModel, criterion: Criterion, workspace: Workspace): MixedFit {
  const theta = new Float64Array(model.thetaCount);
  const evaluation = evaluateAt(model, theta, criterion, workspace);
  const order = model.kept.length;
  const exact = evaluation ?? {
    logDetRandom: 0,
    logDetFixed: 0,
    residualSquares: 0,
    fixedFactor: identityFactor(order),
    shifted: new Float64Array(order),
    gradient: theta,
  };
  return describe(model, criterion, theta, { ...exact, residualSquares: 0 }, 0, {
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
  how: { converged: boolean; iterations: number; evaluations: number; reason: string },
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
    for (let j = 0; j < order; j++) {
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
function varianceOf(
  term: MixedModel["terms"][number],
  theta: Float64Array,
  residualVariance: number,
): VarianceComponent {
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
