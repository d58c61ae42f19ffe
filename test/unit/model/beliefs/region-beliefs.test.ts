import { describe, expect, it } from "vitest";
import { believeCurves } from "../../../../src/model/beliefs/believable-curves.ts";
import { riseShapes } from "../../../../src/model/forms/believable-curve.ts";
import { fromPerAcre } from "../../../../src/numbers/units.ts";
import type { FarmsUnlike, RegionNeeds, RegionVariety } from "../../../../src/vocabulary/region.ts";
import { defaultSettings, unknownLot } from "../../../../src/vocabulary/settings.ts";

const million = (rate: number): number => fromPerAcre(rate * 1e6);

const regionVariety = (variety: string, need: number): RegionVariety => ({
  variety,
  farms: 20,
  seasons: 3,
  strips: 600,
  testedSeedsPerM2: [million(0.8), million(2)],
  testedRates: 5,
  needSeedsPerM2: million(need),
  lowerSeedsPerM2: million(0.97 * need),
  upperSeedsPerM2: million(1.03 * need),
  need: [
    {
      weight: 1,
      logNeed: Math.log(million(need)),
      sd: 0.03,
      rises: riseShapes.map(({ share }) => share),
      lossMedian: 0.1,
      lossSdLog: 0.5,
    },
  ],
  lossMedian: 0.1,
  lossSdLog: 0.5,
  noResponseChance: 0.01,
  noDeclineChance: 0.5,
});

type Sds = Omit<FarmsUnlike, "weight">;

const region = (unlike: Sds): RegionNeeds => ({
  farms: 20,
  unlike: [{ weight: 1, ...unlike }],
  varieties: [regionVariety("Alder", 1.2), regionVariety("Birch", 1.4)],
  grounds: [],
  water: null,
});

/** Strips without error of a variety that needs so many seeds. */
const stripsOf = (variety: string, need: number) => ({
  variety,
  environment: "2026",
  season: 2026,
  withinCellSs: 0,
  cells: ["1", "2", "3"].flatMap((block) =>
    [0.8, 1.1, 1.4, 1.7, 2].map((rate) => ({
      block,
      rateSeedsPerM2: million(rate),
      strips: 1,
      meanYieldKgPerHa: 4000 * (1 - 0.1 * (Math.min(rate / need - 1, 0) / 0.4) ** 2),
    })),
  ),
});

/** Mean log need of Birch, which has no strips, where Alder's strips show so high a need. */
function needOfBirch(needOfAlder: number, unlike: Sds): number {
  const settings = { ...defaultSettings, region: region(unlike), lots: [unknownLot("Birch")] };
  const { curves } = believeCurves([stripsOf("Alder", needOfAlder)], settings, false).find(
    ({ variety }) => variety === "Birch",
  )!;
  return curves.reduce((sum, { weight, needSeedsPerM2 }) => sum + weight * Math.log(needSeedsPerM2), 0);
}

describe("a variety that only the region knows", () => {
  it("is taken to need more on a farm whose other varieties need more than in the region", () => {
    const farmsUnlike = { farmSdLog: 0.2, varietyOnFarmSdLog: 0.03, oddFarmShare: 0.04 };
    const more = needOfBirch(1.7, farmsUnlike) - needOfBirch(1.2, farmsUnlike);
    expect(more).toBeGreaterThan(0.1);
    // At most by as much as Alder.
    expect(more).toBeLessThan(Math.log(1.7 / 1.2));
  });

  it("is taken as in the region where farms as a whole do not differ", () => {
    const varietiesUnlike = { farmSdLog: 0, varietyOnFarmSdLog: 0.2, oddFarmShare: 0 };
    expect(needOfBirch(1.7, varietiesUnlike)).toBeCloseTo(needOfBirch(1.2, varietiesUnlike), 10);
  });
});
