/** Elimination of a few random effects, by whole matrices. */
import { determinant, inverse, Matrix } from "ml-matrix";
import { describe, expect, it } from "vitest";
import { addCorner, eliminate, layOutPattern, pullBack } from "../../../../src/model/pooled/elimination.ts";

/** Two fields that share no strip, and what both share: a level with a slope and a bend. */
const z = new Matrix([
  [1, 0, 1, -1, 0.5],
  [1, 0, 1, 0, 0.2],
  [1, 0, 1, 1, 0.9],
  [0, 1, 1, -1, 0.4],
  [0, 1, 1, 0.5, -0.3],
  [0, 1, 1, 1, 1.1],
  [1, 0, 1, 2, -0.8],
]);
/** Two columns of X, the second and the fourth of four, and y. */
const xy = new Matrix([
  [1, -1, 3],
  [1, 0, 5],
  [1, 1, 4],
  [0, -1, 7],
  [1, 0.5, 6],
  [0, 1, 1],
  [1, 2, 2],
]);
const order = 5;
/** The fields' sd; the triangle of level, slope and bend, column by column; and the constant. */
const theta = Float64Array.of(0.7, 0.9, 0.3, -0.4, 0.5, 0.2, 0.6, 1);

/** What is in no row of both fields is left out; as many sums as there are, laid out anew. */
function layOut() {
  const all = new Matrix(z.to2DArray().map((row, i) => [...row, ...xy.getRow(i)]));
  const products = all.transpose().mmul(all);
  const [row, column, raw]: [number[], number[], number[]] = [[], [], []];
  for (let j = 0; j < 5; j++)
    for (let i = j; i < 8; i++)
      if (!(i === 1 && j === 0)) {
        row.push(i);
        column.push(j);
        raw.push(products.get(i, j));
      }
  const pattern = layOutPattern({
    row,
    column,
    levels: [
      { first: 0, width: 1, theta: 0 },
      { first: 1, width: 1, theta: 0 },
      { first: 2, width: 3, theta: 1 },
    ],
    randomCount: 5,
    fixedColumns: Int32Array.of(1, 3),
    one: 7,
  });
  return { pattern, raw: Float64Array.from(raw) };
}

/** log|Λ'Z'ZΛ + I|, and what taking out the random effects takes off [X y]'[X y]. */
function byMatrices([f, a, b, c, d, e, g]: Float64Array) {
  const lambda = new Matrix([
    [f!, 0, 0, 0, 0],
    [0, f!, 0, 0, 0],
    [0, 0, a!, 0, 0],
    [0, 0, b!, d!, 0],
    [0, 0, c!, e!, g!],
  ]);
  const spread = z.mmul(lambda);
  const inner = spread.transpose().mmul(spread).add(Matrix.eye(5));
  const across = spread.transpose().mmul(xy);
  return {
    logDeterminant: Math.log(determinant(inner)),
    taken: across.transpose().mmul(inverse(inner)).mmul(across),
  };
}

describe("random effects taken out one after the other", () => {
  it("have places for all that is not zero by structure, and for what is filled in", () => {
    const { pattern } = layOut();
    // Under each pivot: itself, what both share, X and y. The corner of X and y has six entries.
    expect([...pattern.columnStart]).toEqual([0, 7, 14, 20, 25, 29]);
    expect([...pattern.rowOf.subarray(0, 14)]).toEqual([0, 2, 3, 4, 5, 6, 7, 1, 2, 3, 4, 5, 6, 7]);
    expect([pattern.randomCount, pattern.cornerStart, pattern.size]).toEqual([5, 29, 35]);
    // Pairs of 6, 6, 5, 4 and 3 rows.
    expect(pattern.updates).toHaveLength(21 + 21 + 15 + 10 + 6);
    expect([...pattern.fixedColumns]).toEqual([1, 3]);
  });

  it("fill in what two effects share through a third", () => {
    // Both fields are met by the first effect, which is taken out first.
    const pattern = layOutPattern({
      row: [0, 1, 2, 3, 4, 1, 2, 3, 4],
      column: [0, 0, 0, 0, 0, 1, 2, 3, 1],
      levels: [0, 1, 2, 3].map((first) => ({ first, width: 1, theta: 0 })),
      randomCount: 4,
      fixedColumns: new Int32Array(0),
      one: 1,
    });
    expect([...pattern.columnStart]).toEqual([0, 5, 9, 12, 14]);
    expect([...pattern.rowOf]).toEqual([0, 1, 2, 3, 4, 1, 2, 3, 4, 2, 3, 4, 3, 4]);
    expect(pattern.size).toBe(15);
  });

  it("leave the determinant, and the corner of X and y less what they explain", () => {
    const { pattern, raw } = layOut();
    // Whatever was in the room before is gone.
    const store = new Float64Array(pattern.size).fill(9);
    const { logDeterminant, taken } = byMatrices(theta);
    expect(eliminate(pattern, raw, theta, store)).toBeCloseTo(logDeterminant, 10);
    const whole = new Float64Array(order * order).fill(100);
    addCorner(pattern, store, whole, order);
    const places = [1, 3, 4];
    places.forEach((row, i) =>
      places.forEach((column, j) => {
        const wanted = j <= i ? 100 - taken.get(i, j) : 100;
        expect(whole[row * order + column]).toBeCloseTo(wanted, 10);
      }),
    );
    expect([...whole].filter((value) => value === 100)).toHaveLength(25 - 6);
  });

  it("leave the same where a parameter is 0, and a share with it", () => {
    const { pattern, raw } = layOut();
    const store = new Float64Array(pattern.size);
    for (const zero of [0, 1, 4, 6]) {
      const some = theta.with(zero, 0);
      const { logDeterminant, taken } = byMatrices(some);
      expect(eliminate(pattern, raw, some, store)).toBeCloseTo(logDeterminant, 10);
      expect(store[pattern.cornerStart + 4]).toBeCloseTo(-taken.get(2, 1), 10);
      expect(store.at(-1)).toBeCloseTo(-taken.get(2, 2), 10);
    }
  });

  it("have the slope of both in each parameter", () => {
    const { pattern, raw } = layOut();
    const store = new Float64Array(pattern.size);
    eliminate(pattern, raw, theta, store);
    // How much each entry of the corner counts, the lower triangle at columns 1, 3 and y.
    const corner = new Float64Array(order * order);
    const counts = [
      [6, 0.3],
      [16, -0.2],
      [18, 0.5],
      [21, 0.7],
      [23, -0.4],
      [24, 0.9],
    ] as const;
    for (const [at, count] of counts) corner[at] = count;
    const criterion = (some: Float64Array): number => {
      const { logDeterminant, taken } = byMatrices(some);
      const told = [taken.get(0, 0), taken.get(1, 0), taken.get(1, 1), ...taken.getRow(2)];
      return told.reduce((sum, one, i) => sum - counts[i]![1] * one, logDeterminant);
    };
    // It is added to what was there.
    const gradient = new Float64Array(8).fill(2);
    pullBack(pattern, raw, theta, store, corner, order, new Float64Array(pattern.size).fill(5), gradient);
    for (let i = 0; i < 7; i++) {
      const [up, down] = [1e-5, -1e-5].map((step) => criterion(theta.with(i, theta[i]! + step)));
      expect(gradient[i]! - 2).toBeCloseTo((up! - down!) / 2e-5, 6);
    }
  });
});
