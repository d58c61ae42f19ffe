/**
 * Optima of a pooled quadratic, worked by hand: y = 9x − 0.01x², so the slope is 9 − 0.02x and the top 450.
 *
 * The slope is known with the variance linear + 4x·covariance + 4x²·quadratic. With 1.01, −0.00125 and 0.000003125 that is 1.01 −
 * 0.005x + 0.0000125x²; at 200 it is 0.51. One variance parameter with the same slopes and a variance of 0.1 gives 2 ÷ 0.1 = 20
 * degrees of freedom at any rate.
 */
import { describe, expect, it } from "vitest";
import {
  addPooledOptima,
  optimumOfPooledForm,
  optimumOfSlope,
  slopeDf,
} from "../../../../src/decide/optima/pooled-optimum.ts";
import { groupPoints } from "../../../../src/maths/grouped-points.ts";
import { hingeStretches } from "../../../../src/maths/hinge.ts";
import type {
  PooledFormFit,
  PooledVariety,
  SlopeEstimate,
} from "../../../../src/vocabulary/pooled-result.ts";
import { defaultSettings, unknownLot } from "../../../../src/vocabulary/settings.ts";

const variance = { linear: 1.01, covariance: -0.00125, quadratic: 0.000003125 };
const slope: SlopeEstimate = {
  linear: 9,
  quadratic: -0.01,
  variance,
  varianceSlopes: [variance],
  uncertainty: [[0.1]],
};
const tested: [number, number] = [200, 600];
const settings = {
  ...defaultSettings,
  grainPricePerKg: 0.2,
  seedPricePerThousand: 0.02,
  intervalLevels: [0.8, 0.95] as [number, number],
};

describe("the optimum of a pooled slope", () => {
  it("lies where the slope equals the price ratio, between the rates whose slopes cannot be told from it", () => {
    expect(slopeDf(slope, 200)).toBeCloseTo(20, 9);
    const optimum = optimumOfSlope(slope, tested, 1, 0.95);
    if (optimum.kind !== "found") expect.unreachable();
    // 9 − 0.02x = 1 at 400.
    expect(optimum.rateSeedsPerM2).toBeCloseTo(400, 9);
    // t with 20 df is 2.085963 and its square 4.351242: (8 − 0.02x)² = 4.351242 × (1.01 − 0.005x + 0.0000125x²), that is
    // 0.000345609x² − 0.298244x + 59.605245 = 0.
    expect(optimum.lower).toBeCloseTo(314.4, 1);
    expect(optimum.upper).toBeCloseTo(548.55, 1);
  });

  it("has no ends where nothing is uncertain in the variances", () => {
    const sure = { ...slope, varianceSlopes: [], uncertainty: [] };
    expect(slopeDf(sure, 200)).toBeNull();
    expect(optimumOfSlope(sure, tested, 1, 0.95)).toMatchObject({
      kind: "found",
      lower: null,
      upper: null,
      reason: "error-unknown",
    });
  });

  it("is kept to the tested rates", () => {
    expect(optimumOfSlope(slope, [200, 390], 1, 0.95)).toMatchObject({ kind: "at-edge", edge: "highest" });
    expect(optimumOfSlope(slope, [410, 600], 1, 0.95)).toMatchObject({ kind: "at-edge", edge: "lowest" });
  });
});

describe("optima of pooled varieties", () => {
  const pooled: PooledVariety = {
    variety: "Alder",
    environments: 3,
    strips: 60,
    testedSeedsPerM2: tested,
    slope,
    forms: [
      {
        form: "quadratic",
        coefficients: { intercept: 2000, linear: 9, quadratic: -0.01, join: null, plateau: null },
        standardErrors: { intercept: null, linear: null, quadratic: null, join: null, plateau: null },
        joinProfile: null,
      },
    ],
    leaning: { slopeShare: 0.5, bendShare: 0.5, slope: { ...slope, linear: 8 } },
  };
  const rateOf = (optimum: { kind: string } | null): number | undefined =>
    (optimum as { rateSeedsPerM2?: number } | null)?.rateSeedsPerM2;

  it("are of most grain and most money, alone and leaning on the others", () => {
    const [one] = addPooledOptima([pooled], settings);
    expect(rateOf(one!.forms[0]!.yieldOptimum)).toBeCloseTo(450, 9);
    expect(rateOf(one!.forms[0]!.economicOptimum)).toBeCloseTo(400, 9);
    // 8 − 0.02x is 0 at 400 and 1 at 350.
    expect(rateOf(one!.leanedYieldOptimum)).toBeCloseTo(400, 9);
    expect(rateOf(one!.leanedEconomicOptimum)).toBeCloseTo(350, 9);
  });

  it("are those of the variety alone where there is no other, at the seed price of its lot", () => {
    const lots = [{ ...unknownLot("Alder"), pricePerThousandSeeds: 0.04 }];
    const [one] = addPooledOptima([{ ...pooled, leaning: null }], { ...settings, lots });
    expect(rateOf(one!.forms[0]!.economicOptimum)).toBeCloseTo(350, 9);
    expect(one).toMatchObject({ leanedYieldOptimum: null, leanedEconomicOptimum: null });
  });
});

/**
 * A pooled linear-plateau: 0, 50, 100, 100 and 100 kg/ha more at 200, 300, 400, 500 and 600 seeds/m², so a rise of 0.5 to a
 * join at 400. The residuals of other joins are worked out in plateau-interval.test.ts: 220.588 at 440, 122.951 at 360.
 */
describe("the optimum of a pooled linear-plateau", () => {
  const points = groupPoints(
    [200, 300, 400, 500, 600],
    [1, 1, 1, 1, 1],
    [0, 50, 100, 100, 100],
    [0, 0, 0, 0, 0],
    1,
    0,
  );
  const { degree, ends, products, squares, below, groupedSs } = hingeStretches(points, 1)!;
  /** t with 20 degrees of freedom is 2.085963 at 95 %, its square 4.351242: the limit is so many residual variances. */
  const withLimit = (limit: number, rss = 10): PooledFormFit => ({
    form: "linear-plateau",
    coefficients: { intercept: -100, linear: 0.5, quadratic: null, join: 400, plateau: 100 },
    standardErrors: { intercept: null, linear: null, quadratic: null, join: null, plateau: null },
    joinProfile: {
      degree,
      ends: [...ends],
      products: [...products],
      squares: [...squares],
      below: [...below],
      groupedSs,
      rss,
      residualVariance: (limit - rss) / 4.351242,
      df: 20,
    },
  });
  const optimum = (limit: number, ratio: number, form = withLimit(limit)) =>
    optimumOfPooledForm(form, slope, tested, ratio, 0.95);

  it("is its join, between the joins whose residual is the limit", () => {
    expect(optimum(220.588235, 0.0025)).toMatchObject({
      kind: "found",
      rateSeedsPerM2: 400,
      upper: expect.closeTo(440, 3) as number,
    });
    expect(optimum(122.95082, 0.0025)).toMatchObject({ lower: expect.closeTo(360, 3) as number });
    expect(optimum(0, 0.0025, withLimit(1e-6, 0))).toMatchObject({
      lower: expect.closeTo(400, 0) as number,
      upper: expect.closeTo(400, 0) as number,
      reason: "interval",
    });
  });

  it("has no lower end where a slope that does not pay is near enough", () => {
    // A rise of 0.375 leaves 500: a hundred and fifty over the range, see there.
    expect(optimum(501, 0.375)).toMatchObject({ kind: "found", lower: null, reason: "no-lower-end" });
    expect(optimum(501, 0.25)).toMatchObject({ reason: "interval" });
  });

  it("is at an edge where seed costs more than the rise, and has no ends without a profile", () => {
    expect(optimum(220, 0.6)).toMatchObject({ kind: "at-edge", edge: "lowest" });
    expect(optimum(220, 0.0025, { ...withLimit(220), joinProfile: null })).toMatchObject({
      kind: "found",
      rateSeedsPerM2: 400,
      lower: null,
      upper: null,
      reason: "error-unknown",
    });
  });
});
