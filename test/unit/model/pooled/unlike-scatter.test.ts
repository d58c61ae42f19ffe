import { describe, expect, it } from "vitest";
import { bartlettTest, unlikeScatter } from "../../../../src/model/pooled/unlike-scatter.ts";

/** Error sums of squares and degrees of one variety in an environment. */
const fits = (...errors: [environment: string, errorSs: number | null, errorDf: number][]) =>
  errors.map(([environment, errorSs, errorDf]) => ({
    environment,
    anova: errorSs === null ? null : { errorSs, errorDf },
  })) as never;

describe("scatter of strips, environment by environment", () => {
  it("is tested as R tests it", () => {
    // R 4, bartlett.test(count ~ spray, InsectSprays): K-squared 25.9598253204, p 9.08512233295e-05 (Beall 1942, Biometrika 32:243).
    const squares = [245, 200.6666666667, 42.9166666667, 68.9166666667, 33, 424.6666666667];
    const { statistic, p } = bartlettTest(squares.map((ss) => ({ ss, df: 11 })));
    expect(statistic).toBeCloseTo(25.9598253204, 8);
    expect(p / 9.08512233295e-5).toBeCloseTo(1, 8);
  });

  it("is tested with each group's own degrees", () => {
    // Variances 2 with 3 degrees and 8 with 6; 54 ÷ 9 = 6 together. 3 ln(6/2) + 6 ln(6/8) over 1 + (1/3 + 1/6 − 1/9) ÷ 3.
    const { statistic } = bartlettTest([
      { ss: 6, df: 3 },
      { ss: 48, df: 6 },
    ]);
    expect(statistic).toBeCloseTo(
      (3 * Math.log(3) + 6 * Math.log(0.75)) / (1 + (1 / 3 + 1 / 6 - 1 / 9) / 3),
      12,
    );
  });

  it("is told of the least and the most, over all varieties of each", () => {
    // 50 on 10, 240 on 10 and 900 on 10 degrees, whatever their order.
    expect(
      unlikeScatter(
        fits(
          ["2024 Hill", 900, 10],
          ["2023 Hill", 30, 6],
          ["2023 Hill", 20, 4],
          ["2023 Hill", null, 0],
          ["2025 Hill", 240, 10],
        ),
      ),
    ).toEqual({
      least: { environment: "2023 Hill", sdKgPerHa: Math.sqrt(5) },
      most: { environment: "2024 Hill", sdKgPerHa: Math.sqrt(90) },
    });
  });

  it("is told from three times the sd on", () => {
    // 10 ln 5 − 10 ln 1.8 over 1.05 is 9.7, on one degree p = 0.002.
    expect(unlikeScatter(fits(["A", 10, 10], ["B", 90, 10]))!.most.sdKgPerHa).toBe(3);
    expect(unlikeScatter(fits(["A", 10, 10], ["B", 89, 10]))).toBeNull();
    expect(unlikeScatter(fits(["A", 1000, 10], ["B", 8900, 10]))).toBeNull();
  });

  it("is not told where chance could make it so", () => {
    // 2 ln 5 − 2 ln 1.8 over 1.25 is 1.6: p = 0.2.
    expect(unlikeScatter(fits(["A", 2, 2], ["B", 18, 2]))).toBeNull();
    // The same ten times as far is told.
    expect(unlikeScatter(fits(["A", 2, 2], ["B", 20_000, 2]))).not.toBeNull();
  });

  it("is not known where there is one degree of freedom, no scatter or only one environment", () => {
    expect(unlikeScatter(fits(["A", 1e-9, 1], ["B", 90, 10]))).toBeNull();
    expect(unlikeScatter(fits(["A", 0, 10], ["B", 90, 10]))).toBeNull();
    expect(unlikeScatter(fits(["A", 0, 10], ["B", 90, 10], ["C", 10, 10]))!.least.environment).toBe("C");
    expect(unlikeScatter(fits(["B", 90, 10]))).toBeNull();
    expect(unlikeScatter(fits(["A", null, 0]))).toBeNull();
    expect(unlikeScatter([])).toBeNull();
  });
});
