import { expect, it } from "vitest";
import { maximize } from "../../../src/maths/maximize.ts";

it("closes in on the highest of several tops", () => {
  const twoTops = (x: number): number => Math.exp(-((x - 1) ** 2)) + 1.2 * Math.exp(-4 * (x - 4) ** 2);
  const { at, value } = maximize(twoTops, 0, 6, 12);
  expect(at).toBeCloseTo(4, 3);
  expect(value).toBeCloseTo(twoTops(at), 12);
});

it("gives an end where the function only rises or falls", () => {
  expect(maximize((x) => x, 2, 5, 4)).toEqual({ at: 5, value: 5 });
  expect(maximize((x) => -x, 2, 5, 4)).toEqual({ at: 2, value: -2 });
});

it("passes over places that have no value", () => {
  const { at } = maximize((x) => (x < 1 ? -Infinity : -((x - 1.5) ** 2)), 0, 3, 6);
  expect(at).toBeCloseTo(1.5, 6);
});
