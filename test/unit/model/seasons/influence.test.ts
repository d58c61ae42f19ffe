import { describe, expect, it } from "vitest";
import type { Some } from "../../../../src/maths/group-by.ts";
import { fitParabola } from "../../../../src/maths/parabola.ts";
import { ratePoints } from "../../../../src/model/forms/rate-points.ts";
import { outlyingStrips, stripsOfInfluence, topShift } from "../../../../src/model/seasons/influence.ts";
import type { StripResiduals } from "../../../../src/model/seasons/strip-residuals.ts";
import type { Strip } from "../../../../src/vocabulary/trial.ts";
import { makeTrial } from "../../../make-trial.ts";

const strips = makeTrial([1, 2, 3].map((n) => ({ rateSeedsPerM2: 100 * n, yieldKgPerHa: 4000 + n })))
  .strips as Some<Strip>;

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

  it("are named from two degrees of freedom on, of which one is left to t", () => {
    // With one, 0.0025 lie above tan(0.4975 π) = 127.32 (Cauchy's distribution).
    expect(doubted(127, 10, 2)).toEqual([]);
    expect(doubted(128, 10, 2)).toEqual([4]);
  });

  it("are told by how much of the expected yield they miss", () => {
    const [doubt] = outlyingStrips({ variety: "Alder", environment: "2024", strips }, residuals(-9), 10, {
      testLevel: 0.05,
    });
    // 400 of 4,003 + 400.
    expect(doubt!.finding.message).toMatch(/\b9 ?%/);
  });
});

describe("strips that may bend their curve", () => {
  // Two strips at each of four rates: of the curve t²/20 + P²/4 halved, 0.35 at the ends and 0.15 between, beside 1/8 of
  // the block. So q is 0.35/0.525 and 0.15/0.725, q/(1 + q) 0.4 and 6/35.
  const eight = makeTrial(
    [100, 100, 200, 200, 300, 300, 400, 400].map((rateSeedsPerM2) => ({
      rateSeedsPerM2,
      yieldKgPerHa: 4000,
    })),
  ).strips;
  const points = ratePoints(
    [3000, 3500, 3600, 3500].map((meanYieldKgPerHa, index) => ({
      block: "A",
      rateSeedsPerM2: 100 * (index + 1),
      strips: 2,
      meanYieldKgPerHa,
    })),
    0,
  );
  const curve = fitParabola(points)!;
  const given = (studentized: (number | null)[], residualDf: number): StripResiduals => ({
    curve,
    errorVariance: 1,
    residualDf,
    point: Int32Array.of(0, 0, 1, 1, 2, 2, 3, 3),
    residual: new Float64Array(8),
    leverage: Float64Array.of(0.475, 0.475, 0.275, 0.275, 0.275, 0.275, 0.475, 0.475),
    blockEffect: new Float64Array(8),
    studentized,
  });
  const rows = (of: StripResiduals): number[] =>
    stripsOfInfluence({ variety: "Alder", environment: "2024", strips: eight as Some<Strip> }, of, {
      intervalLevels: [0.8, 0.95],
    }).map(({ place }) => place.row);

  it("are those whose residual and place together are beyond t", () => {
    // Student's t with 10 degrees of freedom has 0.025 above 2.228: 3.523 at the ends, 5.381 between.
    expect(rows(given([3.51, 3.54, 5.37, -5.4, null, 3.54, -3.54, -3.51], 11))).toEqual([3, 5, 8]);
    // With one degree 12.706: 20.09 at the ends.
    expect(rows(given([20, 20.2, 20.2, 0, 0, 0, 0, 0], 2))).toEqual([3]);
  });

  it("are none without a curve, or with one degree of freedom", () => {
    const large = [99, 99, 99, 99, 99, 99, 99, 99];
    expect(rows(given(large, 1))).toEqual([]);
    expect(rows({ ...given(large, 11), curve: null })).toEqual([]);
    expect(topShift(0, { ...given(large, 11), curve: null }, points)).toBeNull();
  });
});
