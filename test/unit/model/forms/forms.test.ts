/** Each response form by hand: formula, slope, best fit and its errors. */
import { describe, expect, it } from "vitest";
import { responseForms } from "../../../../src/model/forms/index.ts";
import { linearPlateau } from "../../../../src/model/forms/linear-plateau.ts";
import { linear } from "../../../../src/model/forms/linear.ts";
import { none } from "../../../../src/model/forms/none.ts";
import { quadraticPlateau } from "../../../../src/model/forms/quadratic-plateau.ts";
import { quadratic } from "../../../../src/model/forms/quadratic.ts";
import { cellKey, ratePoints } from "../../../../src/model/forms/rate-points.ts";
import type { FormEstimate } from "../../../../src/model/forms/form.ts";

type Cell = [block: string, rate: number, strips: number, mean: number];
const pointsOf = (cells: readonly Cell[], within = 0) =>
  ratePoints(
    cells.map(([block, rateSeedsPerM2, strips, meanYieldKgPerHa]) => ({
      block,
      rateSeedsPerM2,
      strips,
      meanYieldKgPerHa,
    })),
    within,
  );
/** One block with one strip at each of 100, 200, … seeds/m². */
const inOneBlock = (...yields: number[]) =>
  pointsOf(yields.map((mean, index): Cell => ["A", 100 * (index + 1), 1, mean]));

/** Block A: mean rate 200, mean yield 3,200. Block B, with two strips at 100: mean rate 200, mean yield 3,800. */
const twoBlocks = pointsOf(
  [
    ["A", 100, 1, 3000],
    ["B", 100, 2, 3600],
    ["A", 200, 1, 3300],
    ["A", 300, 1, 3300],
    ["B", 400, 1, 4200],
  ],
  50,
);

/** To nine digits; null is null. */
function expectEstimate(estimate: FormEstimate | null, expected: FormEstimate): void {
  const flat = ({ coefficients, unitErrors, rss }: FormEstimate) =>
    Object.entries({ ...prefixed("", coefficients), ...prefixed("error of ", unitErrors), rss });
  const prefixed = (before: string, of: object): object =>
    Object.fromEntries(Object.entries(of).map(([name, value]) => [before + name, value as number | null]));
  const found = Object.fromEntries(flat(estimate!)) as Record<string, number | null>;
  for (const [name, value] of flat(expected) as [string, number | null][])
    if (value === null) expect(found[name], name).toBeNull();
    else
      expect(Math.abs(found[name]! - value), name).toBeLessThanOrEqual(1e-9 * Math.max(1, Math.abs(value)));
}
const absent = { intercept: null, linear: null, quadratic: null, join: null, plateau: null };

describe("no response", () => {
  it("has the same yield everywhere, the plain mean of the blocks", () => {
    expect([
      none.value({ ...absent, intercept: 3500 }, 250),
      none.slope({ ...absent, intercept: 3500 }, 250),
    ]).toEqual([3500, 0]);
    // About the means of their blocks: A 40,000 + 10,000 + 10,000; B 2 × 40,000 + 160,000; 50 within cells.
    // The variance of the mean of two means of three strips each is (1/3 + 1/3)/4.
    expectEstimate(none.estimate(twoBlocks), {
      coefficients: { ...absent, intercept: 3500 },
      unitErrors: { ...absent, intercept: Math.sqrt(1 / 6) },
      rss: 300_050,
    });
  });
});

describe("a straight line", () => {
  it("has its yield and slope", () => {
    const c = { ...absent, intercept: 3000, linear: 2 };
    expect([linear.value(c, 50), linear.slope(c, 50)]).toEqual([3100, 2]);
  });

  it("is fitted within blocks", () => {
    // Σ(x − x̄)²: A 20,000, B 2 × 10,000 + 40,000. Σ(x − x̄)(y − ȳ): A 30,000, B 120,000. Slope 150,000/80,000 = 1.875.
    // Intercepts 3,200 − 375 and 3,800 − 375. Left over: 300,000 − 1.875 × 150,000 = 18,750, and 50 within cells.
    expectEstimate(linear.estimate(twoBlocks), {
      coefficients: { ...absent, intercept: 3125, linear: 1.875 },
      unitErrors: {
        ...absent,
        intercept: Math.sqrt(1 / 6 + 200 ** 2 / 80_000),
        linear: Math.sqrt(1 / 80_000),
      },
      rss: 18_800,
    });
  });

  it("is fitted within blocks that were sown at other rates", () => {
    // Σ(x − x̄)²: 5,000 and 20,000. Slope (10,000 + 20,000)/25,000. Intercepts 3,100 − 180 and 3,600 − 360; the mean of the
    // blocks' mean rates is 225. Left over: 20,000 + 20,000 − 1.2 × 30,000.
    const points = pointsOf([
      ["A", 100, 1, 3000],
      ["A", 200, 1, 3200],
      ["B", 200, 1, 3500],
      ["B", 300, 1, 3600],
      ["B", 400, 1, 3700],
    ]);
    expectEstimate(linear.estimate(points), {
      coefficients: { ...absent, intercept: 3080, linear: 1.2 },
      unitErrors: {
        ...absent,
        intercept: Math.sqrt(5 / 24 + 225 ** 2 / 25_000),
        linear: Math.sqrt(1 / 25_000),
      },
      rss: 4000,
    });
  });

  it("is not told by blocks of one rate each", () => {
    expect(
      linear.estimate(
        pointsOf([
          ["A", 100, 1, 3000],
          ["B", 200, 1, 3300],
        ]),
      ),
    ).toBeNull();
  });
});

describe("a parabola", () => {
  it("has its yield and slope", () => {
    const c = { ...absent, intercept: 2000, linear: 9, quadratic: -0.25 };
    // 2,000 + 90 − 25; 9 − 5.
    expect([quadratic.value(c, 10), quadratic.slope(c, 10)]).toEqual([2065, 4]);
  });

  it("is fitted as by orthogonal polynomials", () => {
    // t = −3, −1, 1, 3: 1,600/20 = 80 of t, −600/4 = −150 of (t² − 5)/4; of (−1, 3, −3, 1) 200²/20 is left over.
    // 3,400 + 80 t − 37.5 (t² − 5) with t = rate/50 − 5; at rate 0 t is −5, (t² − 5)/4 is 5, and falls by 0.05 a seed.
    expectEstimate(quadratic.estimate(inOneBlock(3000, 3500, 3600, 3500)), {
      coefficients: { ...absent, intercept: 2250, linear: 9.1, quadratic: -0.015 },
      unitErrors: {
        ...absent,
        intercept: Math.sqrt(1 / 4 + 25 / 20 + 25 / 4),
        linear: Math.sqrt(1 / 20 / 50 ** 2 + 0.05 ** 2 / 4),
        quadratic: Math.sqrt(1 / 4) / 4 / 50 ** 2,
      },
      rss: 2000,
    });
  });

  it("is fitted within blocks that were sown at other rates", () => {
    // 2,000 in A and 2,400 in B, + 9 rate − 0.015 rate²; the errors are of (XᵀX)⁻¹ in exact fractions.
    const points = pointsOf([
      ["A", 100, 1, 2750],
      ["A", 200, 1, 3200],
      ["B", 200, 1, 3600],
      ["A", 300, 1, 3350],
      ["B", 400, 1, 3600],
    ]);
    expectEstimate(quadratic.estimate(points), {
      coefficients: { ...absent, intercept: 2200, linear: 9, quadratic: -0.015 },
      unitErrors: {
        ...absent,
        intercept: Math.sqrt(839 / 112),
        linear: Math.sqrt(157 / 280_000),
        quadratic: Math.sqrt(3 / 1_400_000_000),
      },
      rss: 0,
    });
  });

  it("is not told by two rates", () => expect(quadratic.estimate(inOneBlock(3000, 3500))).toBeNull());
});

describe("a rise to a plateau", () => {
  it("has its yield and slope, at the join those of the plateau", () => {
    const c = { ...absent, intercept: 3000, linear: 4, join: 250, plateau: 4001 };
    expect([200, 250, 300].map((rate) => linearPlateau.value(c, rate))).toEqual([3800, 4001, 4001]);
    expect([200, 250, 300].map((rate) => linearPlateau.slope(c, rate))).toEqual([4, 0, 0]);
  });

  it("is fitted as two lines where its join is between two rates", () => {
    // The line through 3,400 and 3,800 reaches the mean of the others, 4,000, at 250; 10² + 10² are left over.
    // Of the line: slope 1/5,000, intercept 1/2 + 150²/5,000, at the join 1/2 + 100²/5,000; of the plateau 1/3.
    expectEstimate(linearPlateau.estimate(inOneBlock(3400, 3800, 3990, 4010, 4000)), {
      coefficients: { intercept: 3000, linear: 4, quadratic: null, join: 250, plateau: 4000 },
      unitErrors: {
        intercept: Math.sqrt(1 / 2 + 150 ** 2 / 5000),
        linear: Math.sqrt(1 / 5000),
        quadratic: null,
        // Where they meet: their two variances over the slope squared.
        join: Math.sqrt(1 / 3 + 1 / 2 + 100 ** 2 / 5000) / 4,
        plateau: Math.sqrt(1 / 3),
      },
      rss: 200,
    });
  });

  it("has no error where it joins at a tested rate, and is not told by two rates", () => {
    expectEstimate(linearPlateau.estimate(inOneBlock(3000, 3500, 4000, 4000, 4000)), {
      coefficients: { intercept: 2500, linear: 5, quadratic: null, join: 300, plateau: 4000 },
      unitErrors: absent,
      rss: 0,
    });
    expect(linearPlateau.estimate(inOneBlock(3000, 3500))).toBeNull();
  });
});

describe("a rise that flattens to a plateau", () => {
  it("has its yield and slope", () => {
    const c = { ...absent, intercept: 0, quadratic: -0.25, join: 20, plateau: 4000 };
    expect([10, 20, 30].map((rate) => quadraticPlateau.value(c, rate))).toEqual([3975, 4000, 4000]);
    expect([10, 20, 30].map((rate) => quadraticPlateau.slope(c, rate) + 0)).toEqual([5, 0, 0]);
  });

  it("is fitted with the errors of its linearization at the join", () => {
    // 4,000 − (350 − rate)²/100 below 350: 350²/100 less at rate 0, where the slope is 2 × 350/100.
    // The errors are of (JᵀJ)⁻¹ in exact fractions, J in plateau, multiple and join at the five rates.
    expectEstimate(quadraticPlateau.estimate(inOneBlock(3375, 3775, 3975, 4000, 4000)), {
      coefficients: { intercept: 2775, linear: 7, quadratic: -0.01, join: 350, plateau: 4000 },
      unitErrors: {
        intercept: Math.sqrt(673 / 61),
        linear: Math.sqrt(4067 / 3_660_000),
        quadratic: Math.sqrt(47 / 9_150_000_000),
        join: Math.sqrt(385 / 488),
        plateau: Math.sqrt(167 / 366),
      },
      rss: 0,
    });
  });

  it("has its errors where it joins at a tested rate, too, and none below the second rate", () => {
    // 4,000 − (300 − rate)²/100.
    const atRate = quadraticPlateau.estimate(inOneBlock(3600, 3900, 4000, 4000, 4000))!;
    expect(atRate.coefficients.join).toBeCloseTo(300, 4);
    expect(atRate.unitErrors.join).not.toBeNull();
    // Any join up to the second rate fits as well.
    expect(quadraticPlateau.estimate(inOneBlock(3000, 4000, 4000, 4000))!.unitErrors).toEqual(absent);
    expect(linearPlateau.estimate(inOneBlock(3000, 4000, 4000, 4000))!.unitErrors).toEqual(absent);
  });

  it("has no error where it still rises at the highest rate, and is not told by two rates", () => {
    const { coefficients, unitErrors } = quadraticPlateau.estimate(inOneBlock(2500, 3200, 3700, 4000))!;
    // 4,100 − (450 − rate)²/100 but for rounding: its top is beyond what was tested, and the join stays at the end.
    expect(coefficients.join).toBeCloseTo(400, 9);
    expect(unitErrors).toEqual(absent);
    expect(quadraticPlateau.estimate(inOneBlock(3000, 3500))).toBeNull();
  });
});

describe("cells as points", () => {
  it("number the blocks by their names, whatever comes first", () => {
    const { groupMean } = pointsOf([
      ["B", 100, 1, 3800],
      ["A", 200, 1, 3200],
    ]);
    expect([...groupMean]).toEqual([3200, 3800]);
    expect(cellKey({ block: "A", rateSeedsPerM2: 250 })).toBe("250 A");
  });

  it("are fitted by every form that has a name, from the plainest", () => {
    expect(responseForms.map(({ name, parameters, leastRates }) => [name, parameters, leastRates])).toEqual([
      ["none", 0, 1],
      ["linear", 1, 2],
      ["quadratic", 2, 3],
      ["linear-plateau", 2, 3],
      ["quadratic-plateau", 2, 3],
    ]);
  });
});
