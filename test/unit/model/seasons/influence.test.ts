import { describe, expect, it } from "vitest";
import { outlyingStrips } from "../../../../src/model/seasons/influence.ts";
import type { StripResiduals } from "../../../../src/model/seasons/strip-residuals.ts";
import { makeTrial } from "../../../make-trial.ts";

const { strips } = makeTrial([1, 2, 3].map((n) => ({ rateSeedsPerM2: 100 * n, yieldKgPerHa: 4000 + n })));

const residuals = (t: number, residualDf = 11): StripResiduals => ({
  curve: null,
  errorVariance: 1,
  residualDf,
  point: Int32Array.of(0, 1, 2),
  residual: Float64Array.of(0, 0, -400),
  leverage: new Float64Array(3),
  blockEffect: new Float64Array(3),
  studentized: [0, null, t],
});

const doubted = (t: number, stripsInTrial: number, residualDf?: number): number[] =>
  outlyingStrips({ variety: "Alder", environment: "2024", strips }, residuals(t, residualDf), stripsInTrial, {
    testLevel: 0.05,
  }).map(({ strip }) => strip.place.row);

describe("strips that stand apart", () => {
  // Both ways and of ten strips: 0.05 ÷ 20 = 0.0025 in each tail. Student's t with 10 degrees of freedom has 0.0025 above
  // 3.581 and 0.005 above 3.169 (common table of percentage points of t).
  it.each([
    [3.4, []],
    [3.57, []],
    [3.59, [4]],
    [-3.59, [4]],
    [-3.4, []],
  ])("t of %f among ten strips: rows %j", (t, rows) => expect(doubted(t, 10)).toEqual(rows));

  it("must stand further apart the more strips there are", () => {
    // Of fifty: 0.0005 in each tail, above 4.587 in the same table.
    expect(doubted(4.57, 50)).toEqual([]);
    expect(doubted(4.6, 50)).toEqual([4]);
  });

  it("are not named where one degree of freedom is left", () => expect(doubted(1e6, 10, 1)).toEqual([]));
});
