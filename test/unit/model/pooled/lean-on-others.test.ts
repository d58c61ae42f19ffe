import { describe, expect, it } from "vitest";
import { leanOnOthers } from "../../../../src/model/pooled/lean-on-others.ts";

/** Covariance of estimates that are all known equally well and apart from each other. */
function alike(varieties: number, variances: { slope: number; bend: number }): Float64Array {
  const order = 2 * varieties;
  const covariance = new Float64Array(order * order);
  for (let i = 0; i < order; i++)
    covariance[i * order + i] = i < varieties ? variances.slope : variances.bend;
  return covariance;
}

const drawn = (row: readonly number[], estimates: readonly number[]): number =>
  row.reduce((sum, weight, i) => sum + weight * estimates[i]!, 0);

describe("leaning on the other varieties", () => {
  // Slopes 1, 3, 5, 7: mean 4, variance between 20/3. Each known with variance 2, so 20/3 − 2 = 14/3 lies between varieties.
  const slopes = [1, 3, 5, 7];
  // Bends differ by less than they are known to: variance 0.05/3 against 0.5.
  const bends = [-1, -1.1, -0.9, -1.2];
  const leanAll = () => leanOnOthers(slopes, bends, alike(4, { slope: 2, bend: 0.5 }))!;

  it("finds by REML what lies between varieties beyond what their own errors explain", () => {
    const leaned = leanAll();
    expect(leaned.slopeSpread ** 2).toBeCloseTo(14 / 3, 4);
    expect(leaned.bendSpread).toBe(0);
  });

  it("draws each slope to the mean by error ÷ (error + between): 2 ÷ (2 + 14/3) = 0.3", () => {
    const leaned = leanAll();
    expect(leaned.slopeShares).toHaveLength(4);
    leaned.slopeShares.forEach((share) => expect(share).toBeCloseTo(0.3, 5));
    slopes.forEach((slope, i) =>
      expect(drawn(leaned.drawing[i]!, [...slopes, ...bends])).toBeCloseTo(0.7 * slope + 0.3 * 4, 4),
    );
  });

  it("draws wholly to the mean what differs by less than its error", () => {
    const leaned = leanAll();
    expect(leaned.bendShares).toEqual([1, 1, 1, 1]);
    bends.forEach((_, i) =>
      expect(drawn(leaned.drawing[4 + i]!, [...slopes, ...bends])).toBeCloseTo(-1.05, 9),
    );
  });

  it("leans by the odds of the errors: ten times the variance, ten times error to between", () => {
    const covariance = alike(4, { slope: 2, bend: 0.5 });
    covariance[0] = 20;
    const uneven = leanOnOthers(slopes, bends, covariance)!;
    const [odds, others] = uneven.slopeShares.map((share) => share / (1 - share));
    expect(odds! / others!).toBeCloseTo(10, 6);
  });

  it("leans with two varieties as with more", () => {
    // Slopes 1 and 9 lie 32 apart in variance, 30 of it beyond their error of 2: each is drawn by 2 ÷ 32.
    const two = leanOnOthers([1, 9], [-1, -1.1], alike(2, { slope: 2, bend: 0.5 }))!;
    expect(two.slopeSpread ** 2).toBeCloseTo(30, 3);
    two.slopeShares.forEach((share) => expect(share).toBeCloseTo(2 / 32, 6));
  });

  it("has nothing to lean on where a variance is none", () => {
    const covariance = alike(4, { slope: 2, bend: 0.5 });
    covariance[0] = -1;
    expect(leanOnOthers(slopes, bends, covariance)).toBeNull();
  });

  it("has nothing to lean on with one variety", () => {
    expect(leanOnOthers([1], [-1], alike(1, { slope: 1, bend: 1 }))).toBeNull();
  });
});
