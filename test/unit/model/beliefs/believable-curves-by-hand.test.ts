/** What is believed of two varieties, put together here from parts that their own cases work by hand. */
import { mean } from "simple-statistics";
import { describe, expect, it } from "vitest";
import { believeCurves } from "../../../../src/model/beliefs/believable-curves.ts";
import { farmStates, needAxis, wholeGrid } from "../../../../src/model/beliefs/curve-grid.ts";
import { fieldPlaces } from "../../../../src/model/beliefs/field-places.ts";
import { fieldStrengths } from "../../../../src/model/beliefs/field-strengths.ts";
import { priorsOnFarm } from "../../../../src/model/beliefs/lean-on-region.ts";
import { pickCurves } from "../../../../src/model/beliefs/pick-curves.ts";
import { ratesEvidence, type CellsOfVariety } from "../../../../src/model/beliefs/rate-evidence.ts";
import { rateTable, throughMean } from "../../../../src/model/beliefs/rate-table.ts";
import { believableStates, layGrid, weighGrid } from "../../../../src/model/beliefs/refine-grid.ts";
import { shareOfRegion } from "../../../../src/model/beliefs/region-beliefs.ts";
import { withErrors, usualErrorShare } from "../../../../src/model/beliefs/strip-error.ts";
import { expecting, movedBy } from "../../../../src/model/beliefs/weigh-curves.ts";
import { weighFarm, type FarmBelief } from "../../../../src/model/beliefs/weigh-farm.ts";
import { averageOverSeasons, riseShapes } from "../../../../src/model/forms/believable-curve.ts";
import { crops } from "../../../../src/vocabulary/crops.ts";
import type { Belief } from "../../../../src/vocabulary/result.ts";
import type { RegionNeeds, RegionVariety } from "../../../../src/vocabulary/region.ts";
import { defaultSettings, unknownLot, type Settings } from "../../../../src/vocabulary/settings.ts";
import { cellsByHand, type Cell } from "./sums-by-hand.ts";

/** Birch answers to the rate, Alder hardly. */
const cellsOf = (variety: string, season: number, field: string, loss: number): CellsOfVariety =>
  cellsByHand(
    [180, 260, 340, 420].flatMap((rate, i) =>
      ["1", "2"].map((block, b): Cell => [
        block,
        rate + (variety === "Birch" ? 10 : 0),
        1,
        3900 *
          (1 - loss * ((Math.min(rate / 330, 1) - 1) / 0.4) ** 2 + 0.01 * Math.sin(5 * i + 3 * b + season)),
      ]),
    ),
    { variety, season, environment: `${season} ${field}` },
  );
const trial = [
  cellsOf("Birch", 2023, "Hill", 0.15),
  cellsOf("Birch", 2024, "Hill", 0.12),
  cellsOf("Alder", 2024, "Hill", 0.002),
];

const regionVariety = (variety: string, need: number): RegionVariety => ({
  variety,
  farms: 20,
  seasons: 3,
  strips: 600,
  testedSeedsPerM2: [200, 500],
  testedRates: 5,
  needSeedsPerM2: need,
  lowerSeedsPerM2: 0.9 * need,
  upperSeedsPerM2: 1.1 * need,
  need: [
    {
      weight: 1,
      logNeed: Math.log(need),
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
});
const region: RegionNeeds = {
  farms: 20,
  unlike: [{ weight: 1, farmSdLog: 0.07, varietyOnFarmSdLog: 0.08, oddFarmShare: 0.02 }],
  varieties: [regionVariety("Alder", 320), regionVariety("Beech", 520)],
  grounds: [],
  water: null,
};
const settingsOf = (priors: Partial<Settings["priors"]> = {}, more: Partial<Settings> = {}): Settings => ({
  ...defaultSettings,
  ...more,
  priors: { ...defaultSettings.priors, ...priors },
});

/** Each variety on its grid and weighed, with the need first looked for between two rates. */
function weighed(
  cells: readonly CellsOfVariety[],
  settings: Settings,
  prior: number,
  around: readonly [number, number],
) {
  const evidence = ratesEvidence(cells);
  const { priors } = settings;
  const known = withErrors(evidence, priors);
  const ofVarieties = ["Alder", "Birch"].map((variety) => ({
    variety,
    mine: known.filter((one) => one.variety === variety),
  }));
  const all = farmStates(priors);
  const laid = ofVarieties.map(({ variety, mine }) => {
    const own = priorsOnFarm(priors, variety, settings.region);
    return layGrid(mine, wholeGrid(own, around, all), own);
  });
  const states = believableStates(all, laid);
  const varieties = ofVarieties.map((one, v) => {
    const own = priorsOnFarm(priors, one.variety, settings.region);
    return { ...one, own, ...weighGrid(one.mine, laid[v]!, states, own) };
  });
  const farm = { varieties, states, places: null, needs: needAxis(around), priorNeedSeedsPerM2: prior };
  return { farm, evidence, ...weighFarm(farm, settings) };
}

/** No response is what differs by no more than a hundredth between the rates tested, on average over the fields. */
function chanceOfLevel({ curves, stripsAtRates, fieldShifts }: Belief): number {
  const tested = stripsAtRates.map(({ rateSeedsPerM2 }) => rateSeedsPerM2);
  const level = curves.filter((curve) => {
    const yields = averageOverSeasons(curve, tested, fieldShifts[curve.place] ?? []);
    return Math.max(...yields) - Math.min(...yields) <= 0.01;
  });
  return level.reduce((sum, { weight }) => sum + weight, 0);
}

const expectBeliefs = (
  found: ReturnType<typeof believeCurves>,
  { farm, evidence, answer, aloneNeeds, withoutRegion, underOtherPriors }: ReturnType<typeof weighed>,
  settings: Settings,
): void => {
  const { priors } = settings;
  farm.varieties.forEach(({ variety, mine, grid }, v) => {
    const belief = found.find((one) => one.variety === variety)!;
    const table = rateTable(mine);
    const expect0 = ({ weighed: ofFarm, needs }: FarmBelief): number[] =>
      throughMean(
        expecting(grid, table.rates)(ofFarm[v]!.gathered, {
          weights: needs[v]!,
          noResponseChance: ofFarm[v]!.response.noResponseChance,
        }),
        table,
      );
    const { likelihood, gathered, response } = answer.weighed[v]!;
    expect(belief).toMatchObject({
      meanYieldKgPerHa: table.meanYield,
      priorNeedSeedsPerM2: farm.priorNeedSeedsPerM2,
      errorShare: usualErrorShare(evidence, priors),
      ratesSeedsPerM2: table.rates,
      expectedKgPerHa: expect0(answer),
      movedPriors: underOtherPriors().map((one) => ({ prior: one.prior, expectedKgPerHa: expect0(one) })),
      curves: pickCurves(likelihood, gathered, answer.needs[v]!, response, grid),
      stripsAtRates: table.strips,
      fields: [],
      fieldShifts: [],
      chanceFieldsDiffer: null,
      leaning: movedBy(gathered.byNeed, aloneNeeds[v]!, answer.needs[v]!, grid.needs.count),
      region:
        withoutRegion &&
        shareOfRegion(
          variety,
          settings.region!,
          priors,
          gathered.byNeed,
          answer.needs[v]!,
          withoutRegion.needs[v]!,
          grid.needs,
        ),
    });
    expect(belief.noResponseChance).toBeCloseTo(chanceOfLevel(belief), 12);
    expect(belief.fieldStrengths).toEqual([]);
  });
};

describe("what is believed of a farm's varieties", () => {
  it("is put together from what their strips and a region say, sorted by variety", () => {
    const settings = settingsOf({}, { region, lots: ["Alder", "Beech"].map(unknownLot) });
    const found = believeCurves(trial, settings);
    expect(found.map(({ variety }) => variety)).toEqual(["Alder", "Beech", "Birch"]);
    const [alder, beech, birch] = found;
    // Strips are 4 × 2 in each field and season.
    expect(birch).toMatchObject({
      environments: 2,
      strips: 16,
      testedRates: 4,
      testedSeedsPerM2: [190, 430],
    });
    expect(alder).toMatchObject({ environments: 1, strips: 8, testedSeedsPerM2: [180, 420] });
    // Midway between the usual rate and the middle of 180 and 430, in logs; Beech needs 520 in the region.
    const prior = Math.sqrt(crops[settings.crop].usualSeedsPerM2 * 305);
    expectBeliefs(found, weighed(trial, settings, prior, [Math.min(prior, 305), 520]), settings);
    expect(alder!.noResponseChance).toBeGreaterThan(birch!.noResponseChance);
    // Without strips of its own Beech is taken to yield as both others on average.
    expect(beech).toMatchObject({ strips: 0, errorShare: alder!.errorShare });
    expect(mean(beech!.expectedKgPerHa)).toBeGreaterThan(0.9 * alder!.meanYieldKgPerHa);
    expect(beech!.meanYieldKgPerHa).toBeCloseTo((alder!.meanYieldKgPerHa + birch!.meanYieldKgPerHa) / 2, 8);
  });

  it("tells fields apart that were seen side by side", () => {
    const settings = settingsOf({ needSeedsPerM2: 300 });
    const cells = [cellsOf("Birch", 2024, "Hill", 0.12), cellsOf("Birch", 2024, "Flat", 0.3)];
    const [birch] = believeCurves(cells, settings, false);
    const mine = withErrors(ratesEvidence(cells), settings.priors);
    // The middle of the rates tested is 310.
    const { places, chanceTheyDiffer } = fieldPlaces([{ mine }], [300, 310], 300, settings.priors)!;
    expect(birch).toMatchObject({
      fields: ["Flat", "Hill"],
      fieldShifts: places.map(({ shifts }) => [shifts.get("Flat"), shifts.get("Hill")]),
      chanceFieldsDiffer: chanceTheyDiffer,
      noResponseChance: chanceOfLevel(birch!),
      fieldStrengths: fieldStrengths([{ mine, belief: birch! }], settings.priors),
    });
    expect(birch!.fieldStrengths).toHaveLength(2);
  });

  it("looks about the need that is set, and tries no other priors where none are asked for", () => {
    const settings = settingsOf({ needSeedsPerM2: 250 });
    const [alder, ...others] = believeCurves(trial.slice(2), settings, false);
    expect(others).toEqual([]);
    expect(alder).toMatchObject({
      variety: "Alder",
      priorNeedSeedsPerM2: 250,
      movedPriors: [],
      fields: [],
      fieldShifts: [],
      chanceFieldsDiffer: null,
      region: null,
    });
  });
});

describe("strips at one rate", () => {
  const one: CellsOfVariety[] = [
    cellsByHand(
      [
        ["1", 300, 1, 4000],
        ["2", 300, 3, 4400],
      ],
      { variety: "Alder" },
    ),
    cellsByHand([["1", 280, 1, 3000]], { variety: "Birch" }),
    cellsByHand([], { variety: "Cedar" }),
  ];

  it("say nothing of any curve", () => {
    expect(believeCurves(one, settingsOf())).toEqual([]);
  });

  it("have a mean yield for what a region says, each variety and field as much", () => {
    const found = believeCurves(one, settingsOf({}, { region, lots: ["Alder", "Beech"].map(unknownLot) }));
    expect(found.map(({ variety }) => variety)).toEqual(["Alder", "Beech"]);
    // (4200 + 3000) ÷ 2.
    for (const belief of found) {
      expect(belief.meanYieldKgPerHa).toBeCloseTo(3600, 8);
      expect(belief.errorShare).toBe(usualErrorShare([], defaultSettings.priors));
    }
  });
});
