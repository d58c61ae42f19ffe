import { describe, expect, it } from "vitest";
import { unmixCuts, type Cut } from "../../../src/points/shared-cuts.ts";

const cut = (value: number, shares: Record<number, number>, area = 10): Cut => ({
  value,
  area,
  strips: Object.keys(shares).map(Number),
  shares: Object.values(shares),
});
const rank = [0, 1, 2, 3, 4];

describe("cuts that several strips share", () => {
  it("gives each strip its yield back where cuts hold no error", () => {
    // Strips of 5,000, 4,000 and 6,000: a cut of three quarters in the first is 0.75 · 5,000 + 0.25 · 4,000.
    const parts = unmixCuts(
      [
        cut(4_750, { 0: 0.75, 1: 0.25 }),
        cut(4_000, { 1: 1 }),
        cut(5_400, { 1: 0.3, 2: 0.7 }),
        cut(5_000, { 0: 1 }),
      ],
      rank,
    );
    const expected = [5_000, 4_000, 6_000];
    expect(parts.map(({ strip }) => strip).sort()).toEqual([0, 1, 2]);
    for (const { strip, value } of parts) expect(value / expected[strip]!).toBeCloseTo(1, 10);
  });

  it("weighs by area, as R's regression of yields on shares does", () => {
    const cuts = [
      cut(5_200, { 0: 1 }, 8),
      cut(4_300, { 0: 0.6, 1: 0.4 }, 10),
      cut(4_150, { 1: 1 }, 6),
      cut(4_700, { 0: 0.5, 1: 0.5 }, 4),
    ];
    const [first, second] = unmixCuts(cuts, rank);
    // R 4.2.2: X <- cbind(c(1, .6, 0, .5), c(0, .4, 1, .5)); w <- c(8, 10, 6, 4)
    // coef(lm(c(5200, 4300, 4150, 4700) ~ 0 + X, weights = w)); 1 / diag(solve(t(X) %*% diag(w) %*% X))
    expect(first!.value).toBeCloseTo(5014.25619835, 6);
    expect(second!.value).toBeCloseTo(4005.99173554, 6);
    expect(first!.worthArea).toBeCloseTo(11.25581395349, 8);
    expect(second!.worthArea).toBeCloseTo(7.68253968254, 8);
    // 6 m² of its own, 4 of the second cut's 10 and 2 of the last one's 4.
    expect(second!.area).toBeCloseTo(12, 10);
  });

  it("knows that two strips that were only ever cut together cannot be told apart", () => {
    const parts = unmixCuts(
      [cut(4_500, { 0: 0.5, 1: 0.5 }), cut(4_400, { 0: 0.5, 1: 0.5 }), cut(5_000, { 2: 1 })],
      rank,
    );
    expect(parts.map(({ strip }) => strip).sort()).toEqual([0, 1, 2]);
    for (const { strip, area, worthArea } of parts) {
      if (strip === 2) expect(worthArea).toBeCloseTo(area, 6);
      else expect(worthArea / area).toBeLessThan(0.01);
    }
  });
});
