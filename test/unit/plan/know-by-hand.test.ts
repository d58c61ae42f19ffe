/**
 * What is known of varieties before a trial, worked by hand.
 *
 * Wheat: the usual rate is 300 seeds/m², so rates from 150 to 525 may be tried. The drill has steps of 5; 5 % of today's 300 are 15,
 * so the steps tried are 10: 150, 160 … 520, 38 rates. Curves rise straight and lose 0.1 of the mean yield at 0.6 of their need, so
 * 0.1 × (1 − rate ÷ need) ÷ 0.4 below it.
 */
import { describe, expect, it } from "vitest";
import { seedsPerM2 } from "../../../src/numbers/units.ts";
import { firstBelief } from "../../../src/model/beliefs/first-belief.ts";
import { recommendedFor } from "../../../src/model/beliefs/recommended-rate.ts";
import { knowVarieties, type VarietyWishes } from "../../../src/plan/know-varieties.ts";
import type { Belief, NextRate, ProteinResponse, VarietyLodging } from "../../../src/vocabulary/result.ts";
import { unknownLot, type Settings } from "../../../src/vocabulary/settings.ts";
import { beliefOf, curve, decided, settings as byHand, sure } from "../decide/rate/three-curves.ts";

const set = (...rates: number[]) => rates.map(seedsPerM2);
const settings: Settings = { ...byHand, rateNowSeedsPerM2: 300, rateStepSeedsPerM2: 5 };
const alder = beliefOf([curve(0.5, 300), curve(0.25, 400)], () => 4000);
const birch: Belief = {
  ...alder,
  variety: "Birch",
  meanYieldKgPerHa: 5000,
  errorShare: 0.06,
  strips: 30,
  environments: 1,
};
const noWishes: VarietyWishes = {
  varieties: [],
  ratesSeedsPerM2: null,
  lowestRateSeedsPerM2: null,
  highestRateSeedsPerM2: null,
  expectedYieldKgPerHa: null,
};
type Known = Parameters<typeof knowVarieties>[1];
const know = (known: Partial<Known>, wishes: Partial<VarietyWishes> = {}, changes: Partial<Settings> = {}) =>
  knowVarieties(
    { ...noWishes, ...wishes },
    { beliefs: [], next: [], protein: [], lodgingModels: [], ...known },
    { ...settings, ...changes },
  );
const one = (...asked: Parameters<typeof know>) => know(...asked)[0]!;
const names = (...asked: Parameters<typeof know>): string[] =>
  know(...asked).map(({ outlook }) => outlook.variety);

describe("the varieties", () => {
  it("are those asked for, else those of strips and lots, by name and once each", () => {
    const lots = [unknownLot("Cedar"), unknownLot("Alder")];
    const beliefs = [birch, alder];
    expect(names({ beliefs }, {}, { lots })).toEqual(["Alder", "Birch", "Cedar"]);
    expect(names({ beliefs }, { varieties: ["Dogwood", "Alder", "Dogwood"] }, { lots })).toEqual([
      "Alder",
      "Dogwood",
    ]);
    expect(names({}, { expectedYieldKgPerHa: 4000 }, { lots })).toEqual(["Alder", "Cedar"]);
  });

  it("are asked for where nothing names one, and so is a yield", () => {
    expect(() => know({}, { expectedYieldKgPerHa: 4000 })).toThrow(/--varieties/);
    expect(() => know({}, { varieties: ["Alder"] })).toThrow(/--expected-yield/);
  });

  it("have what their strips showed", () => {
    const next = [
      { ...decided(sure).next, variety: "Birch" },
      {
        ...decided(sure).next,
        intervals: [
          { level: 0.95, lower: 210, upper: 390 },
          { level: 0.8, lower: 270, upper: 330 },
        ],
      },
    ] as NextRate[];
    expect(one({ beliefs: [alder, birch], next })).toMatchObject({
      pastStrips: 60,
      pastEnvironments: 3,
      testedSeedsPerM2: [200, 400],
      rangeNow: { level: 0.8, lower: 270, upper: 330 },
      yieldKgPerHa: 4000,
      curves: alder.curves,
      lot: null,
    });
  });

  it("have nothing that nobody knows", () => {
    const lot = unknownLot("Cedar");
    expect(one({ beliefs: [] }, { expectedYieldKgPerHa: 4000 }, { lots: [lot] })).toMatchObject({
      pastStrips: 0,
      pastEnvironments: 0,
      testedSeedsPerM2: null,
      rangeNow: null,
      lodgingChanceAtHighest: null,
      lot,
    });
  });
});

describe("the yield and error", () => {
  const cedar = { varieties: ["Cedar"] };

  it("are a variety's own", () => {
    const [first, second] = know({ beliefs: [alder, birch] });
    expect([first!.yieldKgPerHa, second!.yieldKgPerHa]).toEqual([4000, 5000]);
    // 0.04 × 4,000 and 0.06 × 5,000.
    expect(first!.outlook.errorSdKgPerHa).toBeCloseTo(160, 9);
    expect(second!.outlook.errorSdKgPerHa).toBeCloseTo(300, 9);
    expect(one({ beliefs: [alder] }, { expectedYieldKgPerHa: 7000 }).yieldKgPerHa).toBe(4000);
  });

  it("are those of the farm for a new one, unless a yield is said", () => {
    const mean = one({ beliefs: [birch, alder] }, cedar);
    expect(mean.yieldKgPerHa).toBe(4500);
    expect(mean.outlook.errorSdKgPerHa).toBeCloseTo(0.06 * 4500, 9);
    expect(one({ beliefs: [birch, alder] }, { ...cedar, expectedYieldKgPerHa: 4200 }).yieldKgPerHa).toBe(
      4200,
    );
    // The prior's share of 0.05 where there are no strips at all.
    expect(one({}, { ...cedar, expectedYieldKgPerHa: 4200 }).outlook.errorSdKgPerHa).toBeCloseTo(210, 9);
  });
});

describe("curves of a variety without strips", () => {
  it("are those of the priors, with the farm's other varieties and the rate that came with it", () => {
    const lots = [{ ...unknownLot("Cedar"), recommendedSeedsPerM2: 420 }];
    const changed = { ...settings, lots };
    expect(one({ beliefs: [alder] }, { varieties: ["Cedar"] }, { lots }).curves).toEqual(
      firstBelief(changed, [alder], undefined, recommendedFor("Cedar", changed)),
    );
    const middle = (known: ReturnType<typeof one>): number =>
      known.curves.reduce((sum, { weight, needSeedsPerM2 }) => sum + weight * needSeedsPerM2, 0);
    const plain = one({ beliefs: [alder] }, { varieties: ["Cedar"] });
    expect(middle(one({ beliefs: [alder] }, { varieties: ["Cedar"] }, { lots }))).toBeGreaterThan(
      middle(plain),
    );
  });
});

describe("today's rate", () => {
  const lot = { ...unknownLot("Alder"), rateNowSeedsPerM2: 310 };
  const next = [{ ...decided(sure).next, rateNowSeedsPerM2: 320 }];
  const now = (...asked: Parameters<typeof know>) => one(...asked).rateNowSeedsPerM2;

  it("is that of the report, of the lot, of the settings, or the crop's usual one on a step of the drill", () => {
    const beliefs = [alder];
    expect(now({ beliefs, next }, {}, { lots: [lot] })).toBe(320);
    expect(now({ beliefs, next: [{ ...next[0]!, variety: "Birch" }] }, {}, { lots: [lot] })).toBe(310);
    expect(now({ beliefs }, {}, { lots: [{ ...lot, variety: "Birch" }] })).toBe(300);
    // 300 ÷ 7 is 42.86.
    expect(now({ beliefs }, {}, { rateNowSeedsPerM2: null, rateStepSeedsPerM2: 7 })).toBe(301);
  });
});

describe("the rates that may be tried", () => {
  const tried = (wishes: Partial<VarietyWishes> = {}, changes: Partial<Settings> = {}): number[] => [
    ...one({ beliefs: [alder] }, wishes, changes).outlook.ratesSeedsPerM2,
  ];
  const steps = (from: number, to: number, by = 10): number[] =>
    Array.from({ length: Math.round((to - from) / by) + 1 }, (_, i) => from + by * i);

  it("go from half the usual rate to one and three quarters of it", () => {
    expect(tried()).toEqual(steps(150, 520));
    const known = one({ beliefs: [alder] });
    expect(known.outlook.ratesSeedsPerM2[known.now]).toBe(300);
  });

  it("go to today's rate and those that a person has set, wherever these are", () => {
    // 5 % of 600 are 30, so that steps are 25.
    expect(tried({}, { rateNowSeedsPerM2: 600 })).toEqual(steps(150, 600, 25));
    // 5 % of 100 are 5.
    expect(tried({}, { rateNowSeedsPerM2: 100 })).toEqual(steps(100, 525, 5));
    expect(tried({ ratesSeedsPerM2: set(123, 556) })).toEqual([123, ...steps(130, 550), 556]);
    // Two that differ by the rounding of a conversion are one.
    expect(tried({ ratesSeedsPerM2: set(200 + 1e-7, 251) })).toEqual([
      ...steps(150, 250),
      251,
      ...steps(260, 520),
    ]);
    expect(tried({ ratesSeedsPerM2: set(200 + 1e-5) })).toHaveLength(39);
  });

  it("begin at the lowest that a person accepts, unless today's is lower, and end where the wish says", () => {
    expect(tried({}, { lowestRateSeedsPerM2: 205 })).toEqual(steps(210, 520));
    expect(tried({}, { lowestRateSeedsPerM2: 305 })).toEqual(steps(300, 520));
    const lots = [
      { ...unknownLot("Birch"), lowestRateSeedsPerM2: 100 },
      { ...unknownLot("Alder"), lowestRateSeedsPerM2: 250 },
    ];
    expect(tried({}, { lots, lowestRateSeedsPerM2: 205 })).toEqual(steps(250, 520));
    expect(tried({ lowestRateSeedsPerM2: seedsPerM2(230), highestRateSeedsPerM2: seedsPerM2(370) })).toEqual(
      steps(230, 370),
    );
    expect(tried({ lowestRateSeedsPerM2: seedsPerM2(230) }, { lowestRateSeedsPerM2: 250 })).toEqual(
      steps(230, 520),
    );
  });

  it("count as tested within what strips have shown", () => {
    const tested = (testedSeedsPerM2: [number, number]) =>
      one({ beliefs: [{ ...alder, testedSeedsPerM2 }] }).outlook.tested;
    // 150 + 5 × 10 and 150 + 25 × 10.
    expect(tested([200, 400])).toEqual([5, 25]);
    expect(tested([199, 401])).toEqual([5, 25]);
    expect(tested([201, 399])).toEqual([6, 24]);
    // None lies between: today's, the sixteenth.
    expect(tested([301, 304])).toEqual([15, 15]);
    expect(one({ beliefs: [alder] }, { varieties: ["Cedar"] }).outlook.tested).toEqual([15, 15]);
  });
});

describe("the outlook", () => {
  const places = 38;
  const at200 = 5;

  it("has the curves' money at each rate, on average over seasons", () => {
    const { weights, netPerHa } = one({ beliefs: [alder] }).outlook;
    // 0.5 and 0.25 of 0.75.
    expect([...weights]).toEqual([expect.closeTo(2 / 3, 12), expect.closeTo(1 / 3, 12)]);
    expect(netPerHa).toHaveLength(2 * places);
    // At 200 the first loses 0.1 × (1 − 200 ÷ 300) ÷ 0.4 = 0.083333, the second 0.125; seed costs 60. At 500 neither, and 150.
    expect(netPerHa[at200]).toBeCloseTo(0.2 * 4000 * (1 - 0.0833333) - 60, 4);
    expect(netPerHa[places + at200]).toBeCloseTo(0.2 * 4000 * 0.875 - 60, 9);
    expect(netPerHa[places + 35]).toBeCloseTo(800 - 150, 9);
  });

  it("has fields with needs of their own, by the place of the curve", () => {
    const { netPerHa } = one({
      beliefs: [
        {
          ...alder,
          fields: ["Hill"],
          curves: [{ ...curve(1, 300), place: 1 }],
          fieldShifts: [[0], [Math.log(1.2)]],
        },
      ],
    }).outlook;
    // The need is 360 there: 0.1 × (1 − 200 ÷ 360) ÷ 0.4 = 0.111111.
    expect(netPerHa[at200]).toBeCloseTo(800 * (1 - 0.1111111) - 60, 4);
  });

  it("has yields in three kinds of season, with the moments of a normal distribution", () => {
    const { seasonWeights, yieldKgPerHa } = one({
      beliefs: [{ ...alder, curves: [{ ...curve(1, 300), seasonSpread: 0.1 }, curve(1, 400)] }],
    }).outlook;
    expect([...seasonWeights]).toEqual([1 / 6, 2 / 3, 1 / 6]);
    expect(yieldKgPerHa).toHaveLength(2 * 3 * places);
    // The need is 300 times e to the power of −0.173205, 0 and 0.173205: 252.29, 300 and 356.74.
    for (const [kind, shift] of [-Math.sqrt(3), 0, Math.sqrt(3)].entries()) {
      const need = 300 * Math.exp(0.1 * shift);
      expect(yieldKgPerHa[kind * places + at200]).toBeCloseTo((-4000 * 0.1 * (1 - 200 / need)) / 0.4, 9);
    }
    expect(yieldKgPerHa[(3 + 2) * places + at200]).toBeCloseTo(-4000 * 0.125, 9);
  });

  it("has the money of its own protein, lodging and seed", () => {
    const protein: ProteinResponse[] = ["Birch", "Alder"].map((variety) => ({
      variety,
      strips: 20,
      centreSeedsPerM2: 300,
      slopePctPerSeedPerM2: 0,
      ownSlope: null,
      levels: [{ environment: "2024", proteinPct: variety === "Alder" ? 13 : 11 }],
    }));
    const proteinSchedule = [
      { proteinPct: 12, premiumPerKg: 0 },
      { proteinPct: 13, premiumPerKg: 0.01 },
    ];
    const lots = [
      { ...unknownLot("Birch"), pricePerThousandSeeds: 0.09 },
      { ...unknownLot("Alder"), pricePerThousandSeeds: 0.02 },
    ];
    const { netPerHa } = one(
      { beliefs: [alder], protein },
      { varieties: ["Alder"] },
      { proteinSchedule, lots },
    ).outlook;
    // 0.21 a kg, and 500 × 10 × 0.02 = 100 for seed.
    expect(netPerHa[35]).toBeCloseTo(0.21 * 4000 - 100, 9);
  });

  it("has the chance to lodge at the highest rate tested, and what that costs", () => {
    const lodging = (variety: string, level: number): VarietyLodging => ({
      variety,
      scale: "zero-to-nine",
      strips: 20,
      testedSeedsPerM2: [200, 400],
      centreSeedsPerM2: 400,
      chanceOfAny: 1,
      beliefs: [
        {
          weight: 1,
          level,
          slope: 0,
          levelVariance: 0,
          slopeVariance: 0,
          covariance: 0,
          seasonVariance: 1,
        } as VarietyLodging["beliefs"][number],
      ],
      reason: "",
      seen: [],
    });
    const lodgingModels = [
      { varieties: [lodging("Birch", 5), lodging("Alder", -0.8416), lodging("Cedar", 0)] },
    ] as never;
    const changes = { lodgingLimit: 0.5, lodgingCostPerHa: 100 };
    const [known, cedar] = know(
      { beliefs: [alder], lodgingModels },
      { varieties: ["Alder", "Cedar"] },
      changes,
    );
    // Log odds of −0.8416 with a standard deviation of 1 exceed 0 in 0.2 of the seasons (normal table).
    expect(known!.lodgingChanceAtHighest).toBeCloseTo(0.2, 4);
    // Without strips nothing was tested.
    expect(cedar!.lodgingChanceAtHighest).toBeNull();
    expect(one({ beliefs: [alder] }, {}, changes).lodgingChanceAtHighest).toBeNull();
    const cost = (of: typeof known): number => 800 - 150 - of!.outlook.netPerHa[35]!;
    expect(cost(known)).toBeGreaterThan(20);
    expect(cost(known)).toBeLessThan(50);
    expect(cost(one({ beliefs: [alder] }, {}, changes))).toBeCloseTo(0, 9);
  });
});
