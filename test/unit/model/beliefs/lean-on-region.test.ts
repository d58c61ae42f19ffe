import { expect, it } from "vitest";
import { wholeGrid } from "../../../../src/model/beliefs/curve-grid.ts";
import { priorsOnFarm, responseOdds, statedResponse } from "../../../../src/model/beliefs/lean-on-region.ts";
import type { RegionNeeds } from "../../../../src/vocabulary/region.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";

const { priors } = defaultSettings;

/** A region that knows the loss of one variety to a tenth. */
const regionThatKnows = (lossMedian: number): RegionNeeds => {
  const response = { ...statedResponse(priors), lossMedian, lossSdLog: 0.1 };
  return {
    varieties: [
      {
        variety: "Birch",
        farms: 200,
        seasons: 3,
        strips: 9000,
        testedSeedsPerM2: [200, 500],
        testedRates: 5,
        needSeedsPerM2: 300,
        lowerSeedsPerM2: 280,
        upperSeedsPerM2: 320,
        need: [{ weight: 1, logNeed: Math.log(300), sd: 0.05, ...response }],
        lossMedian,
        lossSdLog: 0.1,
        noResponseChance: 0,
        noDeclineChance: 1,
      },
    ],
    farms: 200,
    grounds: [],
    water: null,
    unlike: [{ weight: 1, farmSdLog: 0.07, varietyOnFarmSdLog: 0.08, oddFarmShare: 0.02 }],
  };
};

it.each([0.009, 0.05, 0.4])(
  "a farm that is unlike a region sure of a loss of %f may still lose what the priors state",
  (lossMedian) => {
    const own = priorsOnFarm(priors, "Birch", regionThatKnows(lossMedian));
    const odds = responseOdds(statedResponse(priors), own);
    const { rays } = wholeGrid(own, [300, 300]);
    // Weights of the region's priors times the odds are those of the stated priors, and sum to as much.
    const weights = rays.map((ray) => Math.exp(ray.logPrior) * odds(ray));
    const most = Math.max(...weights);
    expect(most).toBeLessThan(1);
    expect(weights.reduce((sum, weight) => sum + weight, 0)).toBeCloseTo(1, 9);
  },
);
