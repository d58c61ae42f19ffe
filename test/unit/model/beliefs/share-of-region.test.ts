import { describe, expect, it } from "vitest";
import { normalCdf } from "../../../../src/maths/distributions.ts";
import { beliefsOfRegion, shareOfRegion } from "../../../../src/model/beliefs/region-beliefs.ts";
import { riseShapes } from "../../../../src/model/forms/believable-curve.ts";
import type { RegionNeeds } from "../../../../src/vocabulary/region.ts";
import { defaultSettings, unknownLot } from "../../../../src/vocabulary/settings.ts";

/** Needs of 300, farms that differ with an sd of 0.2, and no farm or variety of a farm that differs otherwise. */
const region: RegionNeeds = {
  farms: 20,
  unlike: [{ weight: 1, farmSdLog: 0.2, varietyOnFarmSdLog: 0, oddFarmShare: 0 }],
  varieties: ["Alder", "Birch", "Cedar"].map((variety) => ({
    variety,
    farms: 7,
    seasons: 3,
    strips: 600,
    testedSeedsPerM2: [200, 500],
    testedRates: 5,
    needSeedsPerM2: 300,
    lowerSeedsPerM2: 290,
    upperSeedsPerM2: 310,
    need: [
      {
        weight: 1,
        logNeed: Math.log(300),
        sd: 0.03,
        rises: riseShapes.map(({ share }) => share),
        lossMedian: 0.1,
        lossSdLog: 0.5,
      },
    ],
    lossMedian: 0.1,
    lossSdLog: 0.5,
    noResponseChance: 0.02,
    noDeclineChance: 0.5,
  })),
  grounds: [],
  water: null,
};
const { priors } = defaultSettings;
const settings = { ...defaultSettings, region, lots: [unknownLot("Alder"), unknownLot("Birch")] };
const farm = { beliefs: [], yieldKgPerHa: 4000, errorShare: 0.04, groundWeights: null };

describe("what a region says of varieties without strips", () => {
  it("is told of those that have a lot and no strips", () => {
    const named = (own: string[]): string[] =>
      beliefsOfRegion(region, settings, {
        ...farm,
        beliefs: own.map((variety) => ({ variety })) as never,
      }).map(({ variety }) => variety);
    expect(named([])).toEqual(["Alder", "Birch"]);
    expect(named(["Alder"])).toEqual(["Birch"]);
  });

  it("is the region's need, at the farm's level of yield", () => {
    const [belief] = beliefsOfRegion(region, settings, farm);
    expect(belief!.priorNeedSeedsPerM2).toBeCloseTo(300, 9);
    expect(belief!.meanYieldKgPerHa).toBe(4000);
    expect([belief!.environments, belief!.strips, belief!.leaning]).toEqual([0, 0, 0]);
    expect([belief!.stripsAtRates, belief!.movedPriors, belief!.fields]).toEqual([[], [], []]);
    expect([belief!.fieldShifts, belief!.fieldStrengths]).toEqual([[], []]);
    expect(belief!.region).toEqual({ farms: 7, leaning: 1, farmsBelow: 0.5 });
    // 19 of 20 as in the region, one of 20 as the priors state.
    expect(belief!.noResponseChance).toBeCloseTo(0.95 * 0.02 + 0.05 * priors.noResponseChance, 12);
    const yields = belief!.expectedKgPerHa;
    expect(belief!.ratesSeedsPerM2).toHaveLength(yields.length);
    expect(yields.reduce((sum, one) => sum + one, 0) / yields.length).toBeCloseTo(4000, 6);
    // Too thin a stand at 200, two thirds of the need, loses by about its loss of 0.1 at 0.6 of it, and yields rise to the need.
    expect(yields[0]!).toBeLessThan(3900);
    expect(yields[0]!).toBeGreaterThan(3500);
    expect(yields[40]!).toBeGreaterThan(yields[0]! + 100);
  });

  it("lies where the farm's other varieties put the farm", () => {
    // The usual places of a farm are eleven, half an sd apart, from 2.5 below; those of an odd one are seventeen more.
    const places = Array.from({ length: 28 }, (_, g) => (g === 0 ? 0.25 : g === 7 ? 0.75 : 0));
    const [belief] = beliefsOfRegion(region, settings, { ...farm, groundWeights: places });
    expect(belief!.priorNeedSeedsPerM2).toBeCloseTo(
      300 * Math.exp(0.25 * (-2.5 * 0.2) + 0.75 * (1 * 0.2)),
      9,
    );
  });
});

describe("how much a region adds to strips", () => {
  const needs = { from: Math.log(200), step: 0.3, count: 3 };
  const byNeed = Float64Array.of(1, 3, 2, 0, 1, 4);
  const withRegion = Float64Array.of(0.2, 0.1, 0.3, 0.1, 0.2, 0.1);
  const without = Float64Array.of(0.1, 0.2, 0.2, 0.1, 0.1, 0.3);

  it("is how far the needs move, and where the farm lies among others", () => {
    const share = shareOfRegion("Alder", region, priors, byNeed, withRegion, without, needs)!;
    expect(share.farms).toBe(7);
    // Each need over both spreads: 0.2, 0.3 + 0.2 and 0.6 + 0.4 with the region; 0.1, 0.6 + 0.1 and 0.4 + 1.2 without.
    const [one, other] = [
      [0.2, 0.5, 1].map((weight) => weight / 1.7),
      [0.1, 0.7, 1.6].map((weight) => weight / 2.4),
    ] as [number[], number[]];
    expect(share.leaning).toBeCloseTo(
      one.reduce((sum, weight, j) => sum + Math.abs(weight - other[j]!), 0) / 2,
      12,
    );
    // A variety on any farm: 19 of 20 as the region has it, with sds 0.03 and 0.2 together; one of 20 with 0.35 beside.
    const below = [0, 1, 2].map((j) => {
      const apart = Math.log(200) + 0.3 * j - Math.log(300);
      return (
        0.95 * normalCdf(apart / Math.hypot(0.03, 0.2)) +
        0.05 * normalCdf(apart / Math.hypot(0.03, 0.2, 0.35))
      );
    });
    expect(share.farmsBelow).toBeCloseTo(
      one.reduce((sum, weight, j) => sum + weight * below[j]!, 0),
      12,
    );
  });

  it("is nothing for a variety that it does not know", () => {
    expect(shareOfRegion("Dogwood", region, priors, byNeed, withRegion, without, needs)).toBeNull();
  });
});
