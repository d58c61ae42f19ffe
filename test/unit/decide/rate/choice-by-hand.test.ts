/**
 * The choice of one variety's rate, worked by hand on the curves of `three-curves.ts`: the expected curve earns 0.253333 a
 * seed/m² up to 300 and loses 0.08 above. In the table of every 5 seeds/m² the best rate is the top of a parabola through
 * −1.266667, 0 and −0.4: 300 + 5 × 0.866667 ÷ 3.333333 = 301.3.
 */
import { describe, expect, it } from "vitest";
import { netReturns, varietyPrices } from "../../../../src/decide/rate/net-return.ts";
import { chooseRate, withoutNumbers, type VarietyFacts } from "../../../../src/decide/rate/next-rate.ts";
import type { Belief, Reason } from "../../../../src/vocabulary/result.ts";
import { unknownLot, type Settings } from "../../../../src/vocabulary/settings.ts";
import { rates, settings, three } from "./three-curves.ts";

function chosen(
  changes: Partial<Settings> = {},
  belief: Belief = three,
  { ceiling = null as number | null, seasons = 3 } = {},
) {
  const asked = { ...settings, ...changes };
  const net = netReturns(belief, varietyPrices(belief, { premiumPerKg: () => 0, costPerHa: () => 0 }, asked));
  const lodgingCeiling: VarietyFacts["lodgingCeiling"] =
    ceiling === null ? { kind: "none", reason: "not-scored" } : { kind: "found", rateSeedsPerM2: ceiling };
  return chooseRate(belief, net, { seasons, lodgingCeiling }, asked);
}
const unknown = { rateNowSeedsPerM2: null };
const believed = (changes: Partial<Belief>): Belief => ({ ...three, ...changes });
const reason = (reasons: readonly Reason[], code: Reason["code"]) =>
  reasons.find((one) => one.code === code)?.numbers;
const codes = ({ reasons }: { reasons: readonly Reason[] }): string[] => reasons.map(({ code }) => code);

describe("today's rate", () => {
  const lots = [
    { ...unknownLot("Birch"), rateNowSeedsPerM2: 350 },
    { ...unknownLot("Alder"), rateNowSeedsPerM2: 270 },
  ];

  it("is the own lot's, else the setting's, else not known", () => {
    expect(chosen({ lots })).toMatchObject({ rateNowSeedsPerM2: 270, rateNowFrom: "lot" });
    const silent = [lots[0]!, unknownLot("Alder")];
    expect(chosen({ lots: silent })).toMatchObject({ rateNowSeedsPerM2: 260, rateNowFrom: "setting" });
    expect(chosen({ lots: [lots[0]!] })).toMatchObject({ rateNowSeedsPerM2: 260, rateNowFrom: "setting" });
    expect(chosen(unknown)).toMatchObject({ rateNowSeedsPerM2: null, rateNowFrom: null });
  });
});

describe("without a rate of today", () => {
  it("the best rate itself is named, without a gain or break-even prices", () => {
    const next = chosen(unknown);
    expect(next.rateNextSeedsPerM2).toBeCloseTo(301.3, 6);
    expect(next).toMatchObject({ gainPerHa: null, chanceOfGain: null, holdsAt: null, reasons: [] });
    expect(next.expectedLossPerHa).toBeGreaterThan(0);
  });

  it("a lodging ceiling and the lowest accepted rate hold", () => {
    const kept = chosen(unknown, three, { ceiling: 280 });
    expect(kept).toMatchObject({ rateNextSeedsPerM2: 280, lodgingCeilingSeedsPerM2: 280 });
    expect(codes(kept)).toEqual(["lodging-ceiling"]);
    expect(codes(chosen(unknown, three, { ceiling: 350 }))).toEqual([]);
    const lifted = chosen({ ...unknown, lowestRateSeedsPerM2: 320 });
    expect(lifted.rateNextSeedsPerM2).toBe(320);
    expect(codes(lifted)).toEqual(["lowest-rate"]);
    // Lower than the best rate, it is not named though less would earn more than nothing.
    expect(codes(chosen({ ...unknown, lowestRateSeedsPerM2: 250 }))).toEqual([]);
  });

  it("no rate is named where no response is the likeliest, or with two rates", () => {
    for (const belief of [believed({ noResponseChance: 0.5 }), believed({ testedRates: 2 })])
      expect(chosen(unknown, belief)).toMatchObject({ rateNextSeedsPerM2: null, expectedLossPerHa: null });
    expect(chosen(unknown, believed({ noResponseChance: 0.49 })).rateNextSeedsPerM2).toBeCloseTo(301.3, 6);
  });
});

describe("a lodging ceiling", () => {
  it("is gone up to and named where it keeps the rate from the best one", () => {
    // From 260 to 280 earns 20 × 0.253333 = 5.066667, more than the flat zone's 4.1.
    const next = chosen({}, three, { ceiling: 280 });
    expect(next.rateNextSeedsPerM2).toBeCloseTo(280, 9);
    expect(next.gainPerHa!.expected).toBeCloseTo(5.0666667, 6);
    expect(reason(next.reasons, "lodging-ceiling")).toEqual({ rateSeedsPerM2: 280 });
  });

  it("is not gone up to for less than the flat zone's sum, and is named all the same", () => {
    // From 260 to 276: 16 × 0.253333 = 4.0533.
    const next = chosen({}, three, { ceiling: 276 });
    expect(next.rateNextSeedsPerM2).toBe(260);
    expect(codes(next)).toEqual(["lodging-ceiling", "inside-flat-zone"]);
    expect(reason(next.reasons, "inside-flat-zone")).toMatchObject({
      gainPerHa: expect.closeTo(4.0533333, 6) as number,
    });
  });

  it("above the best rate changes nothing", () => {
    expect(chosen({}, three, { ceiling: 310 })).toMatchObject({
      rateNextSeedsPerM2: expect.closeTo(286, 9) as number,
      reasons: [{ code: "step-limited" }],
    });
  });
});

describe("the lowest rate that a person accepts", () => {
  // Seed at 0.06: a seed less earns 0.6 − 0.553333 = 0.046667 below 300 and 0.6 − 0.22 = 0.38 above: the fewer the better.
  const dear = { seedPricePerThousand: 0.06, rateNowSeedsPerM2: 300, lowestRateSeedsPerM2: 280 };

  it("is named where going below it would pay more than the flat zone's sum", () => {
    // To 280: 0.93333, inside the flat zone. To 200, the best: 4.66667.
    const next = chosen(dear);
    expect(next.rateNextSeedsPerM2).toBe(300);
    expect(reason(next.reasons, "lowest-rate")).toEqual({ rateSeedsPerM2: 280 });
    expect(codes(next)).not.toContain("inside-flat-zone");
    const worth = chosen({ ...dear, flatZonePerHa: 4.7 });
    expect(codes(worth)).not.toContain("lowest-rate");
    expect(codes(worth)).toContain("inside-flat-zone");
  });

  it("is gone down to where that pays", () => {
    // From 310: 10 × 0.38 + 20 × 0.046667 = 4.73333 to 280, and a tenth of 310 reaches 279.
    const next = chosen({ ...dear, rateNowSeedsPerM2: 310 });
    expect(next.rateNextSeedsPerM2).toBeCloseTo(280, 9);
    expect(next.gainPerHa!.expected).toBeCloseTo(4.7333333, 6);
  });

  it("asks for no strip of a rate that the person does not accept, nor of one that lodging forbids", () => {
    // The best is 200, the lowest tested.
    expect(codes(chosen({ ...dear, lowestRateSeedsPerM2: null }))).toContain("at-lowest-tested");
    expect(chosen(dear).economicOptimum).toMatchObject({ kind: "at-edge", edge: "lowest" });
    expect(codes(chosen(dear))).not.toContain("at-lowest-tested");
    // Seed at nothing: the best is 400, the highest tested.
    const free = { seedPricePerThousand: 0 };
    expect(codes(chosen(free))).toContain("at-highest-tested");
    const lodging = chosen(free, three, { ceiling: 280 });
    expect(lodging.economicOptimum).toMatchObject({ kind: "at-edge", edge: "highest" });
    expect(codes(lodging)).toContain("lodging-ceiling");
    expect(codes(lodging)).not.toContain("at-highest-tested");
  });

  it("is not named where it is what the strips ask for, or less", () => {
    expect(codes(chosen({ lowestRateSeedsPerM2: 250 }))).toEqual(["step-limited"]);
  });
});

describe("where no response is as likely as all else together", () => {
  it("money still moves the rate by a step, which is said with the rates to test next", () => {
    const next = chosen({}, believed({ noResponseChance: 0.5 }));
    expect(next.rateNextSeedsPerM2).toBeCloseTo(286, 9);
    expect(next.evidence).toBe("weak");
    expect(next.holdsAt).toBeNull();
    // Five rates from 200 to 400 stand 50 apart.
    expect(reason(next.reasons, "no-response-step")).toEqual({
      chance: 0.5,
      testLowerSeedsPerM2: 150,
      testHigherSeedsPerM2: 450,
    });
    // None below what the person accepts.
    const accepted = chosen({ lowestRateSeedsPerM2: 190 }, believed({ noResponseChance: 0.5 }));
    expect(reason(accepted.reasons, "no-response-step")).toMatchObject({ testLowerSeedsPerM2: 190 });
    expect(codes(chosen({}, believed({ noResponseChance: 0.49 })))).not.toContain("no-response-step");
  });

  it("the rate stays where a move brings nothing, as evidence of nothing", () => {
    const next = chosen({ rateNowSeedsPerM2: 300 }, believed({ noResponseChance: 0.5 }));
    expect(next).toMatchObject({ rateNextSeedsPerM2: 300, evidence: "none", chanceOfGain: null });
    expect(codes(next)).toEqual(["no-response", "inside-flat-zone"]);
  });

  it("no rate of less than half the lowest is asked for", () => {
    // Three rates from 200 to 500 stand 150 apart: 50 would be next.
    const wide = believed({ noResponseChance: 0.6, testedRates: 3, testedSeedsPerM2: [200, 500] });
    expect(reason(chosen({}, wide).reasons, "no-response-step")).toMatchObject({
      testLowerSeedsPerM2: 100,
      testHigherSeedsPerM2: 650,
    });
  });
});

describe("what else is said of a choice", () => {
  it("names the edge at which money still rises, and the rate to test beyond", () => {
    expect(reason(chosen({ seedPricePerThousand: 0.02 }).reasons, "at-highest-tested")).toEqual({
      rateSeedsPerM2: 400,
      testSeedsPerM2: 450,
    });
    expect(reason(chosen({ seedPricePerThousand: 0.06 }).reasons, "at-lowest-tested")).toEqual({
      rateSeedsPerM2: 200,
      testSeedsPerM2: 150,
    });
    expect(codes(chosen())).toEqual(["step-limited"]);
  });

  it("says where today's rate lies outside the tested ones", () => {
    const outside = (rate: number) =>
      reason(chosen({ rateNowSeedsPerM2: rate }).reasons, "today-outside-tested");
    expect(outside(199)).toEqual({ rateSeedsPerM2: 199, lowestSeedsPerM2: 200, highestSeedsPerM2: 400 });
    expect(outside(401)).toEqual({ rateSeedsPerM2: 401, lowestSeedsPerM2: 200, highestSeedsPerM2: 400 });
    expect(outside(200)).toBeUndefined();
    expect(outside(400)).toBeUndefined();
  });

  it("does not say what a change from a rate outside the tested ones would add", () => {
    // With cheap seed the best is 400, the highest tested; with dear seed 200, the lowest. Beyond them nothing is known.
    for (const [rate, price] of [
      [410, 0.02],
      [190, 0.06],
    ] as const) {
      const stays = chosen({ rateNowSeedsPerM2: rate, seedPricePerThousand: price });
      expect(stays.rateNextSeedsPerM2).toBe(rate);
      expect(codes(stays)).toContain("today-outside-tested");
      expect(codes(stays)).not.toContain("inside-flat-zone");
    }
  });

  it("says where there was one season, or only a region", () => {
    expect(codes(chosen({}, three, { seasons: 1 }))).toContain("one-season");
    expect(codes(chosen({}, three, { seasons: 2 }))).not.toContain("one-season");
    const region = { farms: 12, leaning: 1, farmsBelow: 0.5 };
    expect(reason(chosen({}, believed({ strips: 0, region })).reasons, "region-only")).toEqual({ farms: 12 });
    expect(codes(chosen({}, believed({ region })))).not.toContain("region-only");
    expect(codes(chosen({}, believed({ strips: 0 })))).not.toContain("region-only");
  });

  it("keeps today's rate with two rates, and says that they are too few", () => {
    const next = chosen({}, believed({ testedRates: 2 }));
    expect(next).toMatchObject({ rateNextSeedsPerM2: 260, evidence: "none", holdsAt: null });
    expect(reason(next.reasons, "too-few-rates")).toEqual({ rates: 2 });
    expect(reason(chosen().reasons, "too-few-rates")).toBeUndefined();
  });

  it("holds break-even prices, other beliefs' best rates, and a flat zone that ends with the table", () => {
    // From 260: the whole move earns 41.3 × … until grain falls to 0.1455, as price-range.test.ts works out for 300.
    expect(chosen().holdsAt!.grainPricePerKg.lower).toBeGreaterThan(0.14);
    expect(chosen().holdsAt!.grainPricePerKg.lower).toBeLessThan(0.15);
    const rising = { prior: "flat", expectedKgPerHa: rates.map((rate) => 3000 + 3 * rate) } as const;
    expect(chosen({}, believed({ movedPriors: [rising] })).sensitivity).toEqual([
      { prior: "flat", rateSeedsPerM2: 400 },
    ]);
    expect(chosen({ flatZonePerHa: 1000 }).flatZone).toEqual({ lower: 200, upper: 400 });
    expect(chosen({ flatZonePerHa: 0 }).flatZone).toEqual({ lower: 300, upper: 300 });
  });
});

describe("a choice whose numbers tell nothing", () => {
  it("loses them, and the reasons that speak of a best rate", () => {
    const told = {
      ...chosen({ seedPricePerThousand: 0.02 }),
      evidence: "none" as const,
      yieldOptimum: { kind: "none", reason: "level" } as const,
    };
    const bare = withoutNumbers(told);
    expect(bare).toMatchObject({
      intervals: [],
      flatZone: null,
      gainPerHa: null,
      chanceOfGain: null,
      expectedLossPerHa: null,
      sensitivity: [],
      rateNextSeedsPerM2: told.rateNextSeedsPerM2,
      yieldOptimum: { kind: "none", reason: "level" },
      economicOptimum: { kind: "none", reason: "no-response" },
    });
    expect(codes(told)).toContain("at-highest-tested");
    expect(codes(bare)).toEqual(["step-limited"]);
    const weak = { ...told, evidence: "weak" as const };
    expect(withoutNumbers(weak)).toBe(weak);
  });
});
