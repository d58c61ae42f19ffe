/**
 * Shares in nested groups, held to the same equations without any order of elimination: every coefficient and effect is a column
 * of one matrix, which a general-purpose library inverts.
 */
import { Matrix, determinant, inverse } from "ml-matrix";
import { describe, expect, it } from "vitest";
import { GroupedLogit, type LogitCells, type LogitOptions } from "../../../src/maths/grouped-logit.ts";

const entropy = (y: number): number => (y === 0 || y === 1 ? 0 : y * Math.log(y) + (1 - y) * Math.log(1 - y));

/** A cell: its finest unit, the shares observed in it, and its terms. */
type Cell = [unit: number, shares: number[], terms: [column: number, value: number][]];
function cellsOf(cells: readonly Cell[], columns: number, levels: LogitCells["levels"]): LogitCells {
  const sum = (of: readonly number[]): number => of.reduce((total, one) => total + one, 0);
  return {
    columns,
    levels,
    unit: Int32Array.from(cells, ([unit]) => unit),
    count: Float64Array.from(cells, ([, shares]) => shares.length),
    mean: Float64Array.from(cells, ([, shares]) => sum(shares) / shares.length),
    sumOfSquares: Float64Array.from(cells, ([, shares]) => sum(shares.map((y) => y * y))),
    sumOfEntropy: Float64Array.from(cells, ([, shares]) => sum(shares.map(entropy))),
    termsPerCell: cells[0]![2].length,
    column: Int32Array.from(cells.flatMap(([, , terms]) => terms.map(([column]) => column))),
    value: Float64Array.from(cells.flatMap(([, , terms]) => terms.map(([, value]) => value))),
  };
}

describe("one share", () => {
  const one = (shares: number[]): LogitCells =>
    cellsOf([[0, shares, [[0, 1]]]], 1, [{ units: 1, parent: new Int32Array(0) }]);
  const options: LogitOptions = {
    dispersion: 2,
    columnMean: Float64Array.of(-2),
    columnPrecision: Float64Array.of(0.5),
    levelPrecision: null,
    start: null,
  };
  // Ten shares with a mean of 0.7: at log odds of 0 they pull by 10 × (0.7 − 0.5) ÷ 2 = 1, the prior by 0.5 × −2 = −1.
  const shares = [1, 1, 1, 1, 1, 1, 1, 0, 0, 0];

  it("is where the pull of the shares and of the prior are alike", () => {
    const fit = new GroupedLogit(one(shares)).fit(options);
    expect(fit.converged).toBe(true);
    expect(fit.coefficients[0]).toBeCloseTo(0, 9);
    expect([...fit.effects[0]!]).toEqual([0]);
    // 10 × −ln 2 ÷ 2 − 0.5 × 0.5 × 2².
    expect(fit.objective).toBeCloseTo(-5 * Math.LN2 - 1, 9);
    // 10 × 0.25 ÷ 2 + 0.5 = 1.75.
    expect(fit.covariance[0]).toBeCloseTo(1 / 1.75, 9);
    expect(fit.logDeterminant).toBeCloseTo(Math.log(1.75), 9);
    expect(fit.varianceOf([3])).toBeCloseTo(9 / 1.75, 9);
    // Whatever dispersion: each of ten is 0.5 away, over 0.25; and twice ten times ln 2.
    expect(fit.pearson).toBeCloseTo(10, 9);
    expect(fit.deviance).toBeCloseTo(20 * Math.LN2, 9);
  });

  it("is the log odds of the mean without a prior", () => {
    const free = { ...options, columnPrecision: Float64Array.of(0) };
    const fit = new GroupedLogit(one([0.6, 0.8])).fit(free);
    expect(fit.coefficients[0]).toBeCloseTo(Math.log(0.7 / 0.3), 9);
    // Two shares 0.1 from 0.7: 2 × 0.01 ÷ 0.21.
    expect(fit.pearson).toBeCloseTo(0.02 / 0.21, 9);
    const saturated = entropy(0.6) + entropy(0.8) - 2 * entropy(0.7);
    expect(fit.deviance).toBeCloseTo(2 * saturated, 9);
  });

  it("does not converge where all are 1 and nothing holds them", () => {
    const fit = new GroupedLogit(one([1, 1, 1])).fit({ ...options, columnPrecision: Float64Array.of(0) });
    expect(fit.converged).toBe(false);
  });

  it("goes on from where one says", () => {
    const from = (coefficient: number) =>
      new GroupedLogit(one(shares)).fit({
        ...options,
        start: { coefficients: Float64Array.of(coefficient), effects: [Float64Array.of(0)] },
      });
    expect(from(0)).toMatchObject({ converged: true, iterations: 1 });
    expect(from(5).iterations).toBeGreaterThan(1);
    expect(from(5).coefficients[0]).toBeCloseTo(0, 9);
  });
});

// Four strips in three blocks in two fields; an own level for two kinds of strips and one rise.
const parents = { blocks: Int32Array.of(0, 1, 1), strips: Int32Array.of(0, 1, 2, 0) };
const three = [
  { units: 4, parent: parents.strips },
  { units: 3, parent: parents.blocks },
  { units: 2, parent: new Int32Array(0) },
];
const cells: readonly Cell[] = [
  [0, [0.1, 0.3], [[0, 1], [2, -1]]],
  [0, [0.5], [[1, 1], [2, 0.5]]],
  [1, [0.4, 0.9, 0.2], [[0, 1], [2, 1.5]]],
  [2, [0.7], [[1, 1], [2, -0.5]]],
  [2, [0.8, 1], [[1, 1], [2, 2]]],
  [3, [0, 0.2], [[1, 1], [2, -2]]],
  [3, [0.6], [[0, 1], [2, 0]]],
]; // prettier-ignore

const penalties: LogitOptions = {
  dispersion: 0.4,
  columnMean: Float64Array.of(-1, 0.5, 0.2),
  columnPrecision: Float64Array.of(0.25, 0.5, 2),
  levelPrecision: [3, 1.5, 0.8],
  start: null,
};

/** Every coefficient, then every effect, the finest level first, as one row of ones and values for each cell. */
function asOneMatrix(some: readonly Cell[], columns: number, levels: LogitCells["levels"]) {
  const from = levels.map(
    (_, level) => columns + levels.slice(0, level).reduce((sum, { units }) => sum + units, 0),
  );
  const size = columns + levels.reduce((sum, { units }) => sum + units, 0);
  const rows = some.map(([unit, , terms]) => {
    const row = new Array<number>(size).fill(0);
    for (const [column, value] of terms) row[column]! += value;
    levels.reduce((own, { parent }, level) => {
      row[from[level]! + own] = 1;
      return parent[own] ?? 0;
    }, unit);
    return row;
  });
  return { rows, from, size };
}

describe.each([
  ["three levels", three, penalties],
  ["two levels", three.slice(1), { ...penalties, levelPrecision: [1.5, 0.8] }],
  ["one level", three.slice(2), { ...penalties, levelPrecision: [0.8] }],
] as const)("shares in %s of units with penalties", (_, levels, options) => {
  /** Its fit, and the matrix of second derivatives of the whole. */
  const solved = () => {
    const some = cells.map(([unit, ...rest]): Cell => {
      const place =
        levels.length === 3
          ? unit
          : levels.length === 2
            ? parents.strips[unit]!
            : parents.blocks[parents.strips[unit]!]!;
      return [place, ...rest];
    });
    const fit = new GroupedLogit(cellsOf(some, 3, levels)).fit(options);
    const { rows, from, size } = asOneMatrix(some, 3, levels);
    const point = [...fit.coefficients, ...fit.effects.flatMap((effect) => [...effect])];
    const precision = [
      ...options.columnPrecision,
      ...levels.flatMap(({ units }, level) => new Array<number>(units).fill(options.levelPrecision![level]!)),
    ];
    const middle = [...options.columnMean, ...new Array<number>(size - 3).fill(0)];
    const mus = rows.map((row) => 1 / (1 + Math.exp(-row.reduce((sum, one, j) => sum + one * point[j]!, 0))));
    const curvature = new Matrix(
      Array.from({ length: size }, (_, j) =>
        Array.from({ length: size }, (__, k) =>
          rows.reduce(
            (sum, row, i) =>
              sum + (some[i]![1].length * mus[i]! * (1 - mus[i]!) * row[j]! * row[k]!) / options.dispersion,
            j === k ? precision[j]! : 0,
          ),
        ),
      ),
    );
    const covariance = inverse(curvature);
    return { some, fit, rows, from, size, point, precision, middle, mus, curvature, covariance };
  };

  it("pull no coefficient or effect any further", () => {
    const { some, fit, rows, size, point, precision, middle, mus } = solved();
    expect(fit.converged).toBe(true);
    for (let j = 0; j < size; j++) {
      const pull = rows.reduce(
        (sum, row, i) => sum + some[i]![1].reduce((all, y) => all + y - mus[i]!, 0) * row[j]!,
        0,
      );
      expect(pull / options.dispersion - precision[j]! * (point[j]! - middle[j]!)).toBeCloseTo(0, 9);
    }
  });

  it("have the penalised likelihood, deviance and spread of all observations", () => {
    const { some, fit, point, precision, middle, mus } = solved();
    const each = some.flatMap(([, shares], i) => shares.map((y) => [y, mus[i]!] as const));
    const likelihood = each.reduce((sum, [y, mu]) => sum + y * Math.log(mu) + (1 - y) * Math.log(1 - mu), 0);
    const penalty = point.reduce((sum, one, j) => sum + 0.5 * precision[j]! * (one - middle[j]!) ** 2, 0);
    expect(fit.objective).toBeCloseTo(likelihood / options.dispersion - penalty, 9);
    expect(fit.deviance).toBeCloseTo(2 * (each.reduce((sum, [y]) => sum + entropy(y), 0) - likelihood), 9);
    expect(fit.pearson).toBeCloseTo(
      each.reduce((sum, [y, mu]) => sum + (y - mu) ** 2 / (mu * (1 - mu)), 0),
      9,
    );
  });

  it("have the covariance and determinant of the whole matrix", () => {
    const { fit, curvature, covariance } = solved();
    for (let j = 0; j < 3; j++)
      for (let k = 0; k < 3; k++) expect(fit.covariance[3 * j + k]).toBeCloseTo(covariance.get(j, k), 9);
    expect(fit.logDeterminant).toBeCloseTo(Math.log(determinant(curvature)), 9);
  });

  it("have the variance of sums of coefficients and one coarsest effect", () => {
    const { fit, from, size, covariance } = solved();
    const coarsest = from.at(-1)!;
    for (const [unit, weight] of [
      [0, 1],
      [1, -2],
    ] as const) {
      const weights = [1, -0.5, 2, ...new Array<number>(size - 3).fill(0)];
      weights[coarsest + unit] = weight;
      const row = Matrix.rowVector(weights);
      const variance = row.mmul(covariance).mmul(row.transpose()).get(0, 0);
      expect(fit.varianceOf([1, -0.5, 2], [[unit, weight]])).toBeCloseTo(variance, 9);
    }
  });
});

describe("shares in units without a penalty", () => {
  const solved = () => {
    const some = cells.map(([unit, shares, terms]): Cell => [parents.strips[unit]!, shares, terms]);
    const level = { units: 3, parent: new Int32Array(0) };
    const fit = new GroupedLogit(cellsOf(some, 3, [level])).fit({
      dispersion: 1,
      columnMean: new Float64Array(3),
      columnPrecision: new Float64Array(3),
      levelPrecision: null,
      start: null,
    });
    const { rows } = asOneMatrix(some, 3, [level]);
    /** The first unit is what the others are compared with: its column, the fourth, falls out. */
    const kept = rows.map((row) => row.filter((__, j) => j !== 3));
    const point = [...fit.coefficients, ...fit.effects[0]!.slice(1)];
    const mus = kept.map((row) => 1 / (1 + Math.exp(-row.reduce((sum, one, j) => sum + one * point[j]!, 0))));
    const curvature = new Matrix(
      point.map((_, j) =>
        point.map((__, k) =>
          kept.reduce(
            (sum, row, i) => sum + some[i]![1].length * mus[i]! * (1 - mus[i]!) * row[j]! * row[k]!,
            0,
          ),
        ),
      ),
    );
    return { some, fit, kept, point, mus, curvature };
  };

  it("are compared with the first unit", () => {
    const { some, fit, kept, point, mus, curvature } = solved();
    expect(fit.converged).toBe(true);
    expect(fit.effects[0]![0]).toBe(0);
    point.forEach((_, j) => {
      const pull = kept.reduce(
        (sum, row, i) => sum + some[i]![1].reduce((all, y) => all + y - mus[i]!, 0) * row[j]!,
        0,
      );
      expect(pull).toBeCloseTo(0, 9);
    });
    expect(fit.logDeterminant).toBeCloseTo(Math.log(determinant(curvature)), 9);
  });

  it("have the variance of sums, to which the first unit adds nothing", () => {
    const { fit, curvature } = solved();
    const covariance = inverse(curvature);
    for (const [unit, place] of [
      [1, 3],
      [2, 4],
    ] as const) {
      const weights = [0.5, 0.5, 1, 0, 0];
      weights[place] = -1.5;
      const row = Matrix.rowVector(weights);
      const variance = row.mmul(covariance).mmul(row.transpose()).get(0, 0);
      expect(
        fit.varianceOf(
          [0.5, 0.5, 1],
          [
            [0, 7],
            [unit, -1.5],
          ],
        ),
      ).toBeCloseTo(variance, 9);
    }
  });
});
