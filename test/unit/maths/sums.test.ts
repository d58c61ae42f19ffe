import { describe, expect, it } from "vitest";
import { sumOf, weightedRows } from "../../../src/maths/sums.ts";

describe("sums", () => {
  it("add up all numbers of a list", () => {
    expect(sumOf(Float64Array.of(1, 2, 4))).toBe(7);
    expect(sumOf(new Float64Array(0))).toBe(0);
  });

  it("add up rows, each times its weight", () => {
    // 2 × 1 + 3 × 10, 2 × 4 − 3 × 5.
    expect(weightedRows([Float64Array.of(1, 4), Float64Array.of(10, -5)], [2, 3])).toEqual(
      Float64Array.of(32, -7),
    );
  });
});
