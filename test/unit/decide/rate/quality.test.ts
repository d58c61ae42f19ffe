import { describe, expect, it } from "vitest";
import { premiumAt, qualityMoney } from "../../../../src/decide/rate/quality.ts";
import type { ProteinResponse, VarietyLodging } from "../../../../src/vocabulary/result.ts";
import type { ProteinStep } from "../../../../src/vocabulary/settings.ts";
import { fromPricePerBushel, toPricePerBushel } from "../../../../src/numbers/units.ts";

const schedule = (...entries: [number, number][]): ProteinStep[] =>
  entries.map(([proteinPct, perBushel]) => ({
    proteinPct,
    premiumPerKg: fromPricePerBushel(perBushel, 60),
  }));

describe("premiumAt", () => {
  // USDA AMS, CCC wheat protein scales effective 14 September 2021, hard red spring, Minneapolis. The heading says cents,
  // the figures are plainly dollars per bushel.
  const minneapolis = schedule(
    [12.0, 0],
    [12.2, 0.05],
    [12.4, 0.1],
    [12.6, 0.15],
    [12.8, 0.2],
    [13.0, 0.25],
    [13.2, 0.27],
    [13.4, 0.29],
    [13.6, 0.31],
    [13.8, 0.33],
    [14.0, 0.35],
    [16.0, 0.35],
  );
  // The same, Pacific Northwest: 0.06 per quarter per cent from 12.25 to 13.75, 0.48 at 14.0, then 0.04 each quarter.
  const northwest = schedule([12.0, 0], [12.25, 0.06], [14.0, 0.48], [14.25, 0.52], [14.5, 0.56]);

  it.each([
    [11, 0],
    [12, 0],
    [12.4, 0.1],
    [13, 0.25],
    [13.8, 0.33],
    [14, 0.35],
    [15, 0.35],
    [17, 0.35],
  ])("pays the printed premium at %d per cent: %d dollars a bushel", (protein, perBushel) =>
    expect(toPricePerBushel(premiumAt(minneapolis, protein), 60)).toBeCloseTo(perBushel, 10),
  );

  it("runs straight between two entries", () => {
    expect(toPricePerBushel(premiumAt(minneapolis, 12.3), 60)).toBeCloseTo(0.075, 10);
    expect(toPricePerBushel(premiumAt(northwest, 13.0), 60)).toBeCloseTo(0.24, 10);
    expect(toPricePerBushel(premiumAt(northwest, 14.5), 60)).toBeCloseTo(0.56, 10);
  });

  it("takes entries in any order, and none", () => {
    expect(premiumAt([...minneapolis].reverse(), 13)).toBeCloseTo(premiumAt(minneapolis, 13), 12);
    expect(premiumAt([], 13)).toBe(0);
  });
});

describe("qualityMoney", () => {
  const protein: ProteinResponse = {
    variety: "Ostrindel",
    strips: 40,
    centreSeedsPerM2: 300,
    slopePctPerSeedPerM2: -0.01,
    ownSlope: null,
    levels: [
      { environment: "2023 Hill", proteinPct: 13 },
      { environment: "2024 Hill", proteinPct: 15 },
    ],
  };
  const settings = {
    proteinSchedule: [
      { proteinPct: 12, premiumPerKg: 0 },
      { proteinPct: 14, premiumPerKg: 0.02 },
    ],
    lodgingCostPerHa: 0,
  };

  it("averages the premium over the seasons, not the protein", () => {
    const money = qualityMoney(protein, undefined, settings);
    // 13 and 15 % pay 0.01 and 0.02; the mean protein of 14 % would pay 0.02.
    expect(money.premiumPerKg(300)).toBeCloseTo(0.015, 12);
    // 50 seeds/m² more, 0.5 % less protein in each season: 12.5 and 14.5 % pay 0.005 and 0.02.
    expect(money.premiumPerKg(350)).toBeCloseTo(0.0125, 12);
    expect(money.costPerHa(300)).toBe(0);
  });

  it("costs what is lost where it lodges times the share expected to", () => {
    // One belief about log odds of 0 that no season moves: half of the field lodges, at any rate.
    const lodging: VarietyLodging = {
      variety: "Ostrindel",
      scale: "zero-to-nine",
      strips: 60,
      testedSeedsPerM2: [200, 500],
      centreSeedsPerM2: 300,
      chanceOfAny: 1,
      reason: "",
      seen: [],
      beliefs: [
        {
          weight: 1,
          level: 0,
          slope: 0,
          levelVariance: 0,
          slopeVariance: 0,
          covariance: 0,
          seasonVariance: 0,
        },
      ],
    };
    expect(
      qualityMoney(undefined, lodging, { ...settings, lodgingCostPerHa: 50 }).costPerHa(300),
    ).toBeCloseTo(25, 12);
    expect(qualityMoney(undefined, lodging, settings).costPerHa(300)).toBe(0);
    const unknown = { ...lodging, beliefs: [] };
    expect(qualityMoney(undefined, unknown, { ...settings, lodgingCostPerHa: 50 }).costPerHa(300)).toBe(0);
  });

  it("pays nothing for protein where nobody pays for it", () => {
    expect(qualityMoney(protein, undefined, { ...settings, proteinSchedule: [] }).premiumPerKg(300)).toBe(0);
  });

  it("is nothing where nothing is known", () => {
    const money = qualityMoney(undefined, undefined, { ...settings, lodgingCostPerHa: 50 });
    expect(money.premiumPerKg(300)).toBe(0);
    expect(money.costPerHa(300)).toBe(0);
  });
});
