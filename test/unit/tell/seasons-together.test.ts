import { describe, expect, it } from "vitest";
import type { PositionTrend, SeasonCovariate } from "../../../src/vocabulary/pooled-result.ts";
import { measuresOf } from "../../../src/numbers/measures.ts";
import {
  covariateSentence,
  dryOrWetLine,
  seasonSpreadSentence,
  trendSentence,
} from "../../../src/tell/wording/seasons-together.ts";
import { fromBushelsPerAcre, fromPerAcre } from "../../../src/numbers/units.ts";
import type { Result } from "../../../src/vocabulary/result.ts";
import { demoResult } from "../../fixtures/demo.ts";
import { makeResult } from "../../fixtures/result.ts";

const measures = measuresOf(makeResult());
const bushels = (yields: number): number => fromBushelsPerAcre(yields, 60);
/** 20,000 seeds/ac less for each bushel more. */
const perBushel = (seedsPerAcre: number): number => fromPerAcre(seedsPerAcre) / bushels(1);

const falling: SeasonCovariate = {
  covariate: "yield-level",
  unit: "kg/ha",
  environments: 8,
  mean: bushels(60),
  low: bushels(52),
  high: bushels(70),
  slopeChange: { estimate: -1, standardError: 0.2, df: 6, p: 0.002 },
  optimumChange: {
    estimate: perBushel(-20_000),
    lower: perBushel(-30_000),
    upper: perBushel(-11_000),
  },
  supported: true,
};

describe("how far the best rate goes from season to season", () => {
  const demo = demoResult();
  const [variety] = demo.varieties as [string, ...string[]];
  const grown = demo.fits.filter((fit) => fit.variety === variety).length;
  const withOptima = (count: number): Result => ({
    ...demo,
    seasons: demo.seasons.map((one) => ({ ...one, optima: Array(count).fill(one.optima[0]!) })),
  });
  const said = (result: Result): string => seasonSpreadSentence(result, variety, measuresOf(demo));

  it("is told over all site-years that the variety grew in, or says over which of them", () => {
    expect(grown).toBeGreaterThan(3);
    expect(said(withOptima(grown))).toMatch(/^Over \w+ site-years the best rate /);
    expect(said(withOptima(3))).toMatch(
      /^Over the three of \w+ site-years that show a best rate of their own, it /,
    );
  });
});

describe("what the best rate moves with", () => {
  it("advises by yield level where that is supported: more on poor ground, less on good", () => {
    const said = covariateSentence(falling, 0.95, measures);
    expect(said).toContain("the best rate was 0.36 million seeds/ac less at 70 bu/ac than at 52 bu/ac");
    expect(said).toContain("about 0.16 million seeds/ac more at 52 bu/ac");
    expect(said).toContain("0.20 million seeds/ac less at 70 bu/ac");
  });

  it("gives the estimate and its interval, and no advice, where it is not", () => {
    const change = { ...falling.optimumChange!, upper: perBushel(4_000) };
    const said = covariateSentence({ ...falling, optimumChange: change, supported: false }, 0.95, measures);
    expect(said).toMatch(
      /the best rate shows no clear change with it over eight site-years \(0\.3\d? million/,
    );
    expect(said).toContain("95% range");
    expect(said).not.toContain("Compared with the rate advised");
  });

  it("tells water in the person's units and days as dates", () => {
    const water = { ...falling, covariate: "water", unit: "mm", mean: 254, low: 203.2, high: 304.8 } as const;
    const change = { estimate: fromPerAcre(1000), lower: fromPerAcre(500), upper: fromPerAcre(1500) };
    expect(covariateSentence({ ...water, optimumChange: change }, 0.95, measures)).toContain(
      "more with 12.0 in than with 8.0 in",
    );
    const day = {
      ...falling,
      covariate: "seeding-day",
      unit: "days",
      mean: 120,
      low: 113,
      high: 127,
    } as const;
    const later = covariateSentence(
      { ...day, optimumChange: { ...change, estimate: fromPerAcre(10_000) } },
      0.95,
      measures,
    );
    expect(later).toContain("more seeded by May 8 than seeded by April 24");
  });

  it("answers for a dry and a wet season where water was noted, in one line", () => {
    const water = { ...falling, covariate: "water", unit: "mm", mean: 254, low: 203.2, high: 304.8 } as const;
    const change = { estimate: fromPerAcre(1000), lower: fromPerAcre(500), upper: fromPerAcre(1500) };
    const line = (one: typeof water, supported = true): string =>
      dryOrWetLine(
        { seasonCovariates: [falling, { ...one, supported, optimumChange: supported ? change : null }] },
        measures,
      );
    // 50.8 mm from the mean, 1,000 seeds/ac a millimetre.
    expect(line(water)).toBe(
      "And in a dry or wet season? Compared with the rate advised, about 0.05 million seeds/ac less with 8.0 in and 0.05 million seeds/ac more with 12.0 in. You know that before seeding only where you irrigate.",
    );
    expect(line(water, false)).toBe(
      "And in a dry or wet season? The best rate shows no clear change with water over eight site-years.",
    );
    expect(dryOrWetLine({ seasonCovariates: [falling] }, measures)).toBe("");
  });

  it("says only that nothing is shown where the mean curve has no clear top", () => {
    expect(covariateSentence({ ...falling, optimumChange: null, supported: false }, 0.95, measures)).toBe(
      "Yield level: the best rate shows no clear change with it over eight site-years.",
    );
  });
});

describe("a trend across the field", () => {
  const result = makeResult();
  const trend: PositionTrend = {
    strips: 60,
    environments: 3,
    chosen: "smooth-trend-by-environment",
    descriptions: [
      { trend: "none", aicc: 412.3, weight: 0.002 },
      { trend: "straight-trend-by-environment", aicc: 404, weight: 0.09 },
      { trend: "smooth-trend-by-environment", aicc: 399.8, weight: 0.91 },
    ],
    scatterWithout: bushels(3.4),
    scatterWith: bushels(2.6),
  };

  it("is told with the reason for which it was removed", () => {
    expect(trendSentence({ ...result, positionTrend: trend }, measures)).toBe(
      "A trend across the field was found and removed (AICc, a measure of fit, is 12.5 lower with it): the standard deviation between strips is then 2.6 bu/ac instead of 3.4 bu/ac.",
    );
  });

  it("is told with the reason for which it was not", () => {
    const none: PositionTrend = {
      ...trend,
      chosen: "none",
      descriptions: [
        { trend: "none", aicc: 400, weight: 0.7 },
        { trend: "straight-trend-by-block", aicc: 402.25, weight: 0.3 },
      ],
    };
    expect(trendSentence({ ...result, positionTrend: none }, measures)).toBe(
      "No trend across the field was found (AICc, a measure of fit, is 2.3 lower without one).",
    );
    expect(trendSentence(result, measures)).toBe("");
  });
});
