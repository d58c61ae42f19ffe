import { expect, it } from "vitest";
import { akaikeWeights, correctedAkaike } from "../../../../src/model/seasons/compare-forms.ts";

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
