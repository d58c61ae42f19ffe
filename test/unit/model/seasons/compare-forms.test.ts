import { expect, it } from "vitest";
import { akaikeWeights, correctedAkaike, mixedAkaike } from "../../../../src/model/seasons/compare-forms.ts";

it("weighs by half the difference of the criteria", () => {
  const [first, second, third] = akaikeWeights([10, 12, null]);
  expect(first).toBeCloseTo(1 / (1 + Math.exp(-1)), 12);
  expect(second).toBeCloseTo(Math.exp(-1) / (1 + Math.exp(-1)), 12);
  expect(third).toBeNull();
  expect(akaikeWeights([null, null])).toEqual([null, null]);
});

it("has no corrected criterion where strips are no more than parameters and two", () => {
  // n = 5, one level and two terms, the error variance: k = 4, n − k − 1 = 0
  expect(correctedAkaike(5, 100, 3)).toBeNull();
  // n = 6: 6 (log 2π + log(100/6) + 1) + 8 + 40/1
  expect(correctedAkaike(6, 100, 3)).toBeCloseTo(
    6 * (Math.log(2 * Math.PI) + Math.log(100 / 6) + 1) + 48,
    10,
  );
});

it("divides what few strips add to the criterion by the strips left", () => {
  // n = 9, k = 4: 9 (log 2π + log(100/9) + 1) + 8 + 40/4
  expect(correctedAkaike(9, 100, 3)).toBeCloseTo(
    9 * (Math.log(2 * Math.PI) + Math.log(100 / 9) + 1) + 18,
    10,
  );
});

it("weighs criteria however large and far apart they are", () => {
  expect(akaikeWeights([5000, 7000, null])).toEqual([1, 0, null]);
});

it("counts all strips of a mixed model, and has no criterion where none are left or nothing scatters", () => {
  const of = (observations: number, residualVariance = 1): number | null =>
    mixedAkaike({
      fit: { minusTwoLogLikelihood: 100, residualVariance },
      model: { observations },
      parameters: 3,
    });
  // 100 + 2 × 3 + 2 × 3 × 4/6; with one strip left 24/1.
  expect([of(10), of(5)]).toEqual([110, 130]);
  expect([of(4), of(3), of(10, 0)]).toEqual([null, null, null]);
});
