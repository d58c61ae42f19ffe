/** The money of one variety, worked by hand on the curves of `three-curves.ts`. */
import { describe, expect, it } from "vitest";
import type { NextRate, ProteinResponse } from "../../../../src/vocabulary/result.ts";
import { unknownLot, type Lot } from "../../../../src/vocabulary/settings.ts";
import { varietyPrices } from "../../../../src/decide/rate/net-return.ts";
import { decided, proteinSchedule, settings, sure, thinning, three } from "./three-curves.ts";

const optimum = ({ economicOptimum }: NextRate): number => {
  if (economicOptimum.kind !== "found") expect.unreachable();
  return economicOptimum.rateSeedsPerM2;
};

describe("net return of a rate", () => {
  it("is yield × price of grain − cost of seed", () => {
    const { pointAt } = decided(three);
    // 4050 × 0.2 − 300 × 0.3 = 720; at 250: 3911.667 × 0.2 − 75 = 707.333; at 400: 4160 × 0.2 − 120 = 712.
    expect(pointAt("net-return", 300).value).toBeCloseTo(720, 9);
    expect(pointAt("net-return", 250).value).toBeCloseTo(707.3333333, 6);
    expect(pointAt("net-return", 400).value).toBeCloseTo(712, 9);
  });

  it("is told over today's rate, with the band of the difference", () => {
    const { pointAt } = decided(three);
    expect(pointAt("gain", 260)).toMatchObject({ value: 0, lower: 0, upper: 0 });
    // 40 seeds more: 40 × (2.76667 × 0.2 − 0.3) = 10.1333. A earns 14.6667 and B 8 more, C (0.06 > 0.025) 12 less.
    const { value, lower, upper } = pointAt("gain", 300);
    expect(value).toBeCloseTo(10.1333333, 6);
    expect(lower).toBeCloseTo(-12, 9);
    expect(upper).toBeCloseTo(14.6666667, 6);
  });

  it("is best where a seed more brings what it costs", () => {
    // The table of rates is 5 seeds/m² fine, and the expected curve has a corner at its best rate.
    expect(Math.abs(optimum(decided(three).next) - 300)).toBeLessThan(2.5);
    // Seed at 0.02: 2.76667 × 0.2 − 0.2 > 0 below 300, and 1.1 × 0.2 − 0.2 = 0.02 above: the more the better.
    expect(decided(three, { seedPricePerThousand: 0.02 }).next.economicOptimum).toMatchObject({
      kind: "at-edge",
      edge: "highest",
    });
    // Seed at 0.06: 0.55333 − 0.6 < 0: the fewer the better.
    expect(decided(three, { seedPricePerThousand: 0.06 }).next.economicOptimum).toMatchObject({
      kind: "at-edge",
      edge: "lowest",
    });
  });

  it("holds the premium for protein, which is added to the price", () => {
    const protein: ProteinResponse = {
      variety: "Alder",
      strips: 20,
      centreSeedsPerM2: 300,
      slopePctPerSeedPerM2: 0,
      ownSlope: null,
      levels: [{ environment: "2024", proteinPct: 13 }],
    };
    const proteinSchedule = [
      { proteinPct: 12, premiumPerKg: 0 },
      { proteinPct: 14, premiumPerKg: 0.02 },
    ];
    const { next, pointAt } = decided(three, { proteinSchedule }, [protein]);
    // Half-way between 12 and 14 % pays 0.01: 4050 × 0.21 − 90 = 760.5.
    expect(pointAt("net-return", 300).value).toBeCloseTo(760.5, 9);
    const dearer = decided(three, { grainPricePerKg: 0.21 }).next;
    expect(next.gainPerHa!.expected).toBeCloseTo(dearer.gainPerHa!.expected, 9);
    expect(next.expectedLossPerHa).toBeCloseTo(dearer.expectedLossPerHa!, 9);
  });

  it("loses premium where more seed means less protein", () => {
    const { pointAt } = decided(three, { proteinSchedule }, [thinning("Alder")]);
    // At 350 half a per cent less: 12.5 % pays 0.005. 4105 × 0.205 − 105 = 736.525.
    expect(pointAt("net-return", 350).value).toBeCloseTo(736.525, 9);
  });
});

describe("what a rate costs", () => {
  it("is its seed and what lodging takes, at the seed price of the variety's own lot", () => {
    const lots = [
      { ...unknownLot("Birch"), pricePerThousandSeeds: 0.09 },
      { ...unknownLot("Alder"), pricePerThousandSeeds: 0.02 },
    ];
    const quality = { premiumPerKg: () => 0.01, costPerHa: (rate: number) => rate / 10 };
    const prices = varietyPrices(three, quality, { ...settings, lots });
    // At 300: 300 × 10 × 0.02 = 60 for seed and 30 where it lodges; grain brings 0.2 + 0.01.
    expect(prices.seedPricePerThousand).toBe(0.02);
    expect(prices.costPerHa[20]).toBeCloseTo(90, 12);
    expect(prices.grainPerKg[20]).toBeCloseTo(0.21, 12);
  });
});

describe("the price of a thousand viable seeds", () => {
  const lot: Lot = {
    variety: "Alder",
    rateNowSeedsPerM2: null,
    seedsPerKg: 25_000,
    germination: 0.9,
    purity: 0.95,
    pricePerKg: 0.5,
    pricePerThousandSeeds: null,
    soldIn: null,
    lowestRateSeedsPerM2: null,
    recommendedSeedsPerM2: null,
    treated: false,
    areaHa: null,
  };
  const priceOf = (changes: Partial<Lot>): number =>
    decided(three, { lots: [{ ...lot, ...changes }] }).next.seedPricePerThousand;

  it("of seed sold by weight counts germination and purity", () => {
    // 25,000 × 0.9 × 0.95 = 21,375 viable seeds in a kg: 0.5 ÷ 21.375 = 0.0233918.
    expect(priceOf({})).toBeCloseTo(0.0233918, 7);
  });

  it("of seed sold by count counts them, too", () => {
    // 0.019 ÷ (0.9 × 0.95) = 0.0222222.
    expect(priceOf({ pricePerKg: null, pricePerThousandSeeds: 0.019 })).toBeCloseTo(0.0222222, 7);
  });

  it("is the setting's where the lot has none, or none that can be used", () => {
    expect(priceOf({ pricePerKg: null })).toBe(0.03);
    expect(priceOf({ seedsPerKg: null })).toBe(0.03);
  });

  it("is what the seed costs in the net return", () => {
    const { pointAt } = decided(three, {
      lots: [{ ...lot, pricePerKg: null, pricePerThousandSeeds: 0.0171 }],
    });
    // 0.0171 ÷ 0.855 = 0.02: 300 seeds/m² are 3 million a hectare and cost 60. 4050 × 0.2 − 60 = 750.
    expect(pointAt("net-return", 300).value).toBeCloseTo(750, 9);
  });
});

describe("one season's step, in money", () => {
  it("goes a tenth of today's rate and earns that much more", () => {
    const { next } = decided(three);
    // The whole move of 40 would earn 40 × 0.25333 = 10.13, more than 4.1. A tenth of 260: 286. 26 × 0.25333 = 6.58667.
    expect(next.rateNextSeedsPerM2).toBeCloseTo(286, 9);
    expect(next.gainPerHa!.expected).toBeCloseTo(6.5866667, 6);
  });

  it("is not taken where the whole move earns no more than the flat zone's sum", () => {
    // From 285 to 300: 15 × 0.25333 = 3.8; from 280: 20 × 0.25333 = 5.0667, and a tenth is enough to get there.
    expect(decided(three, { rateNowSeedsPerM2: 285 }).next.rateNextSeedsPerM2).toBe(285);
    expect(decided(three, { rateNowSeedsPerM2: 280 }).next.rateNextSeedsPerM2).toBeGreaterThan(295);
  });

  it("tells the gain's range at the narrower level", () => {
    // 26 seeds/m² more under A: 26 × (3.33333 × 0.2 − 0.3) = 9.53333; under B: 26 × 0.2 = 5.2; under C: −26 × 0.3 = −7.8.
    // C is believed 0.06: outside the middle 80 % (tail 0.1), inside the middle 95 % (tail 0.025).
    const { gainPerHa } = decided(three).next;
    expect(gainPerHa!.lower).toBeCloseTo(5.2, 6);
    expect(gainPerHa!.upper).toBeCloseTo(9.5333333, 6);
  });

  it("expects to lose against the best rate of each curve what it earns less than that", () => {
    // At 286. A, best at 300: 14 × 0.36667 = 5.13333. B, best at 400: 114 × 0.2 = 22.8. C, best at 200: 86 × 0.3 = 25.8.
    // 0.5 × 5.13333 + 0.44 × 22.8 + 0.06 × 25.8 = 14.14667.
    expect(decided(three).next.expectedLossPerHa).toBeCloseTo(14.1466667, 6);
    expect(decided(sure, { rateNowSeedsPerM2: 300 }).next.expectedLossPerHa).toBeCloseTo(0, 9);
  });
});

describe("the flat zone", () => {
  it("reaches as far as the stated sum, to a step of the table", () => {
    // 4.1 ÷ 0.25333 = 16.2 below 300, 4.1 ÷ 0.08 = 51.25 above.
    const { lower, upper } = decided(three).next.flatZone!;
    expect(Math.abs(lower - 283.8)).toBeLessThan(5);
    expect(Math.abs(upper - 351.25)).toBeLessThan(5);
  });
});

describe("the band about the expected curve", () => {
  it("holds the middle of belief at the wider level", () => {
    const { pointAt } = decided(three);
    // At 400: C 4,000 (0.06), A 4,100 (0.5), B 4,250 (0.44). The middle 80 % would begin at A.
    expect(pointAt("response", 400)).toMatchObject({ lower: 4000, upper: 4250 });
    expect(pointAt("response", 400).value).toBeCloseTo(4160, 9);
    // 4000 × 0.2 − 120 and 4250 × 0.2 − 120.
    expect(pointAt("net-return", 400).lower).toBeCloseTo(680, 9);
    expect(pointAt("net-return", 400).upper).toBeCloseTo(730, 9);
  });
});

describe("the word for the evidence, where the best rate is known", () => {
  it.each([
    [[2025], "weak"],
    [[2024, 2025], "fair"],
    [[2023, 2024, 2025], "strong"],
  ])("of the seasons %j is %s", (seasons, word) => {
    expect(decided(sure, {}, [], seasons).next.evidence).toBe(word);
  });
});
