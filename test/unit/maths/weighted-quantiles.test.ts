import { describe, expect, it } from "vitest";
import { random } from "../../../src/maths/random.ts";
import {
  indexOfLargest,
  intervalInOrder,
  sortOrder,
  weightedInterval,
} from "../../../src/maths/weighted-quantiles.ts";

it("the largest is the first of several, between the ends that are looked at", () => {
  expect(indexOfLargest([1, 3, 2, 3])).toBe(1);
  expect(indexOfLargest([9, 3, 2, 4, 9], 1, 3)).toBe(3);
  expect(indexOfLargest([9, 3, 2, 1, 9], 1, 3)).toBe(1);
});

it("values are ordered upward, of equal ones the earlier first", () => {
  expect([...sortOrder(Float64Array.of(3, 1, 2, 1))]).toEqual([1, 3, 2, 0]);
});

describe("the middle of weighted values", () => {
  const values = Float64Array.of(5, 1, 3, 2, 4);
  const weights = Float64Array.of(0.1, 0.1, 0.4, 0.2, 0.2);

  // In order 1, 2, 3, 4, 5 they add up to 0.1, 0.3, 0.7, 0.9, 1.
  it.each([
    [0.8, 1, 4],
    [0.79, 2, 4],
    [0.81, 1, 5],
    [0.4, 2, 3],
    [0.38, 3, 3],
  ])("%f lies from %i to %i", (level, lower, upper) => {
    expect(weightedInterval(values, weights, level)).toEqual({ lower, upper });
    expect(intervalInOrder(values, sortOrder(values), weights, level)).toEqual({ lower, upper });
  });

  it("ends at the highest where weights add up to a little less than 1", () => {
    const less = weights.map((one) => one * 0.999);
    expect(weightedInterval(values, less, 1).upper).toBe(5);
    expect(intervalInOrder(values, sortOrder(values), less, 1).upper).toBe(5);
  });

  it("is the same where the order is known, also of equal values and of weights of 0", () => {
    const draw = random(1, "middle");
    for (let round = 0; round < 200; round++) {
      const count = 1 + Math.floor(12 * draw());
      const some = Float64Array.from({ length: count }, () => Math.floor(6 * draw()));
      const shares = some.map(() => Math.floor(4 * draw()));
      shares[0]! += 1;
      const total = shares.reduce((sum, one) => sum + one, 0);
      const sumTo1 = shares.map((one) => one / total);
      const level = Math.floor(11 * draw()) / 10;
      expect(intervalInOrder(some, sortOrder(some), sumTo1, level)).toEqual(
        weightedInterval(some, sumTo1, level),
      );
    }
  });
});
