/**
 * The advice held against the strips, worked by hand.
 *
 * Five rates in two blocks of one site-year. Means of the rates at 200 to 400 seeds/m²: 3,800, 4,000, 4,100, 4,080 and 4,060
 * kg/ha; the lowest rate is 10 above its mean in the first block and 10 below in the second, the highest the other way round.
 * Both blocks have the same mean, so the residuals are ±10 in four cells: their squares sum to 400, with (5 − 1) × (2 − 1) = 4
 * degrees of freedom 100 for a strip, and a difference of two means of two strips has the error √(100 × (1/2 + 1/2)) = 10 kg/ha.
 *
 * At 0.20 a kg and 0.3 for a seed/m² they earn 700, 725, 730, 711 and 692: 300 is best. 250 earns 5 less, and the error is
 * worth 2: it is as good from a flat zone of 3 on.
 */
import { describe, expect, it } from "vitest";
import { netReturns, varietyPrices } from "../../../../src/decide/rate/net-return.ts";
import { chooseRate, type RateChoice } from "../../../../src/decide/rate/next-rate.ts";
import { holdAgainstStrips, type SiteYearReading } from "../../../../src/decide/rate/second-reading.ts";
import type { Belief, Optimum } from "../../../../src/vocabulary/result.ts";
import { seasonOf, settings, tested, three } from "./three-curves.ts";

const means = [3800, 4000, 4100, 4080, 4060];
const residuals = [10, 0, 0, 0, -10];
const cellsOf = (sign: number, block: string) =>
  tested.map((rateSeedsPerM2, k) => ({
    block,
    rateSeedsPerM2,
    strips: 1,
    meanYieldKgPerHa: means[k]! + sign * residuals[k]!,
  }));
const fit: SiteYearReading = {
  ...seasonOf(2024),
  forms: [],
  cells: [...cellsOf(1, "1"), ...cellsOf(-1, "2")],
};

const net = netReturns(three, varietyPrices(three, { premiumPerKg: () => 0, costPerHa: () => 0 }, settings));
const facts = { seasons: 3, lodgingCeiling: { kind: "none", reason: "not-scored" } } as const;
const found = (
  rateSeedsPerM2: number,
  lower: number | null = null,
  upper: number | null = null,
): Optimum => ({
  kind: "found",
  rateSeedsPerM2,
  lower,
  upper,
  reason: "interval",
});
const choice: RateChoice = { ...chooseRate(three, net, facts, settings), evidence: "strong", reasons: [] };

function held(
  headline: Optimum,
  {
    fits = [fit],
    pooled = null as Optimum | null,
    flatZone = 2.9,
    belief = three as Belief,
    of = choice,
  } = {},
) {
  return holdAgainstStrips({ ...of, economicOptimum: headline }, belief, net, { fits, pooled }, flatZone);
}
const disagrees = (...question: Parameters<typeof held>): boolean =>
  held(...question).reasons.some(({ code }) => code === "readings-disagree");

describe("the best of the tested means", () => {
  it("leaves open what lies between its neighbours", () => {
    expect(disagrees(found(250))).toBe(false);
    expect(disagrees(found(249))).toBe(true);
    expect(disagrees(found(350))).toBe(false);
    expect(disagrees(found(351))).toBe(true);
  });

  it("leaves open the neighbours of the rates as good as it", () => {
    expect(disagrees(found(249), { flatZone: 3.1 })).toBe(false);
    expect(disagrees(found(200), { flatZone: 3.1 })).toBe(false);
    expect(disagrees(found(351), { flatZone: 3.1 })).toBe(true);
    // 350 earns 19 less: as good from 17 on.
    expect(disagrees(found(351), { flatZone: 16.9 })).toBe(true);
    expect(disagrees(found(400), { flatZone: 17.1 })).toBe(false);
  });

  it("is told with the headline", () => {
    expect(held(found(351)).reasons).toEqual([
      {
        code: "readings-disagree",
        numbers: { rateSeedsPerM2: 351, otherSeedsPerM2: 300, otherIs: "tested-means" },
      },
    ]);
  });

  it("counts the strips of each mean and their scatter within a cell", () => {
    // Four strips a cell: the weighted squares are 1600 for 4 degrees of freedom; 24 more strips add 30 degrees and no squares.
    // 1600 ÷ 34 = 47.06; of two means of eight strips √(47.06 × 2/8) = 3.43 kg/ha, worth 0.686.
    const many = { ...fit, cells: fit.cells.map((cell) => ({ ...cell, strips: 4 })) };
    expect(disagrees(found(249), { fits: [many], flatZone: 4.3 })).toBe(true);
    expect(disagrees(found(249), { fits: [many], flatZone: 4.33 })).toBe(false);
    // 3400 within cells: 5000 ÷ 34 = 147.06, √(147.06 ÷ 4) = 6.063, worth 1.2127.
    const scattered = { ...many, withinCellSs: 3400 };
    expect(disagrees(found(249), { fits: [scattered], flatZone: 3.77 })).toBe(true);
    expect(disagrees(found(249), { fits: [scattered], flatZone: 3.8 })).toBe(false);
  });

  it("is not looked for with fewer than three rates, more than twelve, or no strip over", () => {
    expect(disagrees(found(400), { belief: { ...three, testedRates: 2 } })).toBe(false);
    const two = { ...fit, cells: fit.cells.filter(({ rateSeedsPerM2 }) => rateSeedsPerM2 < 275) };
    expect(disagrees(found(400), { fits: [two] })).toBe(false);
    const alone = { ...fit, cells: fit.cells.filter(({ block }) => block === "1") };
    expect(disagrees(found(400), { fits: [alone] })).toBe(false);
    const rates = (count: number) => ({
      ...fit,
      cells: ["1", "2"].flatMap((block) =>
        Array.from({ length: count }, (_, k) => ({
          block,
          rateSeedsPerM2: 200 + 10 * k,
          strips: 1,
          meanYieldKgPerHa: 4000 - 20 * k + (block === "1" ? 1 : -1) * (k % 2),
        })),
      ),
    });
    // Every rate earns less than the one before it: 200 is best, and 400 lies far out.
    expect(disagrees(found(400), { fits: [rates(12)] })).toBe(true);
    expect(disagrees(found(400), { fits: [rates(13)] })).toBe(false);
  });

  it("says nothing where there is no headline", () => {
    expect(disagrees({ kind: "none", reason: "no-response" })).toBe(false);
  });
});

describe("the pooled quadratic", () => {
  const intervals = [
    { level: 0.8, lower: 280, upper: 320 },
    { level: 0.95, lower: 260, upper: 340 },
  ];
  const against = (headline: number, pooled: Optimum, told = intervals) =>
    held(found(headline), { fits: [], pooled, of: { ...choice, intervals: told } });
  const codesOf = ({ reasons }: RateChoice): string[] => reasons.map(({ code }) => code);

  it("disagrees where each lies outside what the other leaves open", () => {
    expect(codesOf(against(300, found(370, 350, 390)))).toEqual(["readings-disagree"]);
    expect(codesOf(against(300, found(230, 210, 250)))).toEqual(["readings-disagree"]);
    expect(against(300, found(370, 350, 390)).reasons[0]!.numbers).toEqual({
      rateSeedsPerM2: 300,
      otherSeedsPerM2: 370,
      otherIs: "pooled-curve",
    });
  });

  it("agrees where either holds the other, ends among them", () => {
    expect(codesOf(against(300, found(370, 300, 390)))).toEqual([]);
    expect(codesOf(against(300, found(230, 210, 300)))).toEqual([]);
    expect(codesOf(against(300, found(370, null, 390)))).toEqual([]);
    expect(codesOf(against(300, found(230, 210, null)))).toEqual([]);
    expect(codesOf(against(300, found(340, 330, 390)))).toEqual([]);
    expect(codesOf(against(300, found(260, 210, 270)))).toEqual([]);
  });

  it("is not asked where it has no best rate, or the headline no interval", () => {
    expect(codesOf(against(300, { kind: "none", reason: "no-response" }))).toEqual([]);
    expect(codesOf(against(300, found(370, 350, 390), []))).toEqual([]);
  });
});

describe("what a disagreement takes off", () => {
  it.each([
    ["strong", "fair"],
    ["fair", "weak"],
    ["weak", "weak"],
    ["none", "none"],
  ] as const)("makes %s %s", (before, after) => {
    expect(held(found(351), { of: { ...choice, evidence: before } }).evidence).toBe(after);
  });

  it("keeps the reasons there were, after its own, and the chance", () => {
    const told = held(found(351), { of: { ...choice, reasons: [{ code: "one-season", numbers: {} }] } });
    expect(told.reasons.map(({ code }) => code)).toEqual(["readings-disagree", "one-season"]);
    expect(told.chanceOfGain).toBe(choice.chanceOfGain);
    expect(choice.chanceOfGain).not.toBeNull();
  });
});

describe("rates that follow the ground everywhere", () => {
  const tied = { ...fit, rateFollows: "position" as const };

  it("leave weak evidence and no chance", () => {
    const told = held(found(300), { fits: [tied, tied] });
    expect(told).toMatchObject({ evidence: "weak", chanceOfGain: null });
    expect(told.reasons.map(({ code }) => code)).toEqual(["rate-follows-ground"]);
    expect(held(found(300), { fits: [tied], of: { ...choice, evidence: "none" } }).evidence).toBe("none");
  });

  it("are said of all site-years or not at all", () => {
    const told = held(found(300), { fits: [tied, fit] });
    expect(told.reasons).toEqual([]);
    expect(told.evidence).toBe("strong");
    expect(held(found(300), { fits: [] }).reasons).toEqual([]);
  });
});

describe("seasons that contradict each other", () => {
  const season = (
    year: number,
    optimum: Optimum,
    p: number | null = 0.01,
    field = "Home",
  ): SiteYearReading => ({
    ...seasonOf(year),
    environment: `${year} ${field}`,
    anova: p === null ? null : { p },
    forms: [{ form: "quadratic", economicOptimum: optimum }],
  });
  const contradiction = (...fits: SiteYearReading[]) =>
    held(found(300), { fits }).reasons.find(({ code }) => code === "seasons-contradict")?.numbers;

  it("are two whose intervals exclude each other, 1.6 times apart or more", () => {
    const low = season(2023, found(200, 180, 220));
    expect(contradiction(low, season(2024, found(320, 300, 340)))).toEqual({
      lowerSeason: 2023,
      lowerSeedsPerM2: 200,
      higherSeason: 2024,
      higherSeedsPerM2: 320,
    });
    expect(contradiction(season(2024, found(320, 300, 340)), low)).toMatchObject({ lowerSeason: 2023 });
    expect(contradiction(low, season(2024, found(319, 300, 340)))).toBeUndefined();
    expect(contradiction(low, season(2024, found(320, 220, 340)))).toBeUndefined();
    expect(contradiction(low, season(2024, found(320, null, 340)))).toBeUndefined();
    expect(
      contradiction(season(2023, found(200, 180, null)), season(2024, found(320, 300, 340))),
    ).toBeUndefined();
  });

  it("take a word off the evidence", () => {
    const low = season(2023, found(200, 180, 220));
    const evidence = (...fits: SiteYearReading[]) => held(found(300), { fits }).evidence;
    expect(evidence(low, season(2024, found(320, 300, 340)))).toBe("fair");
    expect(evidence(low, season(2024, found(320, 220, 340)))).toBe("strong");
  });

  it("are of one field, each with a clear answer to the rate", () => {
    const low = season(2023, found(200, 180, 220), 0.05);
    expect(contradiction(low, season(2024, found(320, 300, 340), 0.05))).toMatchObject({
      lowerSeedsPerM2: 200,
      higherSeedsPerM2: 320,
    });
    expect(contradiction(low, season(2024, found(320, 300, 340), 0.051))).toBeUndefined();
    expect(contradiction(low, season(2024, found(320, 300, 340), null))).toBeUndefined();
    expect(contradiction(low, season(2024, found(320, 300, 340), 0.01, "Hill"))).toBeUndefined();
    expect(contradiction(low, season(2024, { kind: "none", reason: "no-response" }))).toBeUndefined();
  });

  it("may lie at the ends of what was tested", () => {
    const atEdge = (edge: "lowest" | "highest", rateSeedsPerM2: number): Optimum => ({
      kind: "at-edge",
      rateSeedsPerM2,
      edge,
      reason: edge === "lowest" ? "never-pays" : "still-rising",
    });
    expect(contradiction(season(2023, atEdge("lowest", 200)), season(2024, atEdge("highest", 400)))).toEqual({
      lowerSeason: 2023,
      lowerSeedsPerM2: 200,
      lowerOrLess: true,
      higherSeason: 2024,
      higherSeedsPerM2: 400,
      higherOrMore: true,
    });
    // A season that still rises at 200 excludes nothing above it.
    expect(
      contradiction(season(2023, atEdge("highest", 200)), season(2024, found(320, 300, 340))),
    ).toBeUndefined();
    expect(
      contradiction(season(2023, found(200, 180, 220)), season(2024, atEdge("lowest", 400))),
    ).toBeUndefined();
  });

  it("are the two that lie farthest apart", () => {
    const seasons = [
      season(2022, found(210, 180, 220)),
      season(2023, found(200, 180, 220)),
      season(2024, found(380, 360, 400)),
      season(2025, found(400, 390, 420)),
    ];
    for (const order of [seasons, [...seasons].reverse()])
      expect(contradiction(...order)).toMatchObject({ lowerSeason: 2023, higherSeason: 2025 });
  });
});
