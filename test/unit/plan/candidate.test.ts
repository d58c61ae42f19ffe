import { describe, expect, it } from "vitest";
import { setUpCandidate, type KnownVariety } from "../../../src/plan/candidate.ts";
import { defaultSettings } from "../../../src/vocabulary/settings.ts";
import { outlookOf } from "./outlooks.ts";
import { request } from "./requests.ts";

const known: KnownVariety = {
  outlook: outlookOf([200, 250, 300], [{ weight: 1, yields: () => 4000, net: () => 800 }], 100),
  curves: [],
  yieldKgPerHa: 4000,
  rateNowSeedsPerM2: 250,
  now: 1,
  lot: null,
  pastStrips: 0,
  pastEnvironments: 0,
  rangeNow: null,
  testedSeedsPerM2: null,
  lodgingChanceAtHighest: null,
};

const errorSd = (layout: "blocks" | "varieties-in-strips" | "rates-in-strips"): number =>
  setUpCandidate(request({ layout }), known, defaultSettings).errorSdKgPerHa;

describe("the error with which two rates of a variety are compared", () => {
  it("is that of a strip where rates lie side by side in a main strip or block", () => {
    expect(errorSd("blocks")).toBe(100);
    expect(errorSd("varieties-in-strips")).toBe(100);
  });

  it("holds that of the main strips where each rate has its own", () => {
    // Yates 1935, oats, four subplots in each whole plot: mean squares 601.33 of whole plots and 177.08 of subplots.
    // Variance between whole plots (601.33 − 177.08) ÷ 4 = 106.06. 100 × √(1 + 106.06 ÷ 177.08) = 126.45.
    expect(errorSd("rates-in-strips")).toBeCloseTo(126.45, 2);
  });
});
