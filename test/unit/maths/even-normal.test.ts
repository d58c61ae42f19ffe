import { mean, sampleVariance } from "simple-statistics";
import { describe, expect, it } from "vitest";
import { evenNormal } from "../../../src/maths/even-normal.ts";

describe("an even sample of the normal distribution", () => {
  it("begins in the middle, and halves what is left each time", () => {
    // Quantiles at 1/2, 1/4, 3/4, 1/8, 5/8, 3/8, 7/8 (any table of the normal distribution).
    const quantiles = [0, -0.67449, 0.67449, -1.15035, 0.31864, -0.31864, 1.15035];
    quantiles.forEach((quantile, i) => expect(evenNormal(i + 1)).toBeCloseTo(quantile, 5));
  });

  it("has mean 0 and variance 1, to half of what a random sample misses them by", () => {
    const sample = Array.from({ length: 300 }, (_, i) => evenNormal(i + 1));
    // Standard errors of mean and variance of a normal sample: 1 ÷ √n and √(2 ÷ (n − 1)).
    expect(Math.abs(mean(sample))).toBeLessThan(0.5 / Math.sqrt(300));
    expect(Math.abs(sampleVariance(sample) - 1)).toBeLessThan(0.5 * Math.sqrt(2 / 299));
  });
});
