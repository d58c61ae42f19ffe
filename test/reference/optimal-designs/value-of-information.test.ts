/**
 * Outside check: two choices, a normal belief about their difference, a trial that shows it with normal error.
 *
 * Expected value of sample information = s · (φ(u) − u (1 − Φ(u))), u = |mean| / s, s² = τ⁴ / (τ² + error variance):
 * the unit normal loss integral of Raiffa & Schlaifer 1961, Applied Statistical Decision Theory (FROM MEMORY).
 * Tolerances are three simulation errors.
 */
import { describe, expect, it } from "vitest";
import { normalCdf } from "../../../src/maths/distributions.ts";
import { random } from "../../../src/maths/random.ts";
import { searchDesign } from "../../../src/plan/search-design.ts";
import { expectedWidth, setUpBench, simulateTrials } from "../../../src/plan/simulate-trials.ts";
import { normalGrid, outlookOf } from "../../unit/plan/outlooks.ts";

/** Choice 1 earns `mean + spread·z` more than choice 0; grain at one unit of money a kg, seed for nothing. */
const twoChoices = (mean: number, spread: number, errorSd: number) => {
  const difference = (z: number) => (rate: number) => (rate === 1 ? mean + spread * z : 0);
  return outlookOf(
    [0, 1],
    normalGrid.map(({ z, weight }) => ({ weight, yields: difference(z), net: difference(z) })),
    errorSd,
  );
};

function unitNormalLoss(u: number): number {
  return Math.exp((-u * u) / 2) / Math.sqrt(2 * Math.PI) - u * (1 - normalCdf(u));
}

const cases = [
  { mean: 0, spread: 10, errorSd: 20, blocks: 4 },
  { mean: -5, spread: 10, errorSd: 20, blocks: 4 },
  { mean: 12, spread: 10, errorSd: 10, blocks: 6 },
  { mean: 3, spread: 30, errorSd: 15, blocks: 2 },
];

describe("the value of a trial", () => {
  for (const { mean, spread, errorSd, blocks } of cases) {
    const s = spread ** 2 / Math.sqrt(spread ** 2 + (2 * errorSd ** 2) / blocks);
    const exact = s * unitNormalLoss(Math.abs(mean) / s);
    const outlook = twoChoices(mean, spread, errorSd);

    it(`is the loss integral: mean ${mean}, spread ${spread}, error ${errorSd}, ${blocks} blocks`, () => {
      const bench = setUpBench(
        outlook,
        0,
        1,
        { search: 1, general: 4000, withGain: 1, longest: 2 },
        random(1, "value"),
      );
      const finds = simulateTrials(bench, { at: [0, 1], blocks, errorSdKgPerHa: errorSd });
      expect(Math.abs(finds.valuePerHa - exact)).toBeLessThan(3 * finds.valueStandardErrorPerHa);
      expect(finds.valueStandardErrorPerHa).toBeLessThan(0.05 * spread);
    });
  }

  it("knows all when the error vanishes", () => {
    const bench = setUpBench(
      twoChoices(0, 10, 0.01),
      0,
      1,
      { search: 1, general: 2000, withGain: 1, longest: 2 },
      random(2, "value"),
    );
    const finds = simulateTrials(bench, { at: [0, 1], blocks: 4, errorSdKgPerHa: 0.01 });
    expect(bench.valueOfKnowingAllPerHa).toBeCloseTo(10 * unitNormalLoss(0), 2);
    expect(finds.valuePerHa / bench.valueOfKnowingAllPerHa).toBeCloseTo(1, 1);
  });
});

/** Curves that are parabolas on −1 … 1 (rates 0 … 40), with vague slope and curvature; their best rate is given. */
const places = Array.from({ length: 41 }, (_, g) => g);
const parabolas = (bestOf: (slope: number, curvature: number) => number) =>
  outlookOf(
    places,
    normalGrid
      .filter((_, i) => i % 8 === 0)
      .flatMap((slope) =>
        normalGrid
          .filter((_, i) => i % 8 === 0)
          .map((curvature) => ({
            weight: slope.weight * curvature.weight,
            yields: (rate: number) => {
              const x = rate / 20 - 1;
              return 100 * (slope.z * x + curvature.z * x * x);
            },
            net: (rate: number) => -((rate - bestOf(slope.z, curvature.z)) ** 2),
          })),
      ),
    1,
  );

describe("rates for one number of a quadratic (c-optimal)", () => {
  const narrowest = (outlook: ReturnType<typeof parabolas>) => {
    const bench = setUpBench(outlook, 20, 1, { search: 60, general: 1, withGain: 1, longest: 4 }, random(4, "narrow"));
    return searchDesign({
      candidates: places.filter((place) => place % 5 === 0),
      count: 4,
      fixed: [],
      apart: 0,
      score: (rates) => -expectedWidth(bench, { at: rates, blocks: 4, errorSdKgPerHa: 100 }),
    })!.points;
  };

  it("lie half at each end when the best rate turns on the slope at the middle", () => {
    expect(narrowest(parabolas((slope) => 20 + 2 * slope))).toEqual([0, 0, 40, 40]);
  });

  it("lie a quarter, a half, a quarter when it turns on the curvature", () => {
    expect(narrowest(parabolas((_, curvature) => 20 + 2 * curvature))).toEqual([0, 20, 20, 40]);
  });
});

describe("the expected width of the interval", () => {
  it("is that of the normal posterior", () => {
    const [spread, slope, errorSd, blocks] = [3, 5, 20, 4];
    const outlook = outlookOf(
      places,
      normalGrid.map(({ z, weight }) => ({
        weight,
        yields: (rate) => (rate === 40 ? slope * spread * z : 0),
        net: (rate) => -((rate - 20 - spread * z) ** 2),
      })),
      errorSd,
    );
    const bench = setUpBench(outlook, 20, 1, { search: 1, general: 500, withGain: 1, longest: 2 }, random(3, "width"));
    const posteriorSd = 1 / Math.sqrt(1 / spread ** 2 + (slope ** 2 * blocks) / (2 * errorSd ** 2));
    const { intervalWidthSeedsPerM2 } = simulateTrials(bench, { at: [0, 40], blocks, errorSdKgPerHa: errorSd });
    expect(Math.abs(intervalWidthSeedsPerM2 / (2 * 1.2816 * posteriorSd) - 1)).toBeLessThan(0.03);
  });
});
