import { Matrix, solve } from "ml-matrix";
import { describe, expect, it } from "vitest";
import { groupPoints } from "../../../src/maths/grouped-points.ts";
import { averageDifferenceVariance, fitTwoWay } from "../../../src/maths/two-way.ts";

/** One observation a cell: [group, x, y]. */
const points = (cells: [number, number, number][]) =>
  groupPoints(
    cells.map(([, x]) => x),
    cells.map(() => 1),
    cells.map(([, , y]) => y),
    cells.map(([group]) => group),
    1 + Math.max(...cells.map(([group]) => group)),
    0,
  );

describe("a layout of groups and levels", () => {
  it("gives plain means where it is balanced", () => {
    // prettier-ignore
    const fit = fitTwoWay(points([[0, 1, 10], [0, 2, 14], [1, 1, 20], [1, 2, 22]]));
    expect(fit.adjustedMeans).toEqual(Float64Array.of(15, 18));
    expect(fit.rss).toBeCloseTo(1, 12); // interaction contrast (10 − 14 − 20 + 22)² ÷ 4
    expect([fit.levelDf, fit.errorDf]).toEqual([1, 1]);
  });

  it.each([
    [
      [59.1, 64],
      [60.6, 62.9],
      [56.3, 66.3],
    ],
    [
      [61.4, 65.5],
      [61.4, 66.1],
      [61.2, 65.9],
    ],
    [
      [62.4, 64.9, 69.3],
      [61.7, 65.7, 68.9],
      [59.8, 65.5, 70.4],
    ],
    [
      [58.5, 61, 64.5],
      [55.6, 64.7, 65.7],
      [58.9, 61.9, 64.2],
    ],
  ])("gives them where the digits of bushels in kilograms leave rounding: %j, %j, %j", (...byLevel) => {
    // 60 lb to the bushel: 1 bu/ac is 67.25 kg/ha. Residuals of a balanced layout: less the means of level and group.
    const yields = byLevel.map((row) => row.map((bushels) => 67.25 * bushels));
    const mean = (some: number[]): number => some.reduce((sum, one) => sum + one, 0) / some.length;
    const all = mean(yields.flat());
    const ofGroup = (group: number): number => mean(yields.map((row) => row[group]!));
    const rss = yields
      .flatMap((row) => row.map((one, group) => (one - mean(row) - ofGroup(group) + all) ** 2))
      .reduce((sum, one) => sum + one, 0);
    const fit = fitTwoWay(
      points(yields.flatMap((row, k) => row.map((one, group): [number, number, number] => [group, k, one]))),
    );
    expect(fit.rss / rss).toBeCloseTo(1, 9);
    yields.forEach((row, k) => expect(fit.adjustedMeans![k]! / mean(row)).toBeCloseTo(1, 12));
  });

  it("leaves only rounding where levels and groups explain all, whatever the digits", () => {
    const thirds = [0, 100, 300].flatMap((rate, k) =>
      [4000 / 3, 4100 / 3, 4200 / 11].map((level, group): [number, number, number] => [
        group,
        k,
        level + rate / 7,
      ]),
    );
    expect(fitTwoWay(points(thirds)).rss).toBeLessThan(1e-18);
  });

  it("takes group differences off the means of a layout with gaps", () => {
    // Additive truth: groups 0, 100; levels 1, 2, 3. Group 1 lacks the first level, group 0 the last.
    // prettier-ignore
    const fit = fitTwoWay(points([[0, 1, 1], [0, 2, 2], [1, 2, 102], [1, 3, 103]]));
    expect(fit.rss).toBeCloseTo(0, 20);
    fit.adjustedMeans!.forEach((mean, i) => expect(mean).toBeCloseTo(51 + i, 10));
    expect([fit.levelDf, fit.errorDf]).toEqual([2, 0]);
  });

  it("says so where groups and levels fall into separate parts", () => {
    // prettier-ignore
    const fit = fitTwoWay(points([[0, 1, 1], [0, 2, 2], [1, 3, 5], [1, 4, 7]]));
    expect(fit.adjustedMeans).toBeNull();
    expect([fit.levelDf, fit.errorDf]).toEqual([2, 0]);
  });
});

describe("variance of the average difference between two means", () => {
  it("is 2/r with r observations of each level in a balanced layout", () => {
    const cells = [0, 1, 2].flatMap((group) =>
      [1, 2, 3, 4].map((x): [number, number, number] => [group, x, x]),
    );
    expect(averageDifferenceVariance(points(cells))).toBeCloseTo(2 / 3, 12);
  });

  it("is that of balanced incomplete blocks, 2k/(λt)", () => {
    // Three levels in three groups of two (t = 3, k = 2, λ = 1): Cochran & Cox 1957, Experimental Designs, ch. 11 (FROM MEMORY)
    // prettier-ignore
    const cells: [number, number, number][] = [[0, 1, 0], [0, 2, 0], [1, 1, 0], [1, 3, 0], [2, 2, 0], [2, 3, 0]];
    expect(averageDifferenceVariance(points(cells))).toBeCloseTo((2 * 2) / (1 * 3), 12);
  });
});

describe("a layout with gaps and unlike numbers in its cells", () => {
  // [group, level, observations, their mean]
  const cells: [number, number, number, number][] = [
    [0, 1, 1, 12],
    [0, 2, 3, 15],
    [0, 3, 2, 19],
    [1, 2, 1, 31],
    [1, 4, 4, 40],
    [2, 1, 2, 8],
    [2, 3, 1, 17],
    [2, 4, 1, 14],
    [3, 1, 5, 21],
    [3, 4, 1, 33],
  ];
  const grouped = groupPoints(
    cells.map(([, x]) => x),
    cells.map(([, , weight]) => weight),
    cells.map(([, , , y]) => y),
    cells.map(([group]) => group),
    4,
    7,
  );
  /** Ordinary least squares by a general-purpose library: a column for each group, and for each level but the first. */
  const columns = cells.map(([group, level]) =>
    Array.from({ length: 7 }, (_, k) => (k < 4 ? (k === group ? 1 : 0) : k - 2 === level ? 1 : 0)),
  );
  const X = new Matrix(columns);
  const W = Matrix.diag(cells.map(([, , weight]) => weight));
  const y = Matrix.columnVector(cells.map(([, , , mean]) => mean));
  const normal = X.transpose().mmul(W).mmul(X);
  const estimated = solve(normal, X.transpose().mmul(W).mmul(y)).to1DArray();
  const effects = [0, ...estimated.slice(4)];

  it("has the means of ordinary least squares, as if every group had held every level", () => {
    const groupMean = estimated.slice(0, 4).reduce((sum, one) => sum + one, 0) / 4;
    const { adjustedMeans } = fitTwoWay(grouped);
    expect(adjustedMeans).toHaveLength(4);
    adjustedMeans!.forEach((mean, level) => expect(mean).toBeCloseTo(groupMean + effects[level]!, 9));
  });

  it("has its residual sum of squares and degrees of freedom", () => {
    const residual = Matrix.sub(y, X.mmul(Matrix.columnVector(estimated)));
    const rss = residual.transpose().mmul(W).mmul(residual).get(0, 0);
    const fit = fitTwoWay(grouped);
    expect(fit.rss / (rss + 7)).toBeCloseTo(1, 10);
    // 21 observations, less 4 groups and 3 levels.
    expect([fit.levelDf, fit.errorDf]).toEqual([3, 14]);
  });

  it("has its average variance of a difference of two means", () => {
    const covariance = solve(normal, Matrix.eye(7));
    const of = (a: number, b: number): number => (a === 0 || b === 0 ? 0 : covariance.get(a + 3, b + 3));
    let sum = 0;
    for (let a = 0; a < 4; a++) for (let b = 0; b < a; b++) sum += of(a, a) + of(b, b) - 2 * of(a, b);
    expect(averageDifferenceVariance(grouped) / (sum / 6)).toBeCloseTo(1, 10);
  });
});
