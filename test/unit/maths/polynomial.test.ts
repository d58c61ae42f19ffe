import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { crossings, evaluate } from "../../../src/maths/polynomial.ts";

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
});
