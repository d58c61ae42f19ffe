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
