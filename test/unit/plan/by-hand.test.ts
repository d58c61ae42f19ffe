/** The planner's sums on curves so plain that each can be worked on paper; the arithmetic stands beside its number. */
import { describe, expect, it } from "vitest";
import { random } from "../../../src/maths/random.ts";
import { askedRates, plainRates, setUpCandidate, type KnownVariety } from "../../../src/plan/candidate.ts";
import { dEfficiency } from "../../../src/plan/d-efficiency.ts";
import { growOnPaper, readOutcome, varietiesOnPaper } from "../../../src/plan/grow-on-paper.ts";
import { measureGround } from "../../../src/plan/lay-out-strips.ts";
import { bestRates, expectedNet, nearestRate } from "../../../src/plan/outlook.ts";
import { rangeToldNow, planVariety } from "../../../src/plan/plan-variety.ts";
import { fTestPower } from "../../../src/plan/power.ts";
import { setUpBench, simulateTrials } from "../../../src/plan/simulate-trials.ts";
import {
  chooseOption,
  errorDegreesOfFreedom,
  roughParts,
  weighOptions,
} from "../../../src/plan/size-trial.ts";
import { defaultSettings } from "../../../src/vocabulary/settings.ts";
import { seedsPerM2 } from "../../../src/numbers/units.ts";
import type { BelievableCurve, Result } from "../../../src/vocabulary/result.ts";
import type { PlanOption, StripPlan } from "../../../src/vocabulary/strip-plan.ts";
import { outlookOf } from "./outlooks.ts";
import { lotAt300, quarterMile, request } from "./requests.ts";

const units = { system: "metric", currency: "€" } as const;
const rates = [100, 200, 300, 400, 500, 600];

/** A variety of one believable curve: money falls from 900 at 300 seeds/m² by 1 for each 100 seeds, squared. */
const single = outlookOf(
  rates,
  [{ weight: 1, yields: () => 4000, net: (rate) => 900 - ((rate - 300) / 100) ** 2 }],
  120,
);

const variety = (changes: Partial<KnownVariety> = {}): KnownVariety => ({
  outlook: single,
  curves: [],
  yieldKgPerHa: 4000,
  rateNowSeedsPerM2: 400,
  now: 3,
  lot: null,
  rangeNow: null,
  testedSeedsPerM2: [200, 500],
  lodgingChanceAtHighest: 0.1,
  pastStrips: 24,
  pastEnvironments: 2,
  ...changes,
});

describe("the best rate of a curve", () => {
  it("is the top of its parabola, on rates that lie unevenly", () => {
    const rates = [100, 180, 210, 300, 420];
    const tops = [190, 205, 260];
    const curves = tops.map((top) => ({
      weight: 1,
      yields: () => 0,
      net: (rate: number) => -((rate - top) ** 2),
    }));
    for (const [k, best] of bestRates(outlookOf(rates, curves, 1)).entries())
      expect(best).toBeCloseTo(tops[k]!, 9);
  });

  it("is the end of the rates where money still rises or falls there", () => {
    const curves = [1, -1].map((slope) => ({
      weight: 1,
      yields: () => 0,
      net: (rate: number) => slope * rate,
    }));
    expect([...bestRates(outlookOf([100, 200, 300], curves, 1))]).toEqual([300, 100]);
  });
});

describe("error degrees of freedom", () => {
  it("are those of the rice trial, 6 rates in 4 blocks: 15 (Gomez & Gomez 1984, p. 26)", () => {
    expect(errorDegreesOfFreedom("blocks", 1, 6, 4)).toBe(15);
  });

  it("are those of the oats split plot, 4 rates inside 3 varieties, 6 blocks: 45 (Yates 1935)", () => {
    expect(errorDegreesOfFreedom("varieties-in-strips", 3, 4, 6)).toBe(45);
  });

  it("are those of the oats' main strips, 3 levels, 6 blocks: 10 (Yates 1935)", () => {
    expect(errorDegreesOfFreedom("rates-in-strips", 4, 3, 6)).toBe(10);
  });
});

describe("what curves make together", () => {
  // Weights 1 : 3. At 100: 0.25 × 10 + 0.75 × 30 = 25; at 200: 0.25 × 20 + 0.75 × 10 = 12.5.
  const two = outlookOf(
    [100, 200],
    [
      { weight: 1, yields: () => 0, net: (rate) => rate / 10 },
      { weight: 3, yields: () => 0, net: (rate) => 50 - rate / 5 },
    ],
    1,
  );

  it("is the mean of their money by weight, the outlook's or others", () => {
    expect([...expectedNet(two)]).toEqual([25, 12.5]);
    expect([...expectedNet(two, Float64Array.of(1, 0))]).toEqual([10, 20]);
    // What an earlier call left behind does not count.
    expect([...expectedNet(two, Float64Array.of(0, 1), Float64Array.of(7, 7))]).toEqual([30, 10]);
  });

  it("finds the nearest rate", () => {
    expect([240, 260, 20, 900].map((wanted) => nearestRate(rates, wanted))).toEqual([1, 2, 0, 5]);
    // As near to both: the lower.
    expect(nearestRate(rates, 250)).toBe(1);
  });

  it("values knowing all, and the chances, by hand", () => {
    // Now 100 seeds. Best as things stand: 100 with 25. Under the second curve nothing is lost; under the first, of weight
    // 0.25, 20 − 10 = 10: worth 2.5. It gains 10 over today's rate with a chance of 0.25, and the best now is today's rate.
    const draws = { search: 1, general: 1, withGain: 1, longest: 2 };
    const bench = setUpBench(two, 0, 10, draws, random(1, "by hand"));
    expect(bench.bestNow).toBe(0);
    expect(bench.valueOfKnowingAllPerHa).toBe(2.5);
    expect(bench.chanceOfGain).toBe(0.25);
    expect(bench.chanceToBeatNow).toBe(0);
    expect(bench.withGain?.curves).toEqual(Uint32Array.of(0));
    expect(setUpBench(two, 0, 10.01, draws, random(1, "by hand"))).toMatchObject({
      chanceOfGain: 0,
      withGain: null,
    });
    // Now 200 seeds: the first curve alone is no better at 100, the second by 20.
    expect(setUpBench(two, 1, 20, draws, random(1, "by hand"))).toMatchObject({
      chanceToBeatNow: 0.75,
      chanceOfGain: 0.75,
    });
    // Where 200 alone may be chosen, 0.75 × (30 − 10) is left to know.
    const tested = { ...two, tested: [1, 1] as [number, number] };
    expect(setUpBench(tested, 1, 1, draws, random(1, "by hand"))).toMatchObject({
      bestNow: 1,
      valueOfKnowingAllPerHa: 15,
    });
    expect(simulateTrials(bench, { at: [0, 1], blocks: 1, errorSdKgPerHa: 1 }).valuePerHa).toBe(0);
  });
});

describe("rates of a candidate", () => {
  it("are those asked for, each at its nearest, else evenly apart about what may be best and today's", () => {
    const given = request({ ratesSeedsPerM2: [190, 420].map(seedsPerM2), ratesPerVariety: 5 });
    const candidate = setUpCandidate(given, variety(), defaultSettings);
    expect(askedRates(given)).toBe(2);
    expect(plainRates(given, candidate, 5)).toEqual([1, 3]);
    expect(askedRates(request({ ratesPerVariety: 5 }))).toBe(5);
    expect(askedRates(request())).toBeNull();
    // Best rate 300 for certain: 255 to 345 holds 300 alone, with today's 400 two; so do 232 to 367 and 199 to 401 three
    // (200, 300, 400) at the next steps of reach, 15% × 1.5 and × 2.25.
    expect(plainRates(request(), candidate, 3)).toEqual([1, 2, 3]);
  });
});

describe("the size of a trial, by hand", () => {
  const sized = (changes: Partial<PlanOption>): PlanOption => ({
    blocks: 4,
    ratesPerVariety: 5,
    strips: 20,
    fits: true,
    intervalWidthSeedsPerM2: 50,
    chanceToSeeGain: null,
    valuePerHa: 1,
    value: null,
    cost: 100,
    pays: null,
    test: { errorSdKgPerHa: 1, errorDf: 1, lsdKgPerHa: null, lsdPerHa: null, power: null },
    ...changes,
  });

  it("has most value above its cost, three blocks of four rates at least", () => {
    const small = sized({ blocks: 3, ratesPerVariety: 4, strips: 12, value: 300, cost: 100 }); // 200
    const usual = sized({ value: 450, cost: 240 }); // 210
    const fewBlocks = sized({ blocks: 2, strips: 10, value: 900, cost: 100 });
    const fewRates = sized({ ratesPerVariety: 3, strips: 12, value: 900, cost: 100 });
    expect(chooseOption(request(), [small, usual], 1)).toBe(usual);
    expect(chooseOption(request(), [usual, small], 1)).toBe(usual);
    expect(chooseOption(request(), [fewBlocks, fewRates, small], 1)).toBe(small);
    expect(chooseOption(request(), [fewBlocks, { ...fewRates, value: 901 }], 1)?.value).toBe(901);
    // Of the same worth, the first.
    expect(chooseOption(request(), [small, { ...usual, cost: 250 }], 1)).toBe(small);
  });

  it("keeps to the strips, the ground and the blocks that were asked for", () => {
    const usual = sized({ value: 500 });
    const large = sized({ blocks: 5, strips: 25, value: 900 });
    const wide = sized({ blocks: 3, strips: 15, value: 950, fits: false });
    // 4 blocks × 5 rates × 1 variety = 20 strips where nobody says more.
    expect(chooseOption(request(), [usual, large, wide], 1)).toBe(usual);
    expect(chooseOption(request(), [usual, large, wide], 2)).toBe(large);
    expect(chooseOption(request({ mostStrips: 25 }), [usual, large, wide], 1)).toBe(large);
    expect(chooseOption(request({ mostStrips: 24 }), [usual, large, wide], 1)).toBe(usual);
    expect(chooseOption(request({ blocks: 4, mostStrips: 30 }), [usual, large, wide], 1)).toBe(usual);
    expect(chooseOption(request({ blocks: 5 }), [usual, large], 1)).toBeNull();
    // Both said: that size, how many strips it takes and whether it fits or not; the layout then says why not.
    expect(chooseOption(request({ blocks: 5, ratesPerVariety: 5 }), [usual, large], 1)).toBe(large);
    expect(chooseOption(request({ blocks: 3, ratesPerVariety: 5 }), [usual, wide], 1)).toBe(wide);
    // One of both said: it still has to fit.
    expect(chooseOption(request({ ratesPerVariety: 5 }), [wide, usual], 1)).toBe(usual);
    expect(chooseOption(request(), [], 1)).toBeNull();
  });

  it("is the usual one where no area is known, or within the strips allowed the one of most value a hectare", () => {
    const usual = sized({ valuePerHa: 2 });
    const better = sized({ blocks: 5, ratesPerVariety: 4, valuePerHa: 3 });
    const least = sized({ blocks: 3, strips: 15, valuePerHa: 1 });
    expect(chooseOption(request(), [least, better, usual], 1)).toBe(usual);
    expect(chooseOption(request({ mostStrips: 20 }), [least, better, usual], 1)).toBe(better);
    const others = [{ ...usual, blocks: 3 }, { ...usual, ratesPerVariety: 4 }, better];
    expect(chooseOption(request(), others, 1)).toBe(better);
  });

  it("gives each variety a share of the simulated trials by its area", () => {
    const candidates = (areas: (number | null)[]) =>
      areas.map((areaHa) =>
        setUpCandidate(request(), variety({ lot: lotAt300("Ostrindel", areaHa) }), defaultSettings),
      );
    // Up to twelve varieties: 12 × 1/12 and more is all of 0.4.
    expect(roughParts(candidates([10, 30]))).toEqual([0.4, 0.4]);
    const many = Array.from({ length: 24 }, () => null);
    // 12 × 1/24 = a half of 0.4.
    for (const part of roughParts(candidates(many))) expect(part).toBeCloseTo(0.2, 12);
    // 23 of 1 ha and one of 2 ha: 12 × 1/24 (1/25 is less) and 12 × 2/25 = 0.96 of 0.4.
    const parts = roughParts(candidates([2, ...Array.from({ length: 23 }, () => 1)]));
    expect(parts[0]).toBeCloseTo(0.384, 12);
    expect(parts[1]).toBeCloseTo(0.2, 12);
  });

  describe("and what it costs and shows", () => {
    const money = { ...defaultSettings, grainPricePerKg: 0.2, testLevel: 0.05 };
    const asked = request({
      ratesSeedsPerM2: [300, 400, 500].map(seedsPerM2),
      layout: "blocks",
      costPerStrip: 20,
      gainPerHa: 40,
      ground: {
        ...quarterMile,
        fieldLengthM: 400,
        fieldWidthM: 132,
        drillWidthM: 12,
        harvestWidthM: 9,
        edgeM: 0.5,
        alleyM: 20,
        shortestStripM: 100,
        borderStrips: 1,
      },
    });
    const room = measureGround(asked.ground, units);
    const options = (areas: (number | null)[], sds = [120, 160]) =>
      weighOptions(
        asked,
        room,
        areas.map((areaHa, i) =>
          setUpCandidate(
            asked,
            variety({
              outlook: { ...single, variety: `V${i}`, errorSdKgPerHa: sds[i]! },
              lot: areaHa === null ? null : lotAt300(`V${i}`, areaHa),
            }),
            money,
          ),
        ),
        money,
      );

    it("counts strips, work, and money lost beside the best rate", () => {
      // 132 m ÷ 12 m = 11 passes, less two borders: 9 strips across; (400 + 20) ÷ (100 + 20) = 3.5: three rows.
      expect(room).toEqual({ passes: 1, stripWidthM: 12, stripsAcross: 9, mostTiers: 3 });
      const tried = options([10, null]);
      expect(tried.map(({ blocks, strips, fits }) => [blocks, strips, fits])).toEqual([
        [2, 12, true],
        [3, 18, true],
        [4, 24, false], // one block of 6 strips across in each of three rows
        [5, 30, false],
        [6, 36, false],
        [7, 42, false],
        [8, 48, false],
      ]);
      // Two blocks: strips of (400 − 20) ÷ 2 = 190 m × 12 m = 0.228 ha. At 300, 400 and 500: 0 + 1 + 4 = 5 lost a block and
      // variety; 12 × 20 + 2 × 2 × 5 × 0.228 = 244.56.
      expect(tried[0]!.cost).toBeCloseTo(244.56, 9);
      // Seven blocks would be 7 rows of (400 − 6 × 20) ÷ 7 = 40 m; counted at the shortest, 100 m: 0.12 ha.
      // 42 × 20 + 2 × 7 × 5 × 0.12 = 848.4.
      expect(tried[5]!.cost).toBeCloseTo(848.4, 9);
    });

    it("finds nothing where one curve is certain, which never pays", () => {
      expect(options([10, null])[0]).toMatchObject({
        valuePerHa: 0,
        value: 0,
        pays: false,
        intervalWidthSeedsPerM2: 0,
        chanceToSeeGain: null,
      });
    });

    it("tests two rates of it by the mean error variance", () => {
      // Variance (120² + 160²) ÷ 2 = 20,000; sd 141.42. Two blocks of 2 × 3 strips: 1 × 5 degrees of freedom, t = 2.5706
      // (printed table of Student's t, two-sided 5%): 2.5706 × √(2 × 20,000 ÷ 2) = 363.5 kg/ha, at 0.20: 72.71.
      const { test } = options([10, null])[0]!;
      expect(test.errorSdKgPerHa).toBeCloseTo(141.42, 2);
      expect(test.errorDf).toBe(5);
      expect(test.lsdKgPerHa! / 363.54).toBeCloseTo(1, 4);
      expect(test.lsdPerHa! / 72.708).toBeCloseTo(1, 4);
      // A gain of 40 is 200 kg/ha at 0.20: noncentrality 2 × 200² ÷ (2 × 20,000) = 2. It is seen twice as often as by chance, and
      // less than every second time, as 200 is less than 363.5; test/reference/power has exact values.
      expect(test.power).toBeGreaterThan(0.1);
      expect(test.power).toBeLessThan(0.5);
    });

    it("tests nothing where no degree of freedom is left, and with one by t = 12.706", () => {
      const inStrips = { ...asked, layout: "rates-in-strips" as const };
      const sized = (blocks: number, rates: number[]) => {
        const ask = { ...inStrips, blocks, ratesSeedsPerM2: rates.map(seedsPerM2) };
        const planted = [setUpCandidate(ask, variety(), money)];
        return weighOptions(ask, room, planted, money).find((option) => option.blocks === blocks)!.test;
      };
      expect(sized(1, [300, 400, 500])).toMatchObject({
        errorDf: 0,
        lsdKgPerHa: null,
        lsdPerHa: null,
        power: null,
      });
      // Printed table of Student's t, two-sided 5%, one degree of freedom.
      const { errorDf, errorSdKgPerHa, lsdKgPerHa } = sized(2, [300, 400]);
      expect(errorDf).toBe(1);
      expect(lsdKgPerHa! / (12.706 * errorSdKgPerHa)).toBeCloseTo(1, 4);
      expect(fTestPower(0, 5, 1, 0.05)).toBeNull();
      expect(fTestPower(1, 0, 1, 0.05)).toBeNull();
      expect(fTestPower(1, 1, 0, 0.05)).toBeCloseTo(0.05, 9); // nothing to see: the level itself
    });

    it("tries two to eight blocks and what was asked for, and as many rates as find room for all varieties", () => {
      const free = { ...asked, ratesSeedsPerM2: null };
      const blocksOf = (blocks: number | null): number[] =>
        weighOptions({ ...asked, blocks }, room, [setUpCandidate(asked, variety(), money)], money).map(
          (option) => option.blocks,
        );
      expect(blocksOf(null)).toEqual([2, 3, 4, 5, 6, 7, 8]);
      expect(blocksOf(12)).toEqual([2, 3, 4, 5, 6, 7, 8, 12]);
      expect(blocksOf(1)).toEqual([1, 2, 3, 4, 5, 6, 7, 8]);
      // Six rates to choose from, and four.
      const four = outlookOf(rates.slice(1, 5), [{ weight: 1, yields: () => 4000, net: () => 900 }], 120);
      const planted = [variety(), variety({ outlook: four, now: 2 })].map((known) =>
        setUpCandidate(free, known, money),
      );
      const countsOf = (some: typeof planted): number[] => [
        ...new Set(weighOptions(free, room, some, money).map((option) => option.ratesPerVariety)),
      ];
      expect(countsOf(planted.slice(0, 1))).toEqual([3, 4, 5, 6]);
      expect(countsOf(planted)).toEqual([3, 4]);
    });

    it("adds up areas, or takes the sum a hectare where one is missing", () => {
      // Two curves told apart by any trial: one earns 10 more at 200, the other 30 more at 100, chances 3 : 1.
      const open = outlookOf(
        [100, 200, 300],
        [
          { weight: 3, yields: (rate) => 10 * rate, net: (rate) => (rate === 200 ? 10 : 0) },
          { weight: 1, yields: (rate) => -10 * rate, net: (rate) => (rate === 100 ? 30 : 0) },
        ],
        5,
      );
      const ask = { ...asked, ratesSeedsPerM2: [100, 200, 300].map(seedsPerM2), seasonsUsed: 3 };
      const weigh = (areas: (number | null)[]) =>
        weighOptions(
          ask,
          room,
          areas.map((areaHa, i) =>
            setUpCandidate(
              ask,
              variety({
                outlook: { ...open, variety: `V${i}` },
                now: 1,
                lot: areaHa === null ? null : lotAt300(`V${i}`, areaHa),
              }),
              money,
            ),
          ),
          money,
        )[0]!;
      // Expected 7.5 at 100 (30 × 0.25) and 7.5 at 200: the first is taken, and 0.75 × 10 is gained by knowing. Systematic
      // draws hold the shares of the truths, 3 : 1, to within one of 160.
      const [known, unknown] = [weigh([10, 30]), weigh([10, null])];
      expect(known.valuePerHa).toBeGreaterThan(7.5 * 0.98);
      expect(known.valuePerHa).toBeLessThan(7.5 * 1.02);
      expect(known.value! / (known.valuePerHa * 40 * 3)).toBeCloseTo(1, 2);
      expect(known.pays).toBe(true); // 7.5 × 40 ha × 3 = 900, above 12 × 20 and what is lost
      expect(unknown).toMatchObject({ value: null, pays: null });
      // No curve gains the 40 that are asked for.
      expect(known.chanceToSeeGain).toBeNull();
    });

    it("is seen for certain where the trial tells one curve from the other", () => {
      // Under the second curve 100 earns 30 more than today's 200; yields differ by thousands, errors by 5.
      const open = outlookOf(
        [100, 200, 300],
        [
          { weight: 3, yields: (rate) => 10 * rate, net: (rate) => (rate === 200 ? 10 : 0) },
          { weight: 1, yields: (rate) => -10 * rate, net: (rate) => (rate === 100 ? 30 : 0) },
        ],
        5,
      );
      const ask = { ...asked, ratesSeedsPerM2: [100, 200, 300].map(seedsPerM2), gainPerHa: 30 };
      const planted = [setUpCandidate(ask, variety({ outlook: open, now: 1 }), money)];
      expect(weighOptions(ask, room, planted, money)[0]!.chanceToSeeGain).toBe(1);
    });
  });
});

describe("the rates of one variety, by hand", () => {
  const wide = { ...single, errorSdKgPerHa: 100 };
  const size = { blocks: 4, ratesPerVariety: 3 } as PlanOption;

  it("are the person's, beside the habit, and nothing is searched", () => {
    const given = request({ ratesSeedsPerM2: [100, 300, 600].map(seedsPerM2) });
    const known = variety({ outlook: wide, lot: lotAt300("Ostrindel", 12) });
    const plan = planVariety(given, setUpCandidate(given, known, defaultSettings), size);
    expect(plan.chosen.ratesSeedsPerM2).toEqual([100, 300, 600]);
    expect(plan.habit.ratesSeedsPerM2).toEqual([200, 300, 400]);
    // Over all rates that may be tried, 100 to 600.
    expect(plan.habit.dEfficiency).toBe(dEfficiency([200, 300, 400], 100, 600));
    expect(plan.searched).toBeNull();
    expect(plan).toMatchObject({
      areaHa: 12,
      testedSeedsPerM2: [200, 500],
      lodgingChanceAtHighest: 0.1,
      pastStrips: 24,
      pastEnvironments: 2,
    });
    expect(plan.now).toMatchObject({
      economicOptimumSeedsPerM2: 300,
      range: null,
      valueOfKnowingAllPerHa: 0,
    });
  });

  it("stay evenly apart where a search finds nothing better, and keep the range that the report names", () => {
    const rangeNow = { level: 0.8, lower: 250, upper: 350 };
    const known = variety({ outlook: wide, rangeNow });
    const plan = planVariety(request(), setUpCandidate(request(), known, defaultSettings), size);
    expect(plan.chosen).toBe(plan.habit);
    expect(plan.searched).not.toBeNull();
    expect(plan.areaHa).toBeNull();
    expect(plan.now.range).toBe(rangeNow);
    const { bench } = setUpCandidate(request(), known, defaultSettings);
    // What the strips do not show is not told from what is usual; before the first strip it is.
    expect(rangeToldNow({ rangeNow: null, pastStrips: 1 }, bench)).toBeNull();
    expect(rangeToldNow({ rangeNow: null, pastStrips: 0 }, bench)).toEqual({
      level: 0.8,
      lower: 300,
      upper: 300,
    });
  });
});

describe("rates that a search finds to tell more", () => {
  // All there is to see is at 175. Best rates are 200 + 60 z, z from −2 to 2 by halves, so that 80% of them are within
  // 110 to 290 at the most; evenly spaced rates about that miss 175.
  const grid = [100, 125, 150, 175, 200, 225, 250, 275, 300];
  const tells = (gain: number) =>
    outlookOf(
      grid,
      [-2, -1.5, -1, -0.5, 0, 0.5, 1, 1.5, 2].map((z) => ({
        weight: Math.exp((-z * z) / 2),
        yields: (rate) => (rate === 175 ? gain * z : 0),
        net: (rate) => -((rate - 200 - 60 * z) ** 2),
      })),
      100,
    );
  const size = { blocks: 4, ratesPerVariety: 4 } as PlanOption;
  const planned = (gain: number) =>
    planVariety(
      request(),
      setUpCandidate(request(), variety({ outlook: tells(gain), now: 4 }), defaultSettings),
      size,
    );

  it("are taken where they narrow the range by more than 2%", () => {
    const { chosen, habit, searched } = planned(400);
    expect(habit.ratesSeedsPerM2).not.toContain(175);
    expect(chosen).toBe(searched);
    expect(chosen.ratesSeedsPerM2).toContain(175);
    expect(chosen.finds.intervalWidthSeedsPerM2).toBeLessThan(0.98 * habit.finds.intervalWidthSeedsPerM2);
  });

  it("are left where nothing tells anything", () => {
    const { chosen, habit } = planned(0);
    expect(chosen).toBe(habit);
  });
});

describe("strips on paper, by hand", () => {
  const flat = (needSeedsPerM2: number): BelievableCurve => ({
    shape: 0,
    place: 0,
    weight: 1,
    needSeedsPerM2,
    loss: 0.1,
    decline: 0,
    shoulder: 0,
    seasonSpread: 0,
  });
  /** Best rates 500, 300, 200, 400 in this order, weights 0.3, 0.3, 0.1, 0.3. */
  const tops = [500, 300, 200, 400];
  const outlook = outlookOf(
    rates,
    tops.map((top, k) => ({
      weight: [3, 3, 1, 3][k]!,
      yields: () => 0,
      net: (rate: number) => -((rate - top) ** 2),
    })),
    0,
  );
  const known = variety({ outlook, curves: tops.map(flat) });
  const strip = (changes: object) => ({
    label: "1-1",
    tier: 1,
    position: 1,
    block: "1",
    border: false,
    variety: "Ostrindel",
    rateSeedsPerM2: 200,
    acrossM: 0,
    alongM: 0,
    widthM: 12,
    lengthM: 100,
    sowing: null,
    ...changes,
  });
  const plan = {
    request: request({ farm: "Hill", field: "East", season: 2027 }),
    settings: defaultSettings,
    layout: {
      strips: [
        strip({ border: true, block: "" }),
        strip({ position: 2 }),
        strip({ position: 3, rateSeedsPerM2: 400 }),
        strip({ position: 4, block: "2", rateSeedsPerM2: 400 }),
      ],
    },
  } as unknown as StripPlan;

  it("come from the curve below whose best rate a tenth, a half and nine tenths of the weight is", () => {
    // Upward 200 (0.1), 300 (0.4), 400 (0.7), 500 (1).
    const best = (["low", "middle", "high"] as const).map((truth) =>
      growOnPaper(plan, [known], truth).bestRateSeedsPerM2.get("Ostrindel"),
    );
    expect(best).toEqual([200, 400, 500]);
  });

  it("yield by that curve, borders left out, in the plan's places", () => {
    const { strips } = growOnPaper(
      plan,
      [known, variety({ outlook: { ...outlook, variety: "Other" } })],
      "middle",
    );
    expect(strips).toHaveLength(3);
    expect(strips[0]).toMatchObject({ season: 2027, farm: "Hill", field: "East", block: "1", position: 2 });
    expect(strips.map(({ place }) => place.row)).toEqual([2, 3, 4]);
    // Need 400, linear up to it: at 200 0.1 × (0.5 − 1) ÷ 0.4 = −12.5% of 4000, at 400 none. The same block, no error.
    expect(strips[1]!.yieldKgPerHa! - strips[0]!.yieldKgPerHa!).toBeCloseTo(500, 6);
    // Blocks differ: by 3% of 4000 in standard deviation, so that the difference is 170 in the usual case.
    const between = strips[2]!.yieldKgPerHa! - strips[1]!.yieldKgPerHa!;
    expect(Math.abs(between)).toBeGreaterThan(1);
    expect(Math.abs(between)).toBeLessThan(5 * 170);
  });

  it("differ by block, strip and season as much as they are said to", () => {
    // 400 strips of one rate at the top, each in a block of its own or all in one; sd 3% of 4000 between blocks, and 100
    // between strips. The sd of 400 draws is within 12% of the truth (√(2 ÷ 400) ÷ 2 = 3.5%, 3.4 of which are 12%).
    const sdOf = (values: readonly number[]): number => {
      const mean = values.reduce((sum, one) => sum + one, 0) / values.length;
      return Math.sqrt(values.reduce((sum, one) => sum + (one - mean) ** 2, 0) / (values.length - 1));
    };
    const many = Array.from({ length: 400 }, (_, i) => i);
    const grown = (errorSdKgPerHa: number, blockOf: (i: number) => string): number[] => {
      const strips = many.map((i) => strip({ position: i, block: blockOf(i), rateSeedsPerM2: 500 }));
      const one = variety({ ...known, outlook: { ...outlook, errorSdKgPerHa } });
      const paper = growOnPaper({ ...plan, layout: { strips } } as unknown as StripPlan, [one], "high");
      return paper.strips.map(({ yieldKgPerHa }) => yieldKgPerHa!);
    };
    expect(Math.abs(sdOf(grown(0, String)) / 120 - 1)).toBeLessThan(0.12);
    expect(Math.abs(sdOf(grown(100, () => "1")) / 100 - 1)).toBeLessThan(0.12);
    // A season for each variety: the log of its need moves by 0.1. At half the need of 500 a share of 0.1 × (u − 1) ÷ 0.4.
    const varieties = many.map((i) =>
      variety({
        outlook: { ...outlook, variety: `V${i}` },
        curves: tops.map((top) => ({ ...flat(top), seasonSpread: 0.1 })),
      }),
    );
    const strips = many.map((i) => strip({ position: i, variety: `V${i}`, rateSeedsPerM2: 250 }));
    const paper = growOnPaper({ ...plan, layout: { strips } } as unknown as StripPlan, varieties, "high");
    // One block: its share is the same for all, and next to the differences of need it drops out of the log's sd.
    const lowest = paper.strips.map(({ yieldKgPerHa }) => yieldKgPerHa! / 4000);
    // u = 0.5 e^−shift; yields differ by 0.1 ÷ 0.4 × 0.5 = 0.125 of the mean for each unit of shift: sd 0.0125.
    expect(Math.abs(sdOf(lowest) / 0.0125 - 1)).toBeLessThan(0.13);
  });

  it("are of all varieties planted, or of many twelve, evenly from most to learn to least", () => {
    const planned = Array.from({ length: 24 }, (_, i) => ({
      variety: `V${i}`,
      now: { valueOfKnowingAllPerHa: (i * 7) % 24 } as StripPlan["varieties"][number]["now"],
    }));
    // Ranked by value from 23 down to 0, every second from the second on: values 22, 20, …, 0 in the order planned.
    const { simulated, alone } = varietiesOnPaper(planned, []);
    expect(simulated).toEqual(
      planned.filter((one) => one.now.valueOfKnowingAllPerHa % 2 === 0).map((p) => p.variety),
    );
    expect(alone).toBe(true);
    expect(varietiesOnPaper(planned.slice(0, 2), [{ variety: "V0" }])).toEqual({
      simulated: ["V0", "V1"],
      alone: false,
    });
    expect(varietiesOnPaper(planned.slice(0, 2), planned.slice(2, 13)).alone).toBe(true);
    expect(varietiesOnPaper(planned.slice(0, 2), planned.slice(2, 12)).alone).toBe(false);
  });

  it("are read as the whole analysis reads them, for the varieties on paper", () => {
    const paper = growOnPaper(plan, [known], "low");
    const told = {
      rateNowSeedsPerM2: 300,
      rateNextSeedsPerM2: 250,
      economicOptimum: null,
      gainPerHa: null,
      chanceOfGain: 0.8,
      evidence: null,
    };
    const next = { variety: "Ostrindel", ...told, more: "left out" };
    const read = readOutcome(paper, { simulated: ["Ostrindel"], alone: false }, {
      next: [next, { ...next, variety: "Other" }],
    } as unknown as Pick<Result, "next">);
    expect(read).toEqual({
      truth: "low",
      simulated: ["Ostrindel"],
      alone: false,
      varieties: [{ variety: "Ostrindel", trueEconomicOptimumSeedsPerM2: 200, next: told }],
    });
  });
});
