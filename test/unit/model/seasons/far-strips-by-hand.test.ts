/** Strips held against the scatter of the whole trial, worked by hand. */
import { describe, expect, it } from "vitest";
import type { Some } from "../../../../src/maths/group-by.ts";
import { ratePoints } from "../../../../src/model/forms/rate-points.ts";
import { departuresOf, farStrips, scatterByEnvironment } from "../../../../src/model/seasons/far-strips.ts";
import { cellsOf, groupByVariety, type VarietyStrips } from "../../../../src/model/seasons/rate-cells.ts";
import { stripResiduals, type StripResiduals } from "../../../../src/model/seasons/strip-residuals.ts";
import type { Strip } from "../../../../src/vocabulary/trial.ts";
import { makeTrial } from "../../../make-trial.ts";

describe("a strip held against the scatter of the whole trial", () => {
  /** Ten strips level with one another, so that nothing is far off once the first is left out. */
  const { strips } = makeTrial(
    Array.from({ length: 10 }, (_, i) => ({ rateSeedsPerM2: 200 + 20 * i, yieldKgPerHa: 4000 })),
  );
  const group = { variety: "Alder", environment: "2024", strips: strips as Some<Strip> };
  const named = (share: number, { degrees = 10, stripsInTrial = 10 } = {}): number[] =>
    farStrips(
      group,
      { shares: [null, share, ...new Array<number>(8).fill(0)], degrees: 7 },
      { sd: 0.1, degrees },
      stripsInTrial,
      { testLevel: 0.05 },
    ).map(({ strip }) => strip.place.row);

  // Both ways and of ten strips: 0.05 ÷ 20 = 0.0025 in each tail. Student's t with 10 degrees of freedom has 0.0025 above
  // 3.581 and 0.005 above 3.169 (common table of percentage points of t): 3.581 × 0.1 of the yield.
  it.each([
    [0.34, []],
    [0.357, []],
    [0.359, [3]],
    [-0.359, [3]],
    [-0.34, []],
  ])("%f of the yield off, among ten strips: rows %j", (share, rows) => expect(named(share)).toEqual(rows));

  it("is told in per cent of the yield and in times the usual scatter", () => {
    const [doubt] = farStrips(
      group,
      { shares: [null, -0.42, ...new Array<number>(8).fill(0)], degrees: 7 },
      { sd: 0.1, degrees: 10 },
      10,
      { testLevel: 0.05 },
    );
    expect(doubt!.finding.message).toMatch(
      /42 ?% lower than expected .* Alder in 2024, 4\.2 times the usual scatter/,
    );
  });

  it("must be further off the more strips there are, and is not judged by one degree of freedom", () => {
    // Of fifty: 0.0005 in each tail, above 4.587 in the same table.
    expect(named(0.457, { stripsInTrial: 50 })).toEqual([]);
    expect(named(0.46, { stripsInTrial: 50 })).toEqual([3]);
    expect(named(1e6, { degrees: 1 })).toEqual([]);
  });

  it("is measured by its residual, widened by its own share in the curve, as a share of the mean yield", () => {
    const residuals: StripResiduals = {
      curve: null,
      errorVariance: 1,
      residualDf: 7,
      point: new Int32Array(10),
      residual: Float64Array.of(300, 300, -240, 0, 0, 0, 0, 0, 0, 0),
      // Three quarters of its own fitted yield are the second strip itself; on the third the curve hangs.
      leverage: Float64Array.of(0, 0.75, 0.96, 0, 0, 0, 0, 0, 0, 0),
      blockEffect: new Float64Array(10),
      studentized: [],
    };
    // 300 ÷ 4000 = 0.075; 300 ÷ √0.25 ÷ 4000 = 0.15.
    expect(departuresOf(group, residuals)).toEqual({
      shares: [0.075, 0.15, null, 0, 0, 0, 0, 0, 0, 0],
      degrees: 7,
    });
    expect(departuresOf(group, { ...residuals, residualDf: 0 }).shares[0]).toBeNull();
  });

  it("has the scatter of its own environment where that is wider, by medians", () => {
    const departures = (shares: number[]) => ({ shares, degrees: 3 });
    const scatter = scatterByEnvironment([
      { environment: "calm", departures: departures([0.01, -0.02, 0.03]) },
      { environment: "rough", departures: departures([0.04, -0.06, 0.5]) },
    ]);
    // Of all, 0.01 to 0.5, the median is (0.03 + 0.04) ÷ 2 = 0.035; of the rough one 0.06. Times 1.4826.
    expect(scatter("calm")).toEqual({ sd: expect.closeTo(0.051891, 9) as number, degrees: 6 });
    expect(scatter("rough")).toEqual({ sd: expect.closeTo(0.088956, 9) as number, degrees: 6 });
  });

  it("has no scatter without a curve to measure it by", () => {
    const none = scatterByEnvironment([
      { environment: "bare", departures: { shares: [null, null], degrees: 0 } },
    ]);
    expect(none("bare")).toEqual({ sd: 0, degrees: 0 });
    expect(none("elsewhere")).toEqual({ sd: 0, degrees: 0 });
    // Strips that the curve hangs on do not count: the median of 0.02 and 0.04.
    const some = scatterByEnvironment([
      { environment: "bare", departures: { shares: [null, 0.02, -0.04, null, null], degrees: 3 } },
    ]);
    expect(some("bare").sd).toBeCloseTo(1.4826 * 0.03, 9);
    expect(
      farStrips(group, { shares: [9, 9], degrees: 7 }, { sd: 0, degrees: 10 }, 10, { testLevel: 0.05 }),
    ).toEqual([]);
  });
});

describe("departures", () => {
  const { strips } = makeTrial(
    [4000, 4000, 4000].map((yieldKgPerHa) => ({ rateSeedsPerM2: 300, yieldKgPerHa })),
  );
  const of = (changes: Partial<StripResiduals>, yields = [4000, 4000, 4000]) =>
    departuresOf(
      { strips: strips.map((strip, i) => ({ ...strip, yieldKgPerHa: yields[i]! })) },
      {
        curve: null,
        errorVariance: 1,
        residualDf: 2,
        point: new Int32Array(3),
        residual: Float64Array.of(40, -20, -20),
        leverage: new Float64Array(3),
        blockEffect: new Float64Array(3),
        studentized: [],
        ...changes,
      },
    );

  it("are told up to a share of 0.95 in the own fit", () => {
    // 40 ÷ √0.05 ÷ 4,000 = 0.044721.
    const [at, beyond] = of({ leverage: Float64Array.of(0.95, 0.951, 0) }).shares;
    expect(at).toBeCloseTo(0.0447214, 6);
    expect(beyond).toBeNull();
  });

  it("are none without degrees of freedom, or where nothing was harvested", () => {
    expect(of({ residualDf: 1 })).toMatchObject({ degrees: 1, shares: [0.01, -0.005, -0.005] });
    expect(of({ residualDf: 0 })).toEqual({ degrees: 0, shares: [null, null, null] });
    expect(of({ residualDf: -1 })).toEqual({ degrees: 0, shares: [null, null, null] });
    expect(of({}, [0, 0, 0]).shares).toEqual([null, null, null]);
    // The mean of 2,000, 4,000 and 6,000 is as good.
    expect(of({}, [2000, 4000, 6000]).shares[0]).toBe(0.01);
  });
});

describe("several strips far from the curve", () => {
  // Two strips at each rate, 20 to either side of a straight line; those named here are 1,500 higher or lower.
  const rates = [200, 250, 300, 350, 400, 450];
  function named(spoilt: Record<number, number>, count = 12): number[] {
    const { strips } = makeTrial(
      Array.from({ length: count }, (_, i) => ({
        rateSeedsPerM2: rates[i % 6]!,
        yieldKgPerHa: 4000 + rates[i % 6]! + (i < 6 ? 20 : -20) + (spoilt[i + 2] ?? 0),
      })),
    );
    const [[group]] = groupByVariety(strips) as [[VarietyStrips]];
    const { cells, withinCellSs } = cellsOf(group.strips);
    const residuals = stripResiduals(group.strips, cells, ratePoints(cells, withinCellSs));
    return farStrips(group, departuresOf(group, residuals), { sd: 0.01, degrees: 30 }, 100, {
      testLevel: 0.05,
    }).map(({ strip }) => strip.place.row);
  }

  it("are named one by one, the farthest first, and each is compared without those before it", () => {
    expect(named({})).toEqual([]);
    expect(named({ 5: 1500 })).toEqual([5]);
    expect(named({ 5: 1500, 10: -1900 })).toEqual([10, 5]);
  });

  it("are a quarter of all at most", () => {
    // Three of twelve; a fourth is left, though it is as far.
    expect(named({ 2: 1500, 5: -1600, 10: 1700, 13: -1800 })).toHaveLength(3);
    expect(named({ 2: 1500, 5: -1600, 10: 1700 })).toHaveLength(3);
  });
});
