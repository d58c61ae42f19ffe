import { expect, it } from "vitest";
import { dot } from "../../../src/maths/dot.ts";

it("two rows of numbers are multiplied place by place, as far as the first goes", () => {
  expect(dot(Float64Array.of(2, -3, 0.5), Float64Array.of(5, 1, 4))).toBe(10 - 3 + 2);
  expect(dot(Float64Array.of(2), Float64Array.of(5, 1, 4))).toBe(10);
  expect(dot(new Float64Array(0), Float64Array.of(5))).toBe(0);
});
