import { expect, it } from "vitest";
import { joined } from "../../../src/maths/joined.ts";

it("lists of numbers follow one another", () => {
  const parts = [Float64Array.of(1), new Float64Array(0), Float64Array.of(2, 3), Float64Array.of(4)];
  expect(joined(parts)).toEqual(Float64Array.of(1, 2, 3, 4));
  expect(joined([])).toEqual(new Float64Array(0));
});
