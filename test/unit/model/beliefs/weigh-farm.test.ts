/** A farm of two varieties weighed together, step by step from the parts that their own cases work by hand. */
import { describe, expect, it } from "vitest";
import {
  farmGrounds,
  farmGroundWeights,
  type CommonGround,
} from "../../../../src/model/beliefs/common-ground.ts";
import { farmStates, gridOf, wholeGrid, type Ray } from "../../../../src/model/beliefs/curve-grid.ts";
import {
  needOnAnyFarm,
  priorsOnFarm,
  regionGrounds,
  responseOdds,
  statedResponse,
} from "../../../../src/model/beliefs/lean-on-region.ts";
import {
  beforeStrips,
  explain,
  groundsAfter,
  leanOnOthers,
  needOnGrounds,
  standAlone,
} from "../../../../src/model/beliefs/lean-varieties.ts";
import { likelihoodInRegion } from "../../../../src/model/beliefs/likelihood-in-region.ts";
import { rateEvidence } from "../../../../src/model/beliefs/rate-evidence.ts";
import { recommendedFor } from "../../../../src/model/beliefs/recommended-rate.ts";
import { shareResponse } from "../../../../src/model/beliefs/share-response.ts";
import { likelihoodOf } from "../../../../src/model/beliefs/shared-misfit.ts";
import { gather, gatherLosses } from "../../../../src/model/beliefs/weigh-curves.ts";
import { weighFarm, type FarmBelief, type FarmOnGrids } from "../../../../src/model/beliefs/weigh-farm.ts";
import { riseShapes } from "../../../../src/model/forms/believable-curve.ts";
import type { RegionNeeds } from "../../../../src/vocabulary/region.ts";
import { defaultSettings, unknownLot, type Settings } from "../../../../src/vocabulary/settings.ts";
import { cellsByHand } from "./sums-by-hand.ts";

const needs = { from: Math.log(150), step: 0.15, count: 10 };

/** A region that knows Alder alone. */
const region: RegionNeeds = {
  farms: 20,
  unlike: [
    { weight: 0.6, farmSdLog: 0.07, varietyOnFarmSdLog: 0.08, oddFarmShare: 0.02 },
    { weight: 0.4, farmSdLog: 0.2, varietyOnFarmSdLog: 0.04, oddFarmShare: 0.2 },
  ],
  varieties: [
    {
      variety: "Alder",
      farms: 20,
      seasons: 3,
      strips: 600,
      testedSeedsPerM2: [200, 500],
      testedRates: 5,
      needSeedsPerM2: 320,
      lowerSeedsPerM2: 300,
      upperSeedsPerM2: 340,
      need: [
        {
          weight: 1,
          logNeed: Math.log(320),
          sd: 0.1,
          rises: riseShapes.map(({ share }) => share),
          lossMedian: 0.12,
          lossSdLog: 0.5,
        },
      ],
      lossMedian: 0.12,
      lossSdLog: 0.5,
      noResponseChance: 0.01,
      noDeclineChance: 0.6,
    },
  ],
  grounds: [],
  water: null,
};

/** Yields of two varieties at five rates, in one field and two seasons. */
const strips = {
  Alder: [3400, 3700, 3850, 3900, 3880],
  Birch: [3800, 3850, 3900, 3890, 3950],
};

function farmOf(
  settings: Settings,
  names: readonly (keyof typeof strips)[] = ["Alder", "Birch"],
): FarmOnGrids {
  const { priors } = settings;
  const states = farmStates(priors).slice(0, 3);
  const { patches } = wholeGrid(priors, [300, 300]);
  return {
    states,
    places: null,
    needs,
    priorNeedSeedsPerM2: 300,
    varieties: names.map((variety) => {
      const mine = [2023, 2024].map((season) =>
        rateEvidence(
          cellsByHand(
            strips[variety].map((one, i) => ["1", 180 + 70 * i, 1, one + 15 * (season - 2023) * (i % 2)]),
            { variety, season, environment: `${season} Hill` },
          ),
        )!,
      );
      const own = priorsOnFarm(priors, variety, settings.region);
      // Two of the shapes, so that it is quick.
      const grid = gridOf(
        { from: needs.from + 0.3, step: 0.1, count: 9 },
        patches.filter(({ shape, shoulder }) => shape < 2 && shoulder < 0.5),
        own,
        states,
      );
      const known = mine.map((one) => ({ ...one, error: { degrees: 8, ss: 0.004 } }));
      return { variety, own, grid, likelihood: likelihoodOf(known, grid, priors) };
    }),
  };
}

/** What is believed with these grounds and weights, the response of each variety shared among them or not. */
function step(
  { varieties, states, places, needs: whole }: FarmOnGrids,
  settings: Settings,
  { grounds, weights }: { grounds: readonly CommonGround[]; weights: readonly number[] },
  {
    flat = false,
    inRegion = false,
    aside = false,
    told = true,
    leanWeights = weights,
  }: {
    flat?: boolean;
    inRegion?: boolean;
    aside?: boolean;
    told?: boolean;
    leanWeights?: readonly number[];
  } = {},
) {
  const { priors } = settings;
  const onGrounds = (withRate: boolean) =>
    varieties.map(({ variety, grid }) =>
      needOnGrounds(variety, grid.needs, whole, grounds, withRate ? recommendedFor(variety, settings) : null),
    );
  const aloneNeeds = standAlone(onGrounds(true), beforeStrips(weights, states, flat));
  const likelihoods = varieties.map(({ variety, likelihood, grid, own }) =>
    inRegion && own !== priors
      ? likelihoodInRegion(likelihood, grid, needOnAnyFarm(variety, settings.region!, priors), own)
      : likelihood,
  );
  // Aside from the region, its losses and chances are taken off again.
  const odds = varieties.map(({ own }): ((ray: Ray) => number) =>
    aside && own !== priors ? responseOdds(statedResponse(priors), own) : () => 1,
  );
  const stated = varieties.map(({ own }) => (aside ? priors : own));
  const shared = flat
    ? stated.map(({ noResponseChance }) => ({ noResponseChance, timesPrior: () => 1 }))
    : shareResponse(
        varieties.map((_, v) => ({
          ...gatherLosses(likelihoods[v]!, aloneNeeds[v]!, odds[v]!),
          priors: stated[v]!,
        })),
      );
  const gathered = varieties.map(({ grid }, v) =>
    gather(likelihoods[v]!, grid, flat, (ray) => odds[v]!(ray) * shared[v]!.timesPrior(ray)),
  );
  const explained = onGrounds(told).map((one, v) => ({
    ...one,
    explained: explain(
      { ...gathered[v]!, noResponseChance: shared[v]!.noResponseChance },
      one,
      states.length,
    ),
  }));
  const before = beforeStrips(leanWeights, states, flat);
  return {
    aloneNeeds,
    gathered,
    chances: shared.map(({ noResponseChance }) => noResponseChance),
    needs: leanOnOthers(explained, before, states, places),
    ofGrounds: groundsAfter(explained, before, grounds.length),
  };
}

const near = (found: ArrayLike<number>, wanted: ArrayLike<number>): void => {
  expect(found).toHaveLength(wanted.length);
  Array.from(wanted).forEach((one, i) => expect(found[i]).toBeCloseTo(one, 9));
};
const expectBelief = (found: FarmBelief, wanted: ReturnType<typeof step>): void => {
  expect(found.needs).toHaveLength(wanted.needs.length);
  wanted.needs.forEach((one, v) => near(found.needs[v]!, one));
  wanted.gathered.forEach((one, v) => {
    near(found.weighed[v]!.gathered.byNeed, one.byNeed);
    expect(found.weighed[v]!.gathered.noResponse).toBeCloseTo(one.noResponse, 9);
    expect(found.weighed[v]!.response.noResponseChance).toBeCloseTo(wanted.chances[v]!, 9);
  });
};

const settingsOf = (some: Partial<Settings["priors"]>, more: Partial<Settings> = {}): Settings => ({
  ...defaultSettings,
  ...more,
  priors: { ...defaultSettings.priors, ...some },
});
const onFarm = ({ priors }: Settings, flat = false, about = 300) => ({
  grounds: farmGrounds(needs),
  weights: farmGroundWeights(needs, priors, flat, about),
});
const moved = (found: ReturnType<typeof weighFarm>) =>
  Object.fromEntries(found.underOtherPriors().map((one) => [one.prior, one]));

describe("a farm without a region", () => {
  it("shares how strongly yield answers, and leans each variety on the other", () => {
    const settings = settingsOf({});
    const farm = farmOf(settings);
    const found = weighFarm(farm, settings);
    const wanted = step(farm, settings, onFarm(settings));
    expectBelief(found.answer, wanted);
    wanted.aloneNeeds.forEach((one, v) => near(found.aloneNeeds[v]!, one));
    expect([found.withoutRegion, found.regionGroundWeights]).toEqual([null, null]);
  });

  it("is weighed under other priors as well", () => {
    const settings = settingsOf({});
    const farm = farmOf(settings);
    const found = weighFarm(farm, settings);
    const priors = moved(found);
    expect(Object.keys(priors)).toEqual(["flat", "alone", "need-lower", "need-higher"]);
    expectBelief(priors["flat"]!, {
      ...step(farm, settings, onFarm(settings, true), { flat: true }),
    });
    priors["alone"]!.needs.forEach((one, v) => near(one, found.aloneNeeds[v]!));
    priors["alone"]!.weighed.forEach(({ gathered, response }, v) => {
      const { likelihood, grid } = farm.varieties[v]!;
      near(gathered.byNeed, gather(likelihood, grid, false, () => 1).byNeed);
      expect(response.noResponseChance).toBe(settings.priors.noResponseChance);
    });
    const base = onFarm(settings);
    for (const [name, about] of [
      ["need-lower", 240],
      ["need-higher", 375],
    ] as const)
      expectBelief(
        priors[name]!,
        step(farm, settings, base, { leanWeights: onFarm(settings, false, about).weights }),
      );
  });

  it("has only even priors where they are asked for", () => {
    const settings = settingsOf({ flat: true });
    const farm = farmOf(settings);
    const found = weighFarm(farm, settings);
    const wanted = step(farm, settings, onFarm(settings, true), { flat: true });
    expectBelief(found.answer, wanted);
    wanted.aloneNeeds.forEach((one, v) => near(found.aloneNeeds[v]!, one));
    expectBelief(moved(found)["flat"]!, wanted);
  });

  it("takes a rate that came with a variety, and is told without it too", () => {
    const settings = settingsOf({}, { lots: [{ ...unknownLot("Birch"), recommendedSeedsPerM2: 400 }] });
    const farm = farmOf(settings);
    const found = weighFarm(farm, settings);
    expectBelief(found.answer, step(farm, settings, onFarm(settings)));
    const { "without-recommended": without } = moved(found);
    expectBelief(without!, step(farm, settings, onFarm(settings), { told: false }));
    expect(without!.needs[1]).not.toEqual(found.answer.needs[1]);
  });
});

describe("a farm in a region that knows one of its varieties", () => {
  it("stands on the region's grounds, and is told without them too", () => {
    const settings = settingsOf({}, { region });
    const farm = farmOf(settings);
    const found = weighFarm(farm, settings);
    const grounds = regionGrounds(region, settings.priors);
    const wanted = step(
      farm,
      settings,
      { grounds, weights: grounds.map(({ weight }) => weight) },
      { inRegion: true },
    );
    expectBelief(found.answer, wanted);
    wanted.aloneNeeds.forEach((one, v) => near(found.aloneNeeds[v]!, one));
    near(found.regionGroundWeights!, wanted.ofGrounds);
    const without = step(farm, settings, onFarm(settings), { aside: true });
    expectBelief(found.withoutRegion!, without);
    expect(Object.keys(moved(found)).at(-1)).toBe("without-region");
    expectBelief(moved(found)["without-region"]!, without);
  });

  it("stands on them with even priors, without the region's response", () => {
    const settings = settingsOf({ flat: true }, { region });
    const farm = farmOf(settings);
    const found = weighFarm(farm, settings);
    const grounds = regionGrounds(region, settings.priors);
    const weights = grounds.map(({ weight }) => weight);
    expectBelief(found.answer, step(farm, settings, { grounds, weights }, { flat: true }));
    expectBelief(found.withoutRegion!, step(farm, settings, onFarm(settings, true), { flat: true }));
  });
});
