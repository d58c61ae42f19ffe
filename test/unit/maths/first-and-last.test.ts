import { expect, it } from "vitest";
import { firstAndLast } from "../../../src/maths/first-and-last.ts";

it("of a list the first and the last are taken, of one thing the same twice", () => {
  expect(firstAndLast([180, 300, 420])).toEqual([180, 420]);
  expect(firstAndLast(Float64Array.of(250))).toEqual([250, 250]);
});
