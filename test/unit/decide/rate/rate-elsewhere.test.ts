/**
 * The farm's rate on ground and in seasons that its strips do not have, worked by hand.
 *
 * One believable curve with a need of 300 seeds/m² that rises straight: below its need a rate loses 0.25 × (1 − rate ÷ need) of
 * the mean yield of 4,000 kg/ha, so at 0.20 a kg a seed/m² brings 0.25 × 4000 × 0.2 ÷ need = 200 ÷ need of money below the need
 * and nothing above; seed takes 0.3 of it. The table has a rate every 5 seeds/m², and the best rate is the top of a parabola
 * through the best one of the table and its neighbours. Where these lie `below` and `above` it in money, that is
 * 2.5 × (below − above) ÷ (below + above) over the best of the table.
 */
import { describe, expect, it } from "vitest";
import { ratesElsewhere } from "../../../../src/decide/rate/rate-elsewhere.ts";
import { varietyPrices } from "../../../../src/decide/rate/net-return.ts";
import type { NeedShift, RegionNeeds } from "../../../../src/vocabulary/region.ts";
import type { Belief, RateElsewhere } from "../../../../src/vocabulary/result.ts";
import { beliefOf, curve, settings } from "./three-curves.ts";

const farm: Belief = beliefOf([curve(1, 300)], () => 4000);
const shiftBy = (times: number, spread: Partial<NeedShift> = {}): NeedShift => ({
  farms: 7,
  logShift: Math.log(times),
  lower: 0,
  upper: 0,
  sd: 0,
  betweenFarmsSdLog: 0,
  ...spread,
});
const region: RegionNeeds = { farms: 9, unlike: [], varieties: [], grounds: [], water: null };
type Choice = Parameters<typeof ratesElsewhere>[2];
const choice: Choice = {
  economicOptimum: { kind: "found", rateSeedsPerM2: 300, lower: null, upper: null, reason: "no-ends" },
  evidence: "fair",
};
const noQuality = { premiumPerKg: () => 0, costPerHa: () => 0 };

const allOf = (
  needs: Partial<RegionNeeds> | null,
  { belief = farm, grounds = ["hill"] as (string | undefined)[], change = {} as Partial<Choice> } = {},
) =>
  ratesElsewhere(
    belief,
    varietyPrices(belief, noQuality, settings),
    { ...choice, ...change },
    grounds.map((ground) => (ground === undefined ? {} : { ground })),
    { ...settings, region: needs === null ? null : { ...region, ...needs } },
  );
const elsewhere = (...asked: Parameters<typeof allOf>): RateElsewhere[] => allOf(...asked).elsewhere ?? [];

const bottomAndSandy: RegionNeeds["grounds"] = [
  { ground: "bottom", against: "hill", ...shiftBy(1.2) },
  { ground: "heavy", against: "level", ...shiftBy(1.5) },
  { ground: "hill", against: "sandy", ...shiftBy(1.2) },
];
const rateOf = ({ economicOptimum }: RateElsewhere): number =>
  "rateSeedsPerM2" in economicOptimum ? economicOptimum.rateSeedsPerM2 : NaN;

describe("a rate on ground that the strips do not have", () => {
  it("is that of the farm's curves with the need of that ground", () => {
    const [bottom, sandy, ...more] = elsewhere({ grounds: bottomAndSandy });
    expect(more).toEqual([]);
    // 300 × 1.2 = 360: a seed brings 0.555556 − 0.3 = 0.255556, so 1.277778 and 1.5 are lost at 355 and 365.
    expect(bottom!.where).toEqual({ kind: "ground", ground: "bottom", against: "hill" });
    expect(rateOf(bottom!)).toBeCloseTo(359.8, 6);
    expect(bottom).toMatchObject({ farms: 7, logShift: Math.log(1.2), chance: 1 });
    // Hill needs 1.2 times what sandy does: 300 ÷ 1.2 = 250; a seed brings 0.8 − 0.3 = 0.5, so 2.5 and 1.5 are lost.
    expect(sandy!.where).toEqual({ kind: "ground", ground: "sandy", against: "hill" });
    expect(rateOf(sandy!)).toBeCloseTo(250.625, 6);
    expect(sandy!.logShift).toBeCloseTo(-Math.log(1.2), 12);
  });

  it("is told where the strips are on one ground that has a common name", () => {
    const places = (...grounds: (string | undefined)[]): number =>
      elsewhere({ grounds: bottomAndSandy }, { grounds }).length;
    expect(places("Hill top", "Home, knoll")).toBe(2);
    expect(places("Home, sandy")).toBe(1);
    expect(places("hill", "bottom")).toBe(0);
    expect(places("behind the barn")).toBe(0);
    expect(places(undefined)).toBe(0);
    expect(places("hill", undefined)).toBe(0);
    expect(places()).toBe(0);
  });

  it("goes from the middle of the farm's fields", () => {
    // Fields at 1.3 and 0.9 of the need: the log's mean is that of 300 × √(1.3 × 0.9) = 324.5, and ÷ 1.2 270.4. A curve laid
    // through the strips does not move with it, so the best rate is the table's 270 with 265 and 275 beside it: 200 ÷ 270.416 −
    // 0.3 = 0.439601 a seed; below 5 × 0.439601 = 2.198005; up to the need 0.416 × 0.439601, then 4.584 × 0.3.
    const belief: Belief = {
      ...farm,
      fields: ["East", "West"],
      fieldShifts: [[Math.log(1.3), Math.log(0.9)]],
    };
    const need = (300 * Math.sqrt(1.3 * 0.9)) / 1.2;
    const seed = 200 / need - 0.3;
    const [below, above] = [5 * seed, (275 - need) * 0.3 - (need - 270) * seed];
    const [sandy] = elsewhere({ grounds: [bottomAndSandy[2]!] }, { belief });
    expect(rateOf(sandy!)).toBeCloseTo(270 + (2.5 * (below - above)) / (below + above), 6);
  });
});

describe("a rate in dry and wet seasons", () => {
  it("has the need shifted down with less water and up with more", () => {
    const [dry, wet, ...more] = elsewhere({ water: { seasons: 4, ...shiftBy(1.2) } }, { grounds: [] });
    expect(more).toEqual([]);
    expect([dry!.where, wet!.where]).toEqual([
      { kind: "water", moreMm: -100 },
      { kind: "water", moreMm: 100 },
    ]);
    expect(rateOf(dry!)).toBeCloseTo(250.625, 6);
    expect(rateOf(wet!)).toBeCloseTo(359.8, 6);
  });
});

describe("a shift that is not known for sure", () => {
  it("has the chance of the normal table that it goes that way", () => {
    // Standard error and farms together: √(0.03² + 0.04²) = 0.05. A shift of 0.0641 is 1.282 of them: 0.90.
    const shift = shiftBy(Math.exp(0.0641), { sd: 0.03, betweenFarmsSdLog: 0.04 });
    const [dry, wet] = elsewhere({ water: { seasons: 4, ...shift } });
    expect(wet!.chance).toBeCloseTo(0.9, 3);
    expect(dry!.chance).toBeCloseTo(0.9, 3);
  });

  it("weighs needs at 0, 0.8 and 1.6 standard deviations by the normal density", () => {
    // Densities over that in the middle: e^−0.32 = 0.726149 and e^−1.28 = 0.278037; over their sum of 3.008372 they are
    // 0.332406, 0.241376 and 0.092421. 0.8 standard deviations are a factor of 1.1: needs of 247.93, 272.73, 300, 330 and 363.
    const spread = Math.log(1.1) / 0.8;
    const [bottom] = elsewhere({
      grounds: [
        {
          ground: "bottom",
          against: "hill",
          ...shiftBy(1, { sd: 0.6 * spread, betweenFarmsSdLog: 0.8 * spread }),
        },
      ],
    });
    // Just above 300 a seed brings 0.241376 × 200 ÷ 330 + 0.092421 × 200 ÷ 363 − 0.3 = −0.102790, just below it
    // 0.332406 × 200 ÷ 300 = 0.221604 more, 0.118814: at 295 and 305 lie 0.594070 and 0.513950 below.
    expect(rateOf(bottom!)).toBeCloseTo(300 + (2.5 * (0.59407 - 0.51395)) / (0.59407 + 0.51395), 3);
    // Of the five best rates the outer two hold 0.092 each: one lies in each tail of 0.1, and the middle 80 % end at the next
    // ones, 272.73 and 330; the middle 95 % hold all, so 247.93 and 363.
    expect(bottom!.likely.level).toBe(0.8);
    expect(Math.abs(bottom!.likely.lower - 272.73)).toBeLessThan(2.5);
    expect(Math.abs(bottom!.likely.upper - 330)).toBeLessThan(2.5);
    const { economicOptimum } = bottom!;
    if (economicOptimum.kind !== "found") expect.unreachable();
    expect(Math.abs(economicOptimum.lower! - 247.93)).toBeLessThan(2.5);
    expect(Math.abs(economicOptimum.upper! - 363)).toBeLessThan(2.5);
  });
});

describe("nothing is said of other places", () => {
  it.each([
    ["without a region", null, {}],
    ["where the region compares nothing", {}, {}],
    [
      "where the farm has no best rate",
      { grounds: bottomAndSandy },
      { economicOptimum: { kind: "none", reason: "no-response" } },
    ],
    ["where rates are not told apart", { grounds: bottomAndSandy }, { evidence: "none" }],
  ] as [string, Partial<RegionNeeds> | null, Partial<Choice>][])("%s", (_, needs, change) => {
    expect(allOf(needs, { change })).toEqual({});
  });
});
