import { describe, expect, it } from "vitest";
import { trendTerm } from "../../../../src/model/pooled/position-terms.ts";

/** Two fields of two blocks: places 10 to 30 in the first, one unknown; all in one place in the second. */
const environments = Int32Array.of(0, 0, 0, 0, 1, 1);
const blocks = Int32Array.of(0, 0, 1, 1, 2, 3);
const positions = Float64Array.of(10, 25, 30, NaN, 7, 7);

const near = (found: ArrayLike<number>, wanted: readonly number[]): void => {
  expect(found).toHaveLength(wanted.length);
  wanted.forEach((one, i) => expect(found[i]).toBeCloseTo(one, 12));
};

describe("a straight trend across the field", () => {
  it("goes from −1 at one edge to 1 at the other, for each environment", () => {
    const term = trendTerm("straight-trend-by-environment", environments, blocks, positions);
    expect([term.levels, term.reach]).toEqual([2, 1]);
    expect([...term.levelOf]).toEqual([...environments]);
    // 25 is three quarters of the way; a strip without a place, or the only place, has no part.
    near(term.columns[0]!, [-1, 0.5, 1, 0, 0, 0]);
  });

  it("goes from the middle of the block, for each block", () => {
    const term = trendTerm("straight-trend-by-block", environments, blocks, positions);
    expect([term.levels, term.reach]).toEqual([4, 1]);
    expect([...term.levelOf]).toEqual([...blocks]);
    // The mean of −1 and 0.5 is −0.25; the unknown one counts for nothing in the second block.
    near(term.columns[0]!, [-0.75, 0.75, 0, 0, 0, 0]);
  });
});

it("a trend of one field has one level", () => {
  const one = Int32Array.of(0, 0);
  expect(trendTerm("straight-trend-by-environment", one, one, Float64Array.of(1, 2)).levels).toBe(1);
});

describe("a smooth trend across the field", () => {
  it("runs straight between evenly spaced knots", () => {
    const term = trendTerm("smooth-trend-by-environment", environments, blocks, positions);
    // Four knots a field at least: at 10, 16⅔, 23⅓ and 30.
    expect([term.levels, term.reach]).toEqual([8, 2]);
    // 25 is a quarter of the way from the third to the fourth; the only place of a field is midway between the middle two.
    expect([...term.levelOf]).toEqual([0, 1, 2, 3, 2, 3, 0, 1, 5, 6, 5, 6]);
    near(term.columns[0]!, [1, 0, 0.75, 0.25, 0, 1, 0, 0, 0.5, 0.5, 0.5, 0.5]);
  });

  it.each([
    [6, 4],
    [27, 5],
    [45, 8],
    [95, 16],
    [300, 16],
  ])("has for %i strips %i knots", (strips, knots) => {
    const rows = Array.from({ length: strips }, (_, i) => i);
    const term = trendTerm(
      "smooth-trend-by-environment",
      new Int32Array(strips + 1),
      new Int32Array(strips + 1),
      Float64Array.from([...rows, NaN]),
    );
    expect(term.levels).toBe(knots);
    // The last known one stands on the last knot.
    expect([term.levelOf[2 * strips - 2], term.columns[0]![2 * strips - 2]]).toEqual([knots - 2, 0]);
    expect([term.levelOf[2 * strips - 1], term.columns[0]![2 * strips - 1]]).toEqual([knots - 1, 1]);
  });
});
