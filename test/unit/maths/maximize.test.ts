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

it("closes in between the places looked at first, from either side of the best of them", () => {
  // x(0.74 − x) and its mirror have their tops at 0.37 and 0.63, of height 0.37²; looked at first are 0, 0.25, 0.5, 0.75, 1.
  const left = maximize((x) => x * (0.74 - x), 0, 1, 4);
  expect(left.at).toBeCloseTo(0.37, 7);
  expect(left.value).toBeCloseTo(0.1369, 12);
  const right = maximize((x) => (1 - x) * (x - 0.26), 0, 1, 4);
  expect(right.at).toBeCloseTo(0.63, 7);
  expect(right.value).toBeCloseTo(0.1369, 12);
});

/** How often a function between 0 and 1 is looked at, first at 0, ¼, ½, ¾ and 1. */
function looksAt(f: (x: number) => number): number {
  let looks = 0;
  maximize(
    (x) => {
      looks++;
      return f(x);
    },
    0,
    1,
    4,
  );
  return looks;
}

it("closes in on a parabola in few looks: the one through three places is the function itself", () => {
  // Five at first, two by the golden section, the top, and one on either side of it that shows it is the top.
  expect(looksAt((x) => x * (0.74 - x))).toBeLessThanOrEqual(5 + 2 + 1 + 2);
});

it("closes in on a kink no slower than by the golden section, each look leaving 0.618 of the width", () => {
  // 2 × 0.25 × 0.618ⁿ < 2e-8 from n = ln(2.5e7) ÷ 0.4812 = 35.4 on: 36, after 5 at first and the 2 that the section begins with.
  expect(looksAt((x) => -Math.abs(x - 0.37))).toBeLessThanOrEqual(5 + 2 + 36);
});

it("keeps to the range: the last place is its very end", () => {
  // 0.1 + 3 × ((0.7 − 0.1) / 3) is 0.7000000000000001 in floating point.
  const looked: number[] = [];
  maximize(
    (x) => {
      looked.push(x);
      return x;
    },
    0.1,
    0.7,
    3,
  );
  expect(Math.max(...looked)).toBe(0.7);
});

it("takes the first of several places that are equally high", () => {
  expect(maximize(() => 3, 2, 5, 4)).toEqual({ at: 2, value: 3 });
});
