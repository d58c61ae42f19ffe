/**
 * The optimum of each season, worked by hand.
 *
 * Five rates, 50 seeds/m² apart about a middle: y = 4000 − 0.02 (x − middle)² + residuals 10 × (−1, 2, 0, −2, 1), which no
 * parabola can follow (third orthogonal polynomial of five even points: Fisher & Yates, Statistical Tables). The quadratic is
 * found exactly, with a residual sum of squares of 100 × 10 on 5 − 3 = 2 degrees of freedom: variance 500.
 *
 * In t = (x − middle) ÷ 100 the curve is 4000 − 200 t². Its slope at the middle has the variance 500 ÷ Σt² = 500 ÷ 2.5 = 200,
 * and its bend 500 ÷ Σ(t² − 0.5)² = 500 ÷ 0.875 = 571.43; the two are independent. By the delta method the top has the
 * variance 200 ÷ 400² = 0.00125, standard error 3.53553 seeds/m².
 *
 * Seed at 0.03 a thousand and grain at 0.2 a kg: a seed more must bring 1.5 kg, 150 for t, which the slope −400 t does at
 * t = −0.375, 37.5 below the middle. There the variance is 0.00125 + 571.43 × (150 ÷ (2 × 200²))² = 0.00325893: 5.70870.
 */
import { describe, expect, it } from "vitest";
import { seasonOptimum, spreadOfSeasons } from "../../../../src/decide/optima/season-spread.ts";
import type { FittedVariety } from "../../../../src/vocabulary/result.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";

const residuals = [-10, 20, 0, -20, 10];

function seasonWith(season: number, yields: readonly [rate: number, kgPerHa: number][]): FittedVariety {
  return {
    variety: "Alder",
    environment: String(season),
    season,
    strips: yields.length,
    blocks: 1,
    ratesSeedsPerM2: yields.map(([rate]) => rate),
    cells: yields.map(([rateSeedsPerM2, meanYieldKgPerHa]) => ({
      block: "",
      rateSeedsPerM2,
      strips: 1,
      meanYieldKgPerHa,
    })),
    withinCellSs: 0,
    forms: [],
    formsLeftOut: [],
    anova: null,
    resistantSlope: null,
  };
}

const hill = (season: number, middle: number, bend = 0.02): FittedVariety =>
  seasonWith(
    season,
    residuals.map((residual, i) => {
      const away = 50 * (i - 2);
      return [middle + away, 4000 - bend * away ** 2 + residual];
    }),
  );

const settings = {
  ...defaultSettings,
  grainPricePerKg: 0.2,
  seedPricePerThousand: 0.03,
  intervalLevels: [0.8, 0.95] as [number, number],
};
const spread = (...fits: FittedVariety[]) => {
  const [most, best] = spreadOfSeasons(fits, settings);
  return { most: most!, best: best! };
};

describe("the optimum of a season", () => {
  it("has its standard error by the delta method, and Student's interval", () => {
    const { most, best } = spread(hill(2024, 300));
    expect([most.of, best.of]).toEqual(["yield", "economic"]);
    // t with 2 degrees of freedom is 4.302653: 4.302653 × 3.53553 = 15.21217, × 5.70870 = 24.5626.
    expect(most.optima).toEqual([
      {
        environment: "2024",
        rateSeedsPerM2: expect.closeTo(300, 6) as number,
        standardError: expect.closeTo(3.53553, 4) as number,
        lower: expect.closeTo(300 - 15.21217, 3) as number,
        upper: expect.closeTo(300 + 15.21217, 3) as number,
      },
    ]);
    expect(best.optima[0]!.rateSeedsPerM2).toBeCloseTo(262.5, 6);
    expect(best.optima[0]!.standardError).toBeCloseTo(5.7087, 4);
    expect(best.optima[0]!.upper).toBeCloseTo(262.5 + 24.5626, 3);
    expect(most.summary).toBeNull();
  });

  it("may lie outside the tested rates", () => {
    // 0.002 as bent, the top stays and money is earned 375 below it.
    expect(seasonOptimum(hill(2024, 500, 0.002), 1.5)).toMatchObject({
      kind: "found",
      rateSeedsPerM2: expect.closeTo(125, 6) as number,
    });
  });

  it("is left out where there is none, and says why", () => {
    const reasonOf = (yields: [number, number][]) => seasonOptimum(seasonWith(2024, yields), 0);
    const none = (reason: string) => ({ kind: "none", reason });
    expect(
      reasonOf([
        [200, 3900],
        [400, 4000],
      ]),
    ).toEqual(none("too-few-rates"));
    expect(seasonOptimum(hill(2024, 300, -0.02), 0)).toEqual(none("bends-upward"));
    // Three strips for three coefficients, and five that lie on the curve: nothing tells the error.
    expect(
      reasonOf([
        [200, 3800],
        [300, 4000],
        [400, 3800],
      ]),
    ).toEqual(none("error-unknown"));
    expect(reasonOf([200, 250, 300, 350, 400].map((x) => [x, 4000 - 0.02 * (x - 300) ** 2]))).toEqual(
      none("error-unknown"),
    );
    const { most } = spread(hill(2023, 300), hill(2024, 300, -0.02));
    expect(most.optima.map(({ environment }) => environment)).toEqual(["2023"]);
    expect(most.leftOut).toEqual([{ environment: "2024", reason: "bends-upward" }]);
  });

  it("is known from one strip more than the curve has coefficients", () => {
    // Four rates at t = −1.5, −0.5, 0.5 and 1.5; residuals 10 × (−1, 3, −3, 1), the third orthogonal polynomial of four even
    // points (Fisher & Yates): 100 × 20 on one degree of freedom. The slope has the variance 2000 ÷ Σt² = 2000 ÷ 5 = 400, the
    // top 400 ÷ 400² = 0.0025 in t², standard error 0.05 × 100.
    const four = [-10, 30, -30, 10].map((residual, i): [number, number] => {
      const away = 100 * (i - 1.5);
      return [300 + away, 4000 - 0.02 * away ** 2 + residual];
    });
    expect(seasonOptimum(seasonWith(2024, four), 0)).toEqual({
      kind: "found",
      rateSeedsPerM2: expect.closeTo(300, 6) as number,
      standardError: expect.closeTo(5, 6) as number,
      df: 1,
    });
  });

  it("is none where all strips yield the same, and none where the bend is lost in the error", () => {
    const at = (yieldOf: (away: number, i: number) => number) =>
      seasonWith(
        2024,
        residuals.map((_, i) => [200 + 50 * i, yieldOf(50 * (i - 2), i)]),
      );
    expect(
      seasonOptimum(
        at(() => 4000),
        0,
      ),
    ).toEqual({ kind: "none", reason: "bends-upward" });
    // A bend of 10⁻⁹ in t²: the top would be known to within √200 ÷ (2 × 10⁻⁹), some 10¹¹ seeds/m².
    expect(
      seasonOptimum(
        at((away, i) => residuals[i]! - 1e-13 * away ** 2),
        0,
      ),
    ).toEqual({ kind: "none", reason: "error-unknown" });
  });

  it("has blocks taken off", () => {
    // Two blocks 500 kg/ha apart with the same residuals: twice the squares on 10 − 2 − 2 = 6 degrees of freedom, variance
    // 2000 ÷ 6 = 333.33, and the slope is known from 2 × 2.5: 66.667 ÷ 400² = 0.000416667, standard error 2.04124.
    const one = hill(2024, 300).cells;
    const cells = one.flatMap((cell) => [
      { ...cell, block: "1" },
      { ...cell, block: "2", meanYieldKgPerHa: cell.meanYieldKgPerHa + 500 },
    ]);
    expect(seasonOptimum({ cells, withinCellSs: 0 }, 0)).toEqual({
      kind: "found",
      rateSeedsPerM2: expect.closeTo(300, 6) as number,
      standardError: expect.closeTo(2.04124, 4) as number,
      df: 6,
    });
  });
});

describe("the optima of several seasons", () => {
  it("are put together by their variances, variety by variety", () => {
    const { most } = spread(hill(2023, 300), hill(2024, 320), { ...hill(2024, 900), variety: "Birch" });
    // Equal variances of 12.5: mean 310 ± 3.53553 ÷ √2; Q = (10² + 10²) ÷ 12.5 = 16 on 1; I² = 15 ÷ 16; by DerSimonian and
    // Laird τ² = 15 ÷ (2 ÷ 12.5 − 1 ÷ 12.5) = 187.5, τ = 13.6931.
    expect(most.summary).toMatchObject({
      fixed: { rateSeedsPerM2: expect.closeTo(310, 6), standardError: expect.closeTo(2.5, 4) },
      q: expect.closeTo(16, 4),
      qDf: 1,
      iSquaredPct: expect.closeTo(93.75, 4),
      dersimonianLaird: { tauSeedsPerM2: expect.closeTo(13.6931, 3), rateSeedsPerM2: expect.closeTo(310, 6) },
      reml: { rateSeedsPerM2: expect.closeTo(310, 6) },
    });
    expect(
      spreadOfSeasons([hill(2023, 300), { ...hill(2023, 900), variety: "Birch" }], settings),
    ).toMatchObject([
      { variety: "Alder", of: "yield", optima: [{ rateSeedsPerM2: expect.closeTo(300, 6) }] },
      { variety: "Alder", of: "economic" },
      { variety: "Birch", of: "yield", optima: [{ rateSeedsPerM2: expect.closeTo(900, 6) }] },
      { variety: "Birch", of: "economic" },
    ]);
  });
});
