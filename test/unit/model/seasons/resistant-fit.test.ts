import { describe, expect, it } from "vitest";
import { fitResistant } from "../../../../src/model/seasons/resistant-fit.ts";
import { makeTrial } from "../../../make-trial.ts";

const rates = [150, 225, 300, 375, 450];
/** Slope 9 − 0.02·rate; blocks at different levels. */
const truth = (rate: number, block: number): number => 2500 + 70 * block + 9 * rate - 0.01 * rate ** 2;

const strips = (spoilt: (rate: number, block: number) => number, blocks = 4) =>
  makeTrial(
    Array.from({ length: blocks }, (_, b) =>
      rates.map((rate) => ({
        block: `B${b}`,
        rateSeedsPerM2: rate,
        yieldKgPerHa: spoilt(rate, b) + truth(rate, b),
      })),
    ).flat(),
  ).strips;

describe("the resistant slope", () => {
  it("gives a known parabola back, whatever the blocks add", () => {
    const slope = fitResistant(strips(() => 0))!;
    expect(slope.atZero).toBeCloseTo(9, 9);
    expect(slope.perRate).toBeCloseTo(-0.02, 12);
  });

  it("is not moved by one strip in seven that is far off", () => {
    const slope = fitResistant(strips((rate, block) => (rate === 450 && block > 0 ? 4000 : 0)))!;
    expect(slope.atZero).toBeCloseTo(9, 9);
    expect(slope.perRate).toBeCloseTo(-0.02, 12);
  });

  it("holds with so many strips that their pairs are thinned", () => {
    const slope = fitResistant(strips(() => 0, 200))!;
    expect(slope.perRate).toBeCloseTo(-0.02, 12);
  });

  it("tells the spread as a standard deviation: 1.4826 times the median distance, by the degrees of freedom", () => {
    // Two blocks that mirror each other, so that the slope is the true one. In each, distances from the median 0, 20, 20,
    // 20, 20: their median is 20. Ten strips less two blocks less two coefficients leave six degrees of freedom.
    // 1 ÷ Φ⁻¹(0.75) = 1.4826 (normal table: Φ(0.6745) = 0.75). 1.4826 × 20 × √(10 ÷ 6) = 38.28.
    const pattern = [20, -20, 0, 20, -20];
    const slope = fitResistant(
      strips((rate, block) => pattern[rates.indexOf(rate)]! * (block === 0 ? 1 : -1), 2),
    )!;
    expect(slope.perRate).toBeCloseTo(-0.02, 9);
    expect(slope.residualSdKgPerHa).toBeCloseTo(38.28, 2);
  });

  it("is not told with two rates, or with one strip a block", () => {
    const two = makeTrial([100, 200, 100, 200].map((rate) => ({ rateSeedsPerM2: rate, yieldKgPerHa: rate })));
    expect(fitResistant(two.strips)).toBeNull();
    const alone = rates.map((rate) => ({ block: String(rate), rateSeedsPerM2: rate, yieldKgPerHa: 1 }));
    expect(fitResistant(makeTrial(alone).strips)).toBeNull();
  });
});
