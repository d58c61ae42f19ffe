import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { crossings, evaluate } from "../../../src/maths/polynomial.ts";

it("is worth what is written at a place: 1 + 2·3² = 19, and 2 − 5·4 + 4² = −2", () => {
  expect(evaluate([1, 0, 2], 3)).toBe(19);
  expect(evaluate([2, -5, 1], 4)).toBe(-2);
});

describe("crossings", () => {
  it("finds the root of two", () => {
    const [root, ...others] = crossings([-2, 0, 1], 0, 2);
    expect(root).toBeCloseTo(Math.SQRT2, 15);
    expect(others).toEqual([]);
  });

  it("finds nothing where there is nothing, and ends that are roots", () => {
    expect(crossings([1, 0, 1], -5, 5)).toEqual([]);
    expect(crossings([3], -5, 5)).toEqual([]);
    expect(crossings([0, 0, 0], -5, 5)).toEqual([]);
    expect(crossings([-2, 1], 0, 2)).toEqual([2]);
    expect(crossings([0, 1], 0, 2)).toEqual([0]);
    expect(crossings([-2, 1], 3, 2)).toEqual([]);
  });

  it("finds every root of a quartic, however close, in rising order", () => {
    fc.assert(
      fc.property(
        fc.uniqueArray(fc.integer({ min: -1000, max: 1000 }), { minLength: 4, maxLength: 4 }),
        (thousandths) => {
          const roots = thousandths.map((one) => one / 1000).sort((a, b) => a - b);
          const coefficients = roots.reduce(
            (product, root) => [0, ...product].map((value, i) => value - root * (product[i] ?? 0)),
            [1],
          );
          const found = crossings(coefficients, -2, 2);
          expect(found).toHaveLength(4);
          found.forEach((root, i) => expect(Math.abs(root - roots[i]!)).toBeLessThan(1e-4));
          for (const root of found) expect(Math.abs(evaluate(coefficients, root))).toBeLessThan(1e-14);
        },
      ),
      { seed: 1, numRuns: 300 },
    );
  });

  it("lists a place that it only touches where its value is exactly 0, and else not", () => {
    expect(crossings([1, -1, -1, 1], -3, 3)).toEqual([-1, 1]); // (x − 1)²(x + 1)
    expect(crossings([1 + 1e-9, -2, 1], -3, 3)).toEqual([]); // (x − 1)² + 1e-9
  });

  it("leaves out a root beyond either end, and takes one that is an end, each once", () => {
    // x + 2, x − 5 and x − 3 between 0 and 3.
    expect(crossings([2, 1], 0, 3)).toEqual([]);
    expect(crossings([-5, 1], 0, 3)).toEqual([]);
    expect(crossings([-3, 1], 0, 3)).toEqual([3]);
    // (x − 1)(x + 1) between its roots, from one of them on, up to one of them, and between two places that are one.
    expect(crossings([-1, 0, 1], -1, 1)).toEqual([-1, 1]);
    expect(crossings([-1, 0, 1], 1, 3)).toEqual([1]);
    expect(crossings([-1, 0, 1], -3, -1)).toEqual([-1]);
    expect(crossings([-1, 0, 1], 1, 1)).toEqual([]);
    expect(crossings([-1, 1], 1, 1)).toEqual([]);
    // Both roots of (x − 1)(x − 2) lie below 3, both of (x + 1)(x + 2) below 0.
    expect(crossings([2, -3, 1], 3, 9)).toEqual([]);
    expect(crossings([2, 3, 1], 0, 9)).toEqual([]);
  });

  it("takes highest powers of nothing for what they are", () => {
    expect(crossings([-2, 1, 0, 0], 0, 3)).toEqual([2]);
    expect(crossings([-1, 0, 1, 0], 0, 3)).toEqual([1]);
    expect(crossings([0, 0], 0, 3)).toEqual([]);
    expect(crossings([], 0, 3)).toEqual([]);
  });

  it("finds a root on the way down as on the way up, and one where the curve lies flat once", () => {
    // 2 − x²: down at √2, up at −√2.
    const [up, down, ...others] = crossings([2, 0, -1], -2, 2);
    expect(up).toBeCloseTo(-Math.SQRT2, 15);
    expect(down).toBeCloseTo(Math.SQRT2, 15);
    expect(others).toEqual([]);
    // (x − 1)³, whose two turning points are its root.
    expect(crossings([-1, 3, -3, 1], 0, 3)).toEqual([1]);
    expect(crossings([1, -3, 3, -1], 0, 3)).toEqual([1]);
  });

  it("is exact to the last digits where Newton's steps would leave or creep", () => {
    // 2¹⁰x¹⁰ = 1 at ½; from 5, a step of Newton takes a tenth off. 1000x³ = 1 at 0.1.
    const power = (n: number, of: number): number[] => [-1, ...new Array<number>(n - 1).fill(0), of];
    expect(crossings(power(10, 1024), 0, 10)).toHaveLength(1);
    expect(crossings(power(10, 1024), 0, 10)[0]).toBeCloseTo(0.5, 15);
    expect(crossings(power(3, 1000), 0, 1e6)[0]).toBeCloseTo(0.1, 15);
    // A start in the middle, 0.5, is the root itself.
    expect(crossings([-0.25, 0, 1], 0, 1)).toEqual([0.5]);
  });
});
