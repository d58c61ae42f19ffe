/**
 * Logistic regression of shares in nested groups: a cell lies in a unit of the finest level, that in one of the next.
 *
 * log odds = Σ value·coefficient + effect of every unit that the cell lies in. The effects are eliminated one by one from the
 * finest level up, so the work grows with the number of cells and not with the square of the number of units. Penalties are
 * those of independent normal priors.
 */
import { cholesky, invertCholesky, logDeterminant, solveCholesky } from "./cholesky.ts";

/** One level of nested groups. */
export interface LogitLevel {
  units: number;
  /** The unit of the next coarser level that each unit lies in; empty at the coarsest. */
  parent: Int32Array;
}

/** Shares summed over observations alike in everything: one cell. */
export interface LogitCells {
  columns: number;
  /** Finest first. */
  levels: readonly LogitLevel[];
  /** The unit of the finest level that each cell lies in. */
  unit: Int32Array;
  /** Observations in the cell, the mean of their shares, and sums over them that dispersion and deviance need. */
  count: Float64Array;
  mean: Float64Array;
  sumOfSquares: Float64Array;
  /** Σ y·ln y + (1 − y)·ln(1 − y). */
  sumOfEntropy: Float64Array;
  /** The same number of terms for each cell, cell after cell: which column, and its value. */
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
  /** 1 ÷ variance of the effects of each level. Null, of one level alone: no penalty, and the effect of its unit 0 is 0. */
  levelPrecision: readonly number[] | null;
  /** Where to start; null: at the prior means, all effects 0. */
  start: Pick<LogitFit, "coefficients" | "effects"> | null;
}

export interface LogitFit {
  converged: boolean;
  iterations: number;
  coefficients: Float64Array;
  /** By level and unit. */
  effects: readonly Float64Array[];
  /** Quasi-log-likelihood less the penalties. */
  objective: number;
  deviance: number;
  /** Σ (y − μ)² ÷ μ(1 − μ), over observations. */
  pearson: number;
  /** log |matrix of second derivatives|, coefficients and effects together. */
  logDeterminant: number;
  /** Covariance of the coefficients, columns × columns. */
  covariance: Float64Array;
  /** Variance of Σ weight·coefficient + Σ weight·effect of the coarsest level, of the effects those named. */
  varianceOf: (
    columnWeights: ArrayLike<number>,
    effectWeights?: readonly (readonly [unit: number, weight: number])[],
  ) => number;
}

const mostIterations = 60;
/** Newton's steps end when the largest is below this, in log odds: the next would be below its square. */
const smallestStep = 1e-7;

/** ln(1 + eˣ) without overflow. */
const softplus = (x: number): number => (x > 0 ? x + Math.log1p(Math.exp(-x)) : Math.log1p(Math.exp(x)));

/** A point: coefficients, effects by level, and the log odds that they give each cell. */
interface Point {
  coefficients: Float64Array;
  effects: Float64Array[];
  eta: Float64Array;
}

/** What is left of one level's units in the equations once the finer levels are eliminated. */
interface LevelEquations {
  units: number;
  parent: Int32Array;
  slope: Float64Array;
  own: Float64Array;
  /** With the unit's ancestors: one number for each coarser level, the next first. */
  tie: Float64Array;
  coarser: number;
  /** With the columns that the unit's cells touch; `from[u]` to `from[u + 1]` are those of unit u, ascending. */
  from: Int32Array;
  column: Int32Array;
  cross: Float64Array;
  /** The unit that each cell lies in, and the places in `cross` of its terms. */
  unitOfCell: Int32Array;
  placeOfTerm: Int32Array;
}

/** Cells made ready for fits under any penalties. One fit at a time. */
export class GroupedLogit {
  readonly #cells: LogitCells;
  readonly #levels: LevelEquations[];
  readonly #slope: Float64Array;
  readonly #left: Float64Array;

  constructor(cells: LogitCells) {
    this.#cells = cells;
    this.#levels = layOutLevels(cells);
    this.#slope = new Float64Array(cells.columns);
    this.#left = new Float64Array(cells.columns ** 2);
  }

  /**
   * Fits by Newton's method with halved steps; the objective is concave, so there is one answer or none.
   *
   * `converged` is false where shares of 0 and 1 are separated and no penalty holds the coefficients.
   *
   * Source: McCullagh & Nelder 1989, Generalized Linear Models, 2nd ed., ch. 4 and 9; elimination by Schur complements.
   * Reference check: test/reference/lodging.
   */
  fit(options: LogitOptions): LogitFit {
    const { start, columnMean } = options;
    let now = this.#pointAt(
      start?.coefficients ?? columnMean,
      this.#levels.map(({ units }, level) => start?.effects[level] ?? new Float64Array(units)),
    );
    let objective = this.#objectiveAt(now, options);
    let converged = false;
    let iterations = 0;
    let factor = this.#differentiate(now, options);
    while (factor !== null && !converged && iterations < mostIterations) {
      iterations++;
      const step = this.#newtonStep(factor, options);
      for (let share = 1; ; share /= 2) {
        const next = this.#pointAt(
          along(now.coefficients, step.coefficients, share),
          now.effects.map((effect, level) => along(effect, step.effects[level]!, share)),
        );
        const reached = this.#objectiveAt(next, options);
        if (reached < objective - 1e-12 * (1 + Math.abs(objective)) && share > 1e-9) continue;
        [now, objective] = [next, reached];
        break;
      }
      factor = this.#differentiate(now, options);
      converged =
        factor !== null && [step.coefficients, ...step.effects].every((by) => largestOf(by) < smallestStep);
    }
    const { columns } = this.#cells;
    const covariance = factor === null ? new Float64Array(columns ** 2) : invertCholesky(factor, columns);
    return {
      converged,
      iterations,
      coefficients: now.coefficients,
      effects: now.effects,
      objective,
      ...misfit(this.#cells, now.eta),
      logDeterminant: factor === null ? 0 : this.#logDeterminant(factor, options),
      covariance,
      varianceOf: this.#varianceFrom(covariance, options),
    };
  }

  #pointAt(coefficients: Float64Array, effects: Float64Array[]): Point {
    const { termsPerCell, column, value, count } = this.#cells;
    const eta = new Float64Array(count.length);
    this.#levels.forEach(({ unitOfCell }, level) => {
      const effect = effects[level]!;
      for (let cell = 0; cell < eta.length; cell++) eta[cell]! += effect[unitOfCell[cell]!]!;
    });
    for (let cell = 0, t = 0; cell < eta.length; cell++)
      for (const end = t + termsPerCell; t < end; t++) eta[cell]! += value[t]! * coefficients[column[t]!]!;
    return { coefficients, effects, eta };
  }

  #objectiveAt({ eta, coefficients, effects }: Point, options: LogitOptions): number {
    const { count, mean } = this.#cells;
    const { dispersion, columnMean, columnPrecision, levelPrecision } = options;
    let sum = 0;
    for (let cell = 0; cell < eta.length; cell++)
      sum += count[cell]! * (mean[cell]! * eta[cell]! - softplus(eta[cell]!));
    sum /= dispersion;
    for (let j = 0; j < coefficients.length; j++)
      sum -= 0.5 * columnPrecision[j]! * (coefficients[j]! - columnMean[j]!) ** 2;
    if (levelPrecision !== null)
      effects.forEach((ofLevel, level) => {
        for (const effect of ofLevel) sum -= 0.5 * levelPrecision[level]! * effect ** 2;
      });
    return sum;
  }

  /**
   * First and second derivatives at a point, the effects eliminated from the finest level up.
   *
   * @returns Cholesky factor of the curvature left, null when it is not positive definite
   */
  #differentiate(point: Point, options: LogitOptions): Float64Array | null {
    this.#addPenalties(point, options);
    this.#addCells(point.eta, options.dispersion);
    this.#levels.forEach((_, level) => this.#eliminate(level, firstUnit(options)));
    return cholesky(this.#left, this.#cells.columns);
  }

  #addPenalties({ coefficients, effects }: Point, options: LogitOptions): void {
    const { columns } = this.#cells;
    const { columnMean, columnPrecision, levelPrecision } = options;
    this.#left.fill(0);
    for (let j = 0; j < columns; j++) {
      this.#slope[j] = -columnPrecision[j]! * (coefficients[j]! - columnMean[j]!);
      this.#left[j * columns + j] = columnPrecision[j]!;
    }
    this.#levels.forEach(({ own, tie, cross, slope, units }, level) => {
      const precision = levelPrecision?.[level] ?? 0;
      own.fill(precision);
      tie.fill(0);
      cross.fill(0);
      for (let u = 0; u < units; u++) slope[u] = -precision * effects[level]![u]!;
    });
  }

  #addCells(eta: Float64Array, dispersion: number): void {
    const { columns, count, mean, termsPerCell, column, value } = this.#cells;
    for (let cell = 0; cell < eta.length; cell++) {
      const mu = 1 / (1 + Math.exp(-eta[cell]!));
      const weight = (count[cell]! * mu * (1 - mu)) / dispersion;
      const pull = (count[cell]! * (mean[cell]! - mu)) / dispersion;
      const first = cell * termsPerCell;
      const end = first + termsPerCell;
      for (let s = first; s < end; s++) {
        const row = column[s]! * columns;
        const weighted = weight * value[s]!;
        this.#slope[column[s]!]! += pull * value[s]!;
        for (let t = first; t < end; t++) this.#left[row + column[t]!]! += weighted * value[t]!;
      }
      for (const { unitOfCell, own, slope, tie, coarser, cross, placeOfTerm } of this.#levels) {
        const u = unitOfCell[cell]!;
        own[u]! += weight;
        slope[u]! += pull;
        for (let m = u * coarser; m < (u + 1) * coarser; m++) tie[m]! += weight;
        for (let t = first; t < end; t++) cross[placeOfTerm[t]!]! += weight * value[t]!;
      }
    }
  }

  #eliminate(level: number, first: number): void {
    const { columns } = this.#cells;
    const { units, slope, own, tie, coarser, from, column, cross } = this.#levels[level]!;
    for (let u = first; u < units; u++) {
      const a = own[u]!;
      for (let s = from[u]!; s < from[u + 1]!; s++) {
        const share = cross[s]! / a;
        const row = column[s]! * columns;
        this.#slope[column[s]!]! -= share * slope[u]!;
        for (let t = from[u]!; t < from[u + 1]!; t++) this.#left[row + column[t]!]! -= share * cross[t]!;
      }
      for (let m = 0, ancestor = u; m < coarser; m++) {
        ancestor = this.#levels[level + m]!.parent[ancestor]!;
        const above = this.#levels[level + m + 1]!;
        const bond = tie[u * coarser + m]!;
        const share = bond / a;
        above.own[ancestor]! -= share * bond;
        above.slope[ancestor]! -= share * slope[u]!;
        for (let n = m + 1; n < coarser; n++)
          above.tie[ancestor * above.coarser + (n - m - 1)]! -= share * tie[u * coarser + n]!;
        for (let s = from[u]!, place = above.from[ancestor]!; s < from[u + 1]!; s++) {
          while (above.column[place]! < column[s]!) place++;
          above.cross[place]! -= share * cross[s]!;
        }
      }
    }
  }

  /** Coefficients first, then effects from the coarsest level down. */
  #newtonStep(factor: Float64Array, options: LogitOptions): Pick<LogitFit, "coefficients" | "effects"> {
    const coefficients = solveCholesky(factor, this.#cells.columns, this.#slope);
    const effects: Float64Array[] = this.#levels.map(({ units }) => new Float64Array(units));
    for (let level = this.#levels.length - 1; level >= 0; level--) {
      const { units, slope, own, tie, coarser, from, column, cross } = this.#levels[level]!;
      for (let u = firstUnit(options); u < units; u++) {
        let pull = slope[u]!;
        for (let s = from[u]!; s < from[u + 1]!; s++) pull -= cross[s]! * coefficients[column[s]!]!;
        for (let m = 0, ancestor = u; m < coarser; m++) {
          ancestor = this.#levels[level + m]!.parent[ancestor]!;
          pull -= tie[u * coarser + m]! * effects[level + m + 1]![ancestor]!;
        }
        effects[level]![u] = pull / own[u]!;
      }
    }
    return { coefficients, effects };
  }

  #logDeterminant(factor: Float64Array, options: LogitOptions): number {
    let sum = logDeterminant(factor, this.#cells.columns);
    for (const { own } of this.#levels)
      for (let u = firstUnit(options); u < own.length; u++) sum += Math.log(own[u]!);
    return sum;
  }

  #varianceFrom(covariance: Float64Array, options: LogitOptions): LogitFit["varianceOf"] {
    const { columns } = this.#cells;
    const { from, column } = this.#levels.at(-1)!;
    const own = this.#levels.at(-1)!.own.slice();
    const cross = this.#levels.at(-1)!.cross.slice();
    return (columnWeights, effectWeights = []) => {
      const left = Float64Array.from(columnWeights);
      let variance = 0;
      for (const [u, weight] of effectWeights) {
        if (u < firstUnit(options)) continue;
        variance += weight ** 2 / own[u]!;
        for (let s = from[u]!; s < from[u + 1]!; s++) left[column[s]!]! -= (weight * cross[s]!) / own[u]!;
      }
      for (let j = 0; j < columns; j++)
        for (let k = 0; k < columns; k++) variance += left[j]! * covariance[j * columns + k]! * left[k]!;
      return variance;
    };
  }
}

/** Without penalties unit 0 of the one level has no effect: it is the reference. */
const firstUnit = ({ levelPrecision }: LogitOptions): number => (levelPrecision === null ? 1 : 0);

function largestOf(numbers: Float64Array): number {
  let largest = 0;
  for (const number of numbers) largest = Math.max(largest, Math.abs(number));
  return largest;
}

function along(from: Float64Array, by: Float64Array, share: number): Float64Array {
  const reached = new Float64Array(from.length);
  for (let i = 0; i < from.length; i++) reached[i] = from[i]! + share * by[i]!;
  return reached;
}

function misfit(cells: LogitCells, eta: Float64Array): Pick<LogitFit, "deviance" | "pearson"> {
  let deviance = 0;
  let pearson = 0;
  for (let cell = 0; cell < eta.length; cell++) {
    const mu = 1 / (1 + Math.exp(-eta[cell]!));
    const n = cells.count[cell]!;
    const mean = cells.mean[cell]!;
    const squares = cells.sumOfSquares[cell]! - 2 * mu * n * mean + n * mu * mu;
    deviance += 2 * (cells.sumOfEntropy[cell]! - n * (mean * eta[cell]! - softplus(eta[cell]!)));
    pearson += Math.max(0, squares) / (mu * (1 - mu));
  }
  return { deviance, pearson };
}

/** Room for every level's equations: which columns each unit touches, and where each term of a cell belongs. */
function layOutLevels({ levels, unit, termsPerCell, column: columnOfTerm }: LogitCells): LevelEquations[] {
  let unitOfCell = unit;
  return levels.map(({ units, parent }, level): LevelEquations => {
    if (level > 0) {
      const below = levels[level - 1]!.parent;
      unitOfCell = unitOfCell.map((u) => below[u]!);
    }
    const { from, column: columns } = columnsOfUnits(unitOfCell, units, termsPerCell, columnOfTerm);
    const coarser = levels.length - 1 - level;
    const ofCell = unitOfCell;
    return {
      units,
      parent,
      slope: new Float64Array(units),
      own: new Float64Array(units),
      tie: new Float64Array(units * coarser),
      coarser,
      from,
      column: columns,
      cross: new Float64Array(from[units]!),
      unitOfCell: ofCell,
      placeOfTerm: columnOfTerm.map((column, t) => {
        let place = from[ofCell[Math.floor(t / termsPerCell)]!]!;
        while (columns[place] !== column) place++;
        return place;
      }),
    };
  });
}

/** The columns that the cells of each unit touch: `from[u]` to `from[u + 1]` are those of unit u, ascending. */
function columnsOfUnits(
  unitOfCell: Int32Array,
  units: number,
  termsPerCell: number,
  columnOfTerm: Int32Array,
): { from: Int32Array; column: Int32Array } {
  const firstCell = new Int32Array(units + 1);
  for (const u of unitOfCell) firstCell[u + 1]!++;
  for (let u = 0; u < units; u++) firstCell[u + 1]! += firstCell[u]!;
  const cells = new Int32Array(unitOfCell.length);
  const next = firstCell.slice();
  unitOfCell.forEach((u, cell) => (cells[next[u]!++] = cell));

  const from = new Int32Array(units + 1);
  const column: number[] = [];
  for (let u = 0; u < units; u++) {
    const own = new Set<number>();
    for (let i = firstCell[u]!; i < firstCell[u + 1]!; i++)
      for (let t = cells[i]! * termsPerCell; t < (cells[i]! + 1) * termsPerCell; t++)
        own.add(columnOfTerm[t]!);
    for (const one of [...own].sort((a, b) => a - b)) column.push(one);
    from[u + 1] = column.length;
  }
  return { from, column: Int32Array.from(column) };
}
