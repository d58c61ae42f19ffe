/**
 * The choice between two rates, worked by hand: 250 and 300 seeds/m², where the higher yielded 100 kg/ha more on the mean of
 * four site-years. At 0.20 a kg that is 20, and 50 seeds/m² more cost 15 a hectare: it earned 5 more.
 */
import { describe, expect, it } from "vitest";
import { netReturns, varietyPrices } from "../../../../src/decide/rate/net-return.ts";
import { chooseRate, type RateChoice } from "../../../../src/decide/rate/next-rate.ts";
import { compareTwoRates, type ComparedRates } from "../../../../src/decide/rate/two-rates.ts";
import { chooseOfTwoRates } from "../../../../src/decide/rate/two-rates-choice.ts";
import type { Settings } from "../../../../src/vocabulary/settings.ts";
import { settings, three } from "./three-curves.ts";

const two: ComparedRates = {
  lowerSeedsPerM2: 250,
  higherSeedsPerM2: 300,
  environments: 4,
  environmentsHigherYieldedMore: 3,
  differenceKgPerHa: 100,
  standardErrorKgPerHa: 10,
  gainPerHa: 5,
  chanceHigherPays: 0.96,
};
const higherLoses: ComparedRates = { ...two, gainPerHa: -5, chanceHigherPays: 0.04 };

const net = netReturns(three, varietyPrices(three, { premiumPerKg: () => 0, costPerHa: () => 0 }, settings));
const facts = { seasons: 3, lodgingCeiling: { kind: "none", reason: "not-scored" } } as const;
const choice: RateChoice = { ...chooseRate(three, net, facts, settings), reasons: [] };

function chosen(
  now: number | null,
  compared = two,
  { seasons = 3, ceiling = null as number | null, changes = {} as Partial<Settings>, of = choice } = {},
) {
  return chooseOfTwoRates(
    { ...of, rateNowSeedsPerM2: now, lodgingCeilingSeedsPerM2: ceiling },
    compared,
    seasons,
    { ...settings, largestStep: 0.25, flatZonePerHa: 1, ...changes },
  );
}
const codes = (now: number | null, ...more: [ComparedRates?, Parameters<typeof chosen>[2]?]): string[] =>
  chosen(now, ...more).choice.reasons.map(({ code }) => code);

describe("the better of two rates", () => {
  it("is gone to from the other, for the measured money and its interval", () => {
    const { choice: next, twoRates } = chosen(250);
    expect(next.rateNextSeedsPerM2).toBe(300);
    expect(next.chanceOfGain).toBe(0.96);
    // Student's t with 3 degrees of freedom for the middle 80 % is 1.638 (tables): 1.638 × 10 × 0.2 = 3.276.
    expect(next.gainPerHa!.expected).toBeCloseTo(5, 12);
    expect(next.gainPerHa!.lower).toBeCloseTo(5 - 3.276, 2);
    expect(next.gainPerHa!.upper).toBeCloseTo(5 + 3.276, 2);
    expect(next.reasons).toEqual([]);
    expect(twoRates).toEqual(two);
  });

  it("is the lower where the higher earned less", () => {
    const { choice: next } = chosen(300, higherLoses);
    expect(next.rateNextSeedsPerM2).toBe(250);
    expect(next.chanceOfGain).toBe(0.96);
    expect(next.gainPerHa!.expected).toBe(5);
  });

  it("has a gain without a range where it was seen once", () => {
    const once = { ...two, standardErrorKgPerHa: null, environments: 1, chanceHigherPays: 0.9 };
    expect(chosen(250, once).choice.gainPerHa).toEqual({ expected: 5, lower: 5, upper: 5 });
  });

  it("is neared by a step, of which no money is told, and whatever read a curve is taken back", () => {
    const { choice: next } = chosen(250, two, { changes: { largestStep: 0.1 } });
    expect(next.rateNextSeedsPerM2).toBeCloseTo(275, 9);
    expect(next).toMatchObject({
      gainPerHa: null,
      intervals: [],
      flatZone: null,
      expectedLossPerHa: null,
      sensitivity: [],
      chanceOfGain: 0.96,
    });
    expect(next.reasons.map(({ code }) => code)).toEqual(["step-limited"]);
  });

  it("is aimed at from below the lower or above the higher, but nothing measured says what that brings", () => {
    expect(chosen(240).choice).toMatchObject({
      rateNextSeedsPerM2: 300,
      chanceOfGain: 0.96,
      gainPerHa: null,
    });
    expect(chosen(310, higherLoses).choice).toMatchObject({ rateNextSeedsPerM2: 250, gainPerHa: null });
  });

  it("is stayed at, and said to be the better one", () => {
    expect(chosen(300).choice).toMatchObject({
      rateNextSeedsPerM2: 300,
      chanceOfGain: null,
      gainPerHa: null,
    });
    expect(codes(300)).toEqual(["better-of-two"]);
    expect(codes(250, higherLoses)).toEqual(["better-of-two"]);
  });

  it("says nothing of rates between the two or beyond the better one", () => {
    for (const now of [275, 320]) {
      expect(chosen(now).choice).toMatchObject({ rateNextSeedsPerM2: now, chanceOfGain: null });
      expect(codes(now)).toEqual(["beside-two-rates"]);
    }
    expect(codes(230, higherLoses)).toEqual(["beside-two-rates"]);
  });

  it("takes a rate within one per cent of a tested one for that one", () => {
    expect(chosen(252.4).choice.rateNextSeedsPerM2).toBe(300);
    expect(chosen(252.4).choice.gainPerHa).not.toBeNull();
    expect(codes(252.6)).toEqual(["beside-two-rates"]);
    expect(codes(297.1)).toEqual(["better-of-two"]);
    expect(codes(296.9)).toEqual(["beside-two-rates"]);
  });

  it("is not gone to for no more than the flat zone's sum", () => {
    const { choice: next } = chosen(250, two, { changes: { flatZonePerHa: 5 } });
    expect(next).toMatchObject({ rateNextSeedsPerM2: 250, chanceOfGain: null, gainPerHa: null });
    expect(next.reasons.map(({ code }) => code)).toEqual(["inside-flat-zone"]);
  });

  it("keeps a lodging ceiling", () => {
    expect(chosen(250, two, { ceiling: 280 }).choice).toMatchObject({
      rateNextSeedsPerM2: 280,
      gainPerHa: null,
    });
    expect(codes(250, two, { ceiling: 280 })).toEqual(["lodging-ceiling"]);
    expect(chosen(300, two, { ceiling: 280 }).choice.rateNextSeedsPerM2).toBe(280);
    expect(chosen(null, two, { ceiling: 280 }).choice.rateNextSeedsPerM2).toBe(280);
  });

  it("is told without a gain where today's rate is not known", () => {
    expect(chosen(null).choice).toMatchObject({
      rateNextSeedsPerM2: 300,
      intervals: [],
      gainPerHa: null,
      chanceOfGain: null,
      evidence: "strong",
    });
    expect(chosen(null, higherLoses).choice.rateNextSeedsPerM2).toBe(250);
  });
});

describe("evidence of two rates", () => {
  it.each([
    [3, 0.95, "strong"],
    [3, 0.949, "fair"],
    [2, 0.99, "fair"],
    [1, 0.99, "weak"],
    [3, 0.8, "fair"],
    [3, 0.799, "none"],
    [3, 0.2, "fair"],
    [3, 0.201, "none"],
    [3, 0.05, "strong"],
  ])("of %i seasons and a chance of %d is %s", (seasons, chanceHigherPays, word) => {
    const compared = { ...two, chanceHigherPays, gainPerHa: chanceHigherPays > 0.5 ? 5 : -5 };
    expect(chosen(250, compared, { seasons }).choice.evidence).toBe(word);
  });

  it("that do not differ leaves today's rate, without odds or money", () => {
    for (const chanceHigherPays of [0.7, null]) {
      const { choice: next, twoRates } = chosen(250, { ...two, chanceHigherPays });
      expect(next).toMatchObject({ rateNextSeedsPerM2: 250, evidence: "none" });
      expect(twoRates).toEqual({ ...two, gainPerHa: null, chanceHigherPays: null });
      expect(codes(250, { ...two, chanceHigherPays })).toEqual(["two-rates-alike"]);
      expect(chosen(null, { ...two, chanceHigherPays }).choice.rateNextSeedsPerM2).toBeNull();
    }
    const over = chosen(300, { ...two, chanceHigherPays: 0.7 }, { ceiling: 280 }).choice;
    expect(over.rateNextSeedsPerM2).toBe(280);
    expect(over.reasons.map(({ code }) => code)).toEqual(["two-rates-alike", "lodging-ceiling"]);
  });

  it("keeps the reasons that hold of two rates, too, and no others", () => {
    const reasons: RateChoice["reasons"] = [
      { code: "too-few-rates", numbers: { rates: 2 } },
      { code: "one-season", numbers: {} },
      { code: "rate-follows-ground", numbers: {} },
    ];
    expect(codes(300, two, { of: { ...choice, reasons } })).toEqual([
      "too-few-rates",
      "one-season",
      "better-of-two",
    ]);
  });
});

describe("the comparison of two rates", () => {
  const cell = (block: string, rateSeedsPerM2: number, meanYieldKgPerHa: number, strips = 1) => ({
    block,
    rateSeedsPerM2,
    strips,
    meanYieldKgPerHa,
  });
  const prices = { grainPricePerKg: 0.2 };

  it("is certain where every site-year has the same difference, of money above nothing", () => {
    const same = [4000, 5000].map((low) => ({ cells: [cell("", 250, low), cell("", 300, low + 100)] }));
    expect(compareTwoRates(same, 0.03, prices)).toMatchObject({ gainPerHa: 5, chanceHigherPays: 1 });
    // Seed at 0.04 takes 20: nothing is earned.
    expect(compareTwoRates(same, 0.04, prices)).toMatchObject({ gainPerHa: 0, chanceHigherPays: 0 });
    expect(compareTwoRates(same.slice(1), 0.03, prices)).toMatchObject({
      environments: 1,
      standardErrorKgPerHa: null,
      chanceHigherPays: null,
    });
  });

  it("is no surer than the blocks of a site-year allow, however well the site-years agree by luck", () => {
    // Differences of −100 and 300, then of 0 and 200: both site-years 100. Squares 80,000 and 20,000 with 1 df each, so
    // a variance of 50,000; √(50,000 ÷ 2 + 50,000 ÷ 2) ÷ 2 = 111.8034.
    const years = [
      [-100, 300],
      [0, 200],
    ].map((more) => ({
      cells: more.flatMap((one, i) => [cell(`${i}`, 250, 4000), cell(`${i}`, 300, 4000 + one)]),
    }));
    const compared = compareTwoRates(years, 0.03, prices)!;
    expect(compared.differenceKgPerHa).toBe(100);
    expect(compared.standardErrorKgPerHa).toBeCloseTo(111.8034, 4);
    // 5 ÷ (0.2 × 111.8034) = 0.2236 with 1 df: ½ + arctan(0.2236) ÷ π = 0.5700.
    expect(compared.chanceHigherPays).toBeCloseTo(0.57, 3);
  });

  it("counts the site-years in which the higher yielded more", () => {
    const years = [100, 0, -100].map((more) => ({
      cells: [cell("", 250, 4000), cell("", 300, 4000 + more)],
    }));
    expect(compareTwoRates(years, 0.03, prices)).toMatchObject({
      environments: 3,
      environmentsHigherYieldedMore: 1,
      differenceKgPerHa: 0,
    });
  });

  it("weighs cells by their strips where no block holds both", () => {
    // (1 × 4,000 + 3 × 4,400) ÷ 4 = 4,300 against 4,200.
    const cells = [cell("1", 250, 4200), cell("2", 300, 4000), cell("3", 300, 4400, 3)];
    expect(compareTwoRates([{ cells }], 0.03, prices)).toMatchObject({ differenceKgPerHa: 100 });
  });

  it("leaves out a site-year that had one of the two, and says nothing without any that had both", () => {
    const one = { cells: [cell("1", 250, 4200)] };
    const other = { cells: [cell("1", 300, 4200)] };
    expect(compareTwoRates([one, other], 0.03, prices)).toBeNull();
    const both = { cells: [cell("1", 250, 4000), cell("1", 300, 4100)] };
    expect(compareTwoRates([one, both, other], 0.03, prices)).toMatchObject({ environments: 1 });
  });
});
