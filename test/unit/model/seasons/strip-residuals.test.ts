/**
 * Residuals of strips, worked by hand on five even rates: in t = −2 … 2 a line has Σt² = 10 and a bend Σ(t² − 2)² = 14, and
 * residuals (1, −2, 0, 2, −1) follow neither (third orthogonal polynomial: Fisher & Yates, Statistical Tables). A strip's share in
 * its own fit is 1/5 + t²/10 + (t² − 2)²/14: 0.885714, 0.371429 and 0.485714 at 2, 1 and 0 from the middle.
 */
import { describe, expect, it } from "vitest";
import { ratePoints } from "../../../../src/model/forms/rate-points.ts";
import { cellsOf, groupByVariety } from "../../../../src/model/seasons/rate-cells.ts";
import { stripResiduals } from "../../../../src/model/seasons/strip-residuals.ts";
import { makeTrial } from "../../../make-trial.ts";

type Row = [block: string, rate: number, kgPerHa: number];
function told(rows: readonly Row[]) {
  const { strips } = makeTrial(
    rows.map(([block, rateSeedsPerM2, yieldKgPerHa]) => ({ block, rateSeedsPerM2, yieldKgPerHa })),
  );
  const { strips: sorted } = groupByVariety(strips)[0]![0]!;
  const { cells, withinCellSs } = cellsOf(sorted);
  return stripResiduals(sorted, cells, ratePoints(cells, withinCellSs));
}
const close = (values: ArrayLike<number | null>, expected: readonly (number | null)[]): void => {
  expect(values).toHaveLength(expected.length);
  expected.forEach((one, i) =>
    one === null ? expect(values[i]).toBeNull() : expect(values[i]!).toBeCloseTo(one, 6),
  );
};
const scatter = [10, -20, 0, 20, -10];
const five = scatter.map((residual, i): Row => {
  const t = i - 2;
  return ["A", 300 + 50 * t, 4000 + 60 * t - 30 * t * t + residual];
});

describe("five strips about a parabola", () => {
  it("have their residuals, shares and error", () => {
    const { residual, leverage, blockEffect, point, residualDf, errorVariance } = told(five);
    close(residual, scatter);
    close(leverage, [0.8857143, 0.3714286, 0.4857143, 0.3714286, 0.8857143]);
    close(blockEffect, [0, 0, 0, 0, 0]);
    expect([...point]).toEqual([0, 1, 2, 3, 4]);
    // Squares of 1,000, and 5 − 1 − 2 = 2.
    expect(residualDf).toBe(2);
    expect(errorVariance).toBeCloseTo(500, 6);
  });

  it("are studentized by the error of the others", () => {
    // At an end 10² ÷ 0.114286 = 875 of 1,000: 10 ÷ √(125 × 0.114286) = 2.645751. Beside the middle 20² ÷ 0.628571 = 636.3636:
    // 20 ÷ √(363.6364 × 0.628571) = 1.322876. One degree of freedom is left.
    close(told(five).studentized, [2.645751, -1.322876, 0, 1.322876, -2.645751]);
  });

  it("are not studentized where nothing scatters", () => {
    close(
      told(five.map(([block, rate, kgPerHa], i): Row => [block, rate, kgPerHa - scatter[i]!])).studentized,
      [null, null, null, null, null],
    );
  });
});

describe("blocks and several strips of a rate", () => {
  it("have the blocks' levels off", () => {
    // Block B lies 80 higher, with the scatter the other way round: each strip's residual is half of what the two differ by.
    const ten = [
      ...five,
      ...five.map(([, rate, kgPerHa], i): Row => ["B", rate, kgPerHa + 80 - 2 * scatter[i]!]),
    ];
    const { residual, blockEffect, residualDf, point, leverage } = told(ten);
    // Sorted by rate, then block.
    close(
      residual,
      scatter.flatMap((one) => [one, -one]),
    );
    close(blockEffect, [-40, 40, -40, 40, -40, 40, -40, 40, -40, 40]);
    expect(residualDf).toBe(10 - 2 - 2);
    expect([...point]).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8, 9]);
    // Of two blocks a fifth each for their levels, and half of what the curve takes.
    expect(leverage[0]).toBeCloseTo(0.2 + 0.3428571, 6);
  });

  it("have each strip's own residual", () => {
    // Two strips 30 to either side of each mean: squares of 2 × 5 × 900 more, and five degrees.
    const ten = five.flatMap(([block, rate, kgPerHa]): Row[] => [
      [block, rate, kgPerHa - 30],
      [block, rate, kgPerHa + 30],
    ]);
    const { residual, point, residualDf, errorVariance } = told(ten);
    close(
      residual,
      scatter.flatMap((one) => [one - 30, one + 30]),
    );
    expect([...point]).toEqual([0, 0, 1, 1, 2, 2, 3, 3, 4, 4]);
    expect(residualDf).toBe(7);
    expect(errorVariance).toBeCloseTo((2 * 1000 + 9000) / 7, 6);
  });
});

describe("fewer strips than a parabola needs", () => {
  it("have a line or nothing, and no studentized residuals", () => {
    const three = told([
      ["A", 200, 4000],
      ["A", 300, 4130],
      ["A", 400, 4200],
    ]);
    // Three strips hold a parabola and leave nothing.
    expect(three.curve!.squaresC).toBeGreaterThan(0);
    expect([three.residualDf, three.errorVariance]).toEqual([0, 0]);
    close(three.leverage, [1, 1, 1]);
    close(three.studentized, [null, null, null]);
    // Two strips hold a line.
    const two = told([
      ["A", 200, 4000],
      ["A", 300, 4100],
    ]);
    expect(two.curve!.squaresC).toBe(0);
    expect(two.residualDf).toBe(0);
    close(two.residual, [0, 0]);
    const one = told([["A", 200, 4000]]);
    expect(one.curve).toBeNull();
    close(one.leverage, [1]);
    // Of three strips in two blocks one is left: a line.
    expect(
      told([
        ["A", 200, 4000],
        ["A", 300, 4100],
        ["B", 400, 4100],
      ]).curve!.squaresC,
    ).toBe(0);
  });

  it("have none for a strip that the curve hangs on", () => {
    // A line through 100 and 200, where the one strip at 100 has it all; the others are −3, −1, 1 and 3 about their mean.
    const { leverage, studentized, residualDf } = told([
      ["A", 100, 3900],
      ["A", 200, 3997],
      ["A", 200, 3999],
      ["A", 200, 4001],
      ["A", 200, 4003],
    ]);
    expect(residualDf).toBe(3);
    expect(leverage[0]).toBeCloseTo(1, 12);
    expect(studentized[0]).toBeNull();
    // 3 of √(20), a quarter its own: 9 ÷ 0.75 = 12 of 20, so 3 ÷ √(4 × 0.75).
    expect(studentized[4]).toBeCloseTo(Math.sqrt(3), 6);
    // With one degree of freedom there is none.
    close(
      told([
        ["A", 100, 3900],
        ["A", 200, 3997],
        ["A", 200, 4003],
      ]).studentized,
      [null, null, null],
    );
    close(told(five.slice(0, 4)).studentized, [null, null, null, null]);
  });

  it("are compared with their mean where all have one rate", () => {
    const { curve, residual, leverage, residualDf, studentized } = told([
      ["A", 300, 3990],
      ["A", 300, 4000],
      ["A", 300, 4010],
    ]);
    expect(curve).toBeNull();
    expect(residualDf).toBe(2);
    close(residual, [-10, 0, 10]);
    close(leverage, [1 / 3, 1 / 3, 1 / 3]);
    // 100 ÷ (2/3) = 150 of 200: 10 ÷ √(50 × 2/3).
    close(studentized, [-Math.sqrt(3), 0, Math.sqrt(3)]);
  });
});
