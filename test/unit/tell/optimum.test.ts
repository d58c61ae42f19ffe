/** How a best rate is written in a cell: an end that the strips leave open is said in words. A house rule, without source. */
import { describe, expect, it } from "vitest";
import { measuresOf } from "../../../src/numbers/measures.ts";
import { likelyRange, optimumCell } from "../../../src/tell/wording/optimum.ts";
import type { Optimum } from "../../../src/vocabulary/result.ts";
import { demoResult } from "../../fixtures/demo.ts";

const measures = measuresOf(demoResult());
/** 1.21, 0.98 and 1.40 million seeds an acre of 4046.8564224 m². */
const [best, low, high] = [1.21e6, 0.98e6, 1.4e6].map((perAcre) => perAcre / 4046.8564224) as [
  number,
  number,
  number,
];
const found = (lower: number | null, upper: number | null): Optimum => ({
  kind: "found",
  reason: "interval",
  rateSeedsPerM2: best,
  lower,
  upper,
});

describe("a best rate in a cell", () => {
  it.each([
    [low, high, "1.21 (0.98 to 1.40)"],
    [null, high, "1.21 (1.40 or less)"],
    [low, null, "1.21 (0.98 or more)"],
    [null, null, "1.21 (any rate tested)"],
  ])("from %s to %s is %s", (lower, upper, said) => {
    expect(optimumCell(found(lower, upper), measures)).toBe(said);
  });

  it.each([
    ["highest", "1.40 or more"],
    ["lowest", "1.40 or less"],
  ] as const)("at the %s rate tested is %s", (edge, said) => {
    const optimum: Optimum = { kind: "at-edge", reason: "still-rising", edge, rateSeedsPerM2: high };
    expect(optimumCell(optimum, measures)).toBe(said);
  });

  it("has the same words where a range stands alone", () => {
    const range = { level: 0.95, lower: low, upper: high };
    expect(likelyRange({ ...range, openBelow: true }, measures)).toBe("1.40 or less");
    expect(likelyRange({ ...range, openBelow: true, openAbove: true }, measures)).toBe("any rate tested");
  });
});
