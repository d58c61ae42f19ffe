import { describe, expect, it } from "vitest";
import { wholeGrid } from "../../../../src/model/beliefs/curve-grid.ts";
import {
  middleLogNeed,
  needOnAnyFarm,
  priorsOnFarm,
  regionGrounds,
  responseOdds,
  statedResponse,
} from "../../../../src/model/beliefs/lean-on-region.ts";
import type { NormalPart, RegionNeeds, RegionVariety } from "../../../../src/vocabulary/region.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";

const { priors } = defaultSettings;

/** A variety whose need has two parts, 270 and 330 seeds/m² at equal odds, each ± 5%; its loss is known to a tenth. */
const regionVariety = (variety: string, times: number, lossMedian = 0.05): RegionVariety => {
  const loss = { lossMedian, lossSdLog: 0.1 };
  const part = { weight: 0.5, sd: 0.05, rises: statedResponse(priors).rises, ...loss };
  return {
    variety,
    farms: 200,
    seasons: 3,
    strips: 9000,
    testedSeedsPerM2: [200, 500],
    testedRates: 5,
    needSeedsPerM2: 300,
    lowerSeedsPerM2: 280,
    upperSeedsPerM2: 320,
    need: [
      { ...part, logNeed: Math.log(270 * times) },
      { ...part, logNeed: Math.log(330 * times) },
    ],
    ...loss,
    noResponseChance: 0.01,
    noDeclineChance: 0.9,
  };
};
const regionOf = (...varieties: RegionVariety[]): RegionNeeds => ({
  farms: 200,
  grounds: [],
  water: null,
  varieties,
  unlike: [
    { weight: 0.75, farmSdLog: 0.1, varietyOnFarmSdLog: 0.08, oddFarmShare: 0.02 },
    { weight: 0.25, farmSdLog: 0.2, varietyOnFarmSdLog: 0.15, oddFarmShare: 0.2 },
  ],
});

/** Weight, mean and variance of a mixture of normal parts. */
function momentsOf(parts: readonly NormalPart[]): { weight: number; mean: number; variance: number } {
  const over = (of: (part: NormalPart) => number): number =>
    parts.reduce((sum, part) => sum + part.weight * of(part), 0);
  const weight = over(() => 1);
  const mean = over(({ logNeed }) => logNeed) / weight;
  return { weight, mean, variance: over(({ logNeed, sd }) => (logNeed - mean) ** 2 + sd ** 2) / weight };
}

describe("the need of a variety on any farm of its region", () => {
  const birch = regionVariety("Birch", 1);
  const middle = (Math.log(270) + Math.log(330)) / 2;
  // Half the difference of the two parts squared, and 5% squared.
  const ofRegion = (Math.log(330 / 270) / 2) ** 2 + 0.05 ** 2;
  // Farms as a whole, one in 50 or in 5 of them odd by 35%, and varieties on a farm, one in 20 of them odd by 35%.
  const ofFarms =
    0.75 * (0.98 * 0.1 ** 2 + 0.02 * 0.35 ** 2 + 0.95 * 0.08 ** 2 + 0.05 * 0.35 ** 2) +
    0.25 * (0.8 * 0.2 ** 2 + 0.2 * 0.35 ** 2 + 0.95 * 0.15 ** 2 + 0.05 * 0.35 ** 2);

  it("has the region's mean, and the variances of the region, of farms and of varieties on farms", () => {
    const { weight, mean, variance } = momentsOf(needOnAnyFarm("Birch", regionOf(birch), priors));
    expect(weight).toBeCloseTo(1, 12);
    expect(mean).toBeCloseTo(middle, 12);
    expect(variance).toBeCloseTo(ofRegion + ofFarms, 12);
    expect(middleLogNeed(birch)).toBeCloseTo(middle, 12);
  });

  it("is the same over all grounds, but for what their steps leave out at both ends", () => {
    const grounds = regionGrounds(regionOf(birch), priors);
    const parts = grounds.flatMap(({ weight, needOf }) =>
      needOf("Birch").map((part) => ({ ...part, weight: weight * part.weight })),
    );
    const { weight, mean, variance } = momentsOf(parts);
    expect(weight).toBeCloseTo(1, 12);
    expect(mean).toBeCloseTo(middle, 12);
    expect(variance / (ofRegion + ofFarms)).toBeGreaterThan(0.97);
    expect(variance / (ofRegion + ofFarms)).toBeLessThan(1);
  });

  it("lies about the others for one that the region does not know, as unlike them as they are to each other", () => {
    const others = [regionVariety("Birch", 1), regionVariety("Cedar", 1.5)];
    const { mean, variance } = momentsOf(needOnAnyFarm("Dogwood", regionOf(...others), priors));
    expect(mean).toBeCloseTo(middle + Math.log(1.5) / 2, 12);
    // Two squares of half the difference, and 15% squared for two varieties more, over three.
    const between = (2 * (Math.log(1.5) / 2) ** 2 + 2 * 0.15 ** 2) / 3;
    expect(variance).toBeCloseTo(between + ofFarms, 12);
  });

  it("answers as the region has it, and as the priors state where it is unlike the farm's others", () => {
    const parts = needOnAnyFarm("Birch", regionOf(birch), priors);
    const stated = parts.filter(({ response }) => response.lossMedian === priors.lossMedian);
    expect(momentsOf(stated).weight).toBeCloseTo(0.05, 12);
    for (const { response } of parts)
      if (response.lossMedian !== priors.lossMedian)
        expect(response).toMatchObject({ lossMedian: 0.05, lossSdLog: 0.1, noDeclineChance: 0.9 });
  });
});

describe("the priors that a farm's curves are laid under", () => {
  it("are the stated ones without a region, and for a variety that it does not know", () => {
    expect(priorsOnFarm(priors, "Birch", null)).toBe(priors);
    expect(priorsOnFarm(priors, "Dogwood", regionOf(regionVariety("Birch", 1)))).toBe(priors);
  });

  it("are the region's at 19 of 20, and the stated ones at one of 20", () => {
    const own = priorsOnFarm(
      priors,
      "Birch",
      regionOf(regionVariety("Cedar", 1, 0.2), regionVariety("Birch", 1)),
    );
    expect(own.noResponseChance).toBeCloseTo(0.95 * 0.01 + 0.05 * 0.05, 12);
    expect(own.noDeclineChance).toBeCloseTo(0.95 * 0.9 + 0.05 * 0.5, 12);
    expect(own.lossMedian).toBe(0.05);
    // About the region's median: 0.8 is the stated sd, 0.08 the stated median.
    expect(own.lossSdLog ** 2).toBeCloseTo(
      0.95 * 0.1 ** 2 + 0.05 * (0.8 ** 2 + Math.log(0.08 / 0.05) ** 2),
      12,
    );
    expect(own.needSdLog).toBe(priors.needSdLog);
  });
});

it.each([0.009, 0.05, 0.4])(
  "a farm that is unlike a region sure of a loss of %f may still lose what the priors state",
  (lossMedian) => {
    const own = priorsOnFarm(priors, "Birch", regionOf(regionVariety("Birch", 1, lossMedian)));
    const odds = responseOdds(statedResponse(priors), own);
    const { rays } = wholeGrid(own, [300, 300]);
    // Weights of the region's priors times the odds are those of the stated priors, and sum to as much.
    const weights = rays.map((ray) => Math.exp(ray.logPrior) * odds(ray));
    expect(Math.max(...weights)).toBeLessThan(1);
    expect(weights.reduce((sum, weight) => sum + weight, 0)).toBeCloseTo(1, 9);
  },
);
