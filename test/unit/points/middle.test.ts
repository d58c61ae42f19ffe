import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { middlesAround } from "../../../src/points/middle.ts";

describe("middlesAround", () => {
  it("is the middle of each value and its neighbours, fewer at the ends", () => {
    expect([...middlesAround(Float64Array.of(5, 1, 4, 9, 2), 1)]).toEqual([5, 4, 4, 4, 9]);
  });

  it("is what sorting each stretch by itself gives", () => {
    const values = fc.array(fc.integer({ min: -9, max: 9 }), { maxLength: 60 });
    fc.assert(
      fc.property(values, fc.integer({ min: 1, max: 10 }), (list, aside) => {
        const sorted = list.map((_, at) => {
          const own = list.slice(Math.max(0, at - aside), at + aside + 1).sort((a, b) => a - b);
          return own[own.length >> 1]!;
        });
        expect([...middlesAround(Float64Array.from(list), aside)]).toEqual(sorted);
      }),
      { seed: 20261129, numRuns: 300 },
    );
  });
});
