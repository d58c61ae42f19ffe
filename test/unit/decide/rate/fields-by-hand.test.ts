/**
 * The rate of each field, worked by hand.
 *
 * One believable curve with a need of 300 seeds/m² for the farm that rises straight: below its need a rate loses 0.25 × (1 −
 * rate ÷ need) of the mean yield of 4,000 kg/ha. On Hill the need is 300 ÷ 1.2 = 250, on Bottom 300 × 1.2 = 360, so a seed/m²
 * brings 1000 ÷ 250 = 4 kg/ha on Hill and 1000 ÷ 360 = 2.7778 on Bottom, and nothing beyond the need.
 *
 * Hill yields 5,000 kg/ha and Bottom 3,000, so that a seed brings 4 × 1.25 = 5 and 2.7778 × 0.75 = 2.08333 kg/ha. At 0.20 a kg,
 * less 0.3 for the seed, it earns 0.7 on Hill below 250 and 0.116667 on Bottom below 360, and −0.3 above. The table has a rate
 * every 5 seeds/m², and the best rate is the top of a parabola: on Hill through −3.5, 0 and −1.5 at 245, 250 and 255, which is
 * 250 + 5 × 2 ÷ 10 = 251; on Bottom through −0.58333, 0 and −1.5, which is 360 − 5 × 0.91667 ÷ 4.16667 = 358.9.
 */
import { describe, expect, it } from "vitest";
import { earnedByCurve, netReturnsOnField, varietyPrices } from "../../../../src/decide/rate/net-return.ts";
import { rateByField } from "../../../../src/decide/rate/rate-by-field.ts";
import { measuresOf } from "../../../../src/numbers/measures.ts";
import { byFieldSentence } from "../../../../src/tell/wording/by-field.ts";
import type { Belief, NextRate } from "../../../../src/vocabulary/result.ts";
import { defaultUnits, unknownLot, type Settings } from "../../../../src/vocabulary/settings.ts";
import { beliefOf, curve, settings } from "./three-curves.ts";

const apart = Math.log(1.2);
const twoFields: Belief = {
  ...beliefOf([curve(1, 300)], () => 4000),
  fields: ["Bottom", "Hill"],
  fieldShifts: [[apart, -apart]],
  chanceFieldsDiffer: 0.9,
};
const prices = varietyPrices(twoFields, { premiumPerKg: () => 0, costPerHa: () => 0 }, settings);
type FarmChoice = Parameters<typeof rateByField>[2];
const farm: FarmChoice = {
  variety: "Alder",
  rateNowSeedsPerM2: 280,
  lodgingCeilingSeedsPerM2: null,
  evidence: "fair",
  economicOptimum: { kind: "found", rateSeedsPerM2: 300, lower: null, upper: null, reason: "no-ends" },
};
const fitOn = (field: string, yields: readonly [strips: number, kgPerHa: number][]) => ({
  environment: `2024 ${field}`,
  season: 2024,
  cells: yields.map(([strips, meanYieldKgPerHa]) => ({
    block: "1",
    rateSeedsPerM2: 300,
    strips,
    meanYieldKgPerHa,
  })),
});
const fits = [
  // (1 × 4,400 + 3 × 5,200) ÷ 4 = 5,000.
  fitOn("Hill", [
    [1, 4400],
    [3, 5200],
  ]),
  fitOn("Bottom", [[2, 3000]]),
];
const byField = (
  changes: Partial<Settings> = {},
  farmChanges: Partial<FarmChoice> = {},
  belief = twoFields,
) => rateByField(belief, prices, { ...farm, ...farmChanges }, fits, { ...settings, ...changes });

describe("the net return of a field", () => {
  it("is that of its own curve, at its own yield", () => {
    const bottom = netReturnsOnField(twoFields, prices, 0, 3000);
    const hill = netReturnsOnField(twoFields, prices, 1, 5000);
    // The strips' mean over both fields is 0.0286111 below the tops: Hill loses 0.05 at 200 and no more; Bottom 0.111111,
    // 0.0763889, 0.0416667 and 0.0069444 at 200 to 350. (0.05 + 0.2361111) ÷ 10.
    expect(hill.expected[10]).toBeCloseTo(5000 * 1.0286111 * 0.2 - 75, 3);
    expect(hill.expected[0]).toBeCloseTo(5000 * 0.9786111 * 0.2 - 60, 3);
    expect(bottom.expected[0]).toBeCloseTo(3000 * 0.9175 * 0.2 - 60, 3);
    expect(hill.rates.map((rate) => earnedByCurve(hill, rate)[0])).toEqual(
      [...hill.expected].map((one) => expect.closeTo(one, 9)),
    );
  });

  it("is the mean of what is believed", () => {
    // Two curves of one field's need, 250 and 360, believed three to one: at 400 both are at their tops, at 200 they lose 0.05
    // and 0.111111 of 4,000 kg/ha, 0.0652778 on average.
    const two: Belief = {
      ...twoFields,
      curves: [curve(0.75, 250), curve(0.25, 360)],
      fieldShifts: [[0, 0]],
    };
    const field = netReturnsOnField(two, prices, 0, 4000);
    const rise = field.expected[40]! - field.expected[0]!;
    // The tops lie 0.01 and 0.0472222 above the strips' mean.
    expect(rise).toBeCloseTo(4000 * 0.0652778 * 0.2 - 60, 3);
    expect(field.expected[40]).toBeCloseTo(4000 * (1 + 0.75 * 0.01 + 0.25 * 0.0472222) * 0.2 - 120, 3);
  });
});

describe("a field's rate", () => {
  it("is its best one, and the field that needs least comes first", () => {
    const { fields } = byField()!;
    expect(fields.map(({ field }) => field)).toEqual(["Hill", "Bottom"]);
    const [hill, bottom] = fields.map(({ economicOptimum }) =>
      "rateSeedsPerM2" in economicOptimum ? economicOptimum.rateSeedsPerM2 : NaN,
    );
    expect(hill).toBeCloseTo(251, 6);
    expect(bottom).toBeCloseTo(358.9, 6);
    expect(fields[0]!.likely).toMatchObject({ level: 0.8, lower: expect.closeTo(251, 6) as number });
  });

  it("is the lowest tested where yield answers too little to pay for seed, and then no field is said to need more", () => {
    // On Bottom a seed brings three tenths of 2.08333 kg/ha, 0.125 at 0.20 a kg, less than the 0.3 that it costs.
    const sure: Belief = { ...twoFields, chanceFieldsDiffer: 0.99 };
    expect(byField({}, {}, sure)).toMatchObject({ mostPaysToo: true, differ: true });
    const weak = [0.3, 1].map((middle) => ({ middle, sdLog: 0 }));
    const told = byField({}, {}, { ...sure, fieldStrengths: weak })!;
    expect(told.fields.map(({ field }) => field)).toEqual(["Hill", "Bottom"]);
    expect(told.fields[1]!.economicOptimum).toMatchObject({ kind: "at-edge", rateSeedsPerM2: 200 });
    expect(told).toMatchObject({ mostPaysToo: false, differ: false });
    expect(
      byFieldSentence({ byField: told } as NextRate, measuresOf({ units: defaultUnits, settings })),
    ).toBe("By field: no field is shown to need more or less seed than the others; one rate serves all.");
  });

  it("is one step of a tenth away from today's, for that much more money", () => {
    const [hill, bottom] = byField()!.fields;
    // From 280 down to 252, 28 × 0.3 = 8.4 less for seed; up to 308, 28 × 0.116667 = 3.26667.
    expect(hill!.rateNextSeedsPerM2).toBeCloseTo(252, 9);
    expect(hill!.gainPerHa!.expected).toBeCloseTo(8.4, 6);
    expect(hill!.chanceOfGain).toBe(1);
    expect(bottom!.rateNextSeedsPerM2).toBeCloseTo(308, 9);
    expect(bottom!.gainPerHa!.expected).toBeCloseTo(3.2666667, 6);
  });

  it("stays where the whole move earns no more than the flat zone's sum", () => {
    // Hill: 29 seeds less earn 8.7. Bottom: 80 × 0.116667 − 0.128333 = 9.205.
    const rates = (flatZonePerHa: number) =>
      byField({ flatZonePerHa })!.fields.map(({ rateNextSeedsPerM2 }) => Math.round(rateNextSeedsPerM2));
    expect(rates(8.69)).toEqual([252, 308]);
    expect(rates(8.71)).toEqual([280, 308]);
    expect(rates(9.21)).toEqual([280, 280]);
  });

  it("is the best one where today's is not known, without a gain", () => {
    const { fields } = byField({}, { rateNowSeedsPerM2: null })!;
    expect(fields[0]!.rateNextSeedsPerM2).toBeCloseTo(251, 6);
    expect(fields[1]!.rateNextSeedsPerM2).toBeCloseTo(358.9, 6);
    expect(fields[1]).toMatchObject({ gainPerHa: null, chanceOfGain: null });
  });

  it("keeps a lodging ceiling and the lowest rate that a person accepts", () => {
    const [, bottom] = byField({}, { lodgingCeilingSeedsPerM2: 290 })!.fields;
    // Up to the ceiling: 10 × 0.116667 = 1.16667, less than the flat zone's 4.1; without that sum it is gone to.
    expect(bottom!.rateNextSeedsPerM2).toBe(280);
    const [, free] = byField({ flatZonePerHa: 0 }, { lodgingCeilingSeedsPerM2: 290 })!.fields;
    expect(free!.rateNextSeedsPerM2).toBeCloseTo(290, 9);
    const lots = [
      { ...unknownLot("Birch"), lowestRateSeedsPerM2: 350 },
      { ...unknownLot("Alder"), lowestRateSeedsPerM2: 260 },
    ];
    expect(byField({ lots })!.fields[0]!.rateNextSeedsPerM2).toBe(260);
  });

  it("costs what one rate for all earns less there", () => {
    // One rate is 300. Hill at 251: 0.3 below the top of the table at 250; at 300: 15 below. Bottom at 358.9: 1.1 × 0.116667 =
    // 0.128333 below its top; at 300: 7 below.
    const { fields, oneRateCostsPerHa } = byField()!;
    expect(fields[0]!.oneRateCostsPerHa).toBeCloseTo(14.7, 6);
    expect(fields[1]!.oneRateCostsPerHa).toBeCloseTo(6.8716667, 6);
    expect(oneRateCostsPerHa).toBeCloseTo(10.7858333, 6);
  });

  it("costs nothing where a ceiling holds all to one rate", () => {
    // All tops but Hill's lie over 255: Bottom and the one rate are both held to it.
    const { fields } = byField({}, { lodgingCeilingSeedsPerM2: 255 })!;
    expect(fields[1]!.oneRateCostsPerHa).toBe(0);
    // Hill at 251 loses 0.3 and at 255 1.5.
    expect(fields[0]!.oneRateCostsPerHa).toBeCloseTo(1.2, 6);
  });

  it("is weighed for the lot", () => {
    const lots = [{ ...unknownLot("Alder"), seedsPerKg: 25_000, germination: 0.9, purity: 0.95 }];
    // 252 seeds/m² are 2,520,000 a hectare; a kilogram holds 25,000 × 0.9 × 0.95 = 21,375 viable ones.
    expect(byField({ lots })!.fields[0]!.kgPerHa).toBeCloseTo(2_520_000 / 21_375, 6);
    expect(byField()!.fields[0]!.kgPerHa).toBeNull();
  });

  it("is told where fields are known apart and a best rate is named", () => {
    expect(byField({}, {}, { ...twoFields, chanceFieldsDiffer: null })).toBeNull();
    expect(byField({}, { evidence: "none" })).toBeNull();
    expect(byField({}, { economicOptimum: { kind: "none", reason: "no-response" } })).toBeNull();
  });

  it("takes the farm's yield where a field had no strip of the variety", () => {
    const [hill] = rateByField(twoFields, prices, farm, [fits[1]!], settings)!.fields;
    // At 4,000 kg/ha the step down saves the same seed.
    expect(hill!.gainPerHa!.expected).toBeCloseTo(8.4, 6);
    // A seed brings 4 × 0.2 − 0.3 = 0.5 below 250: through −2.5, 0 and −1.5 the top is 250 + 5 ÷ 8 = 250.625.
    expect(hill!.economicOptimum).toMatchObject({ rateSeedsPerM2: expect.closeTo(250.625, 6) as number });
  });

  it("is of the ground where strips carry one", () => {
    expect(byField()!.by).toBe("field");
    const grounds = [{ ...fits[0]!, ground: "Hill" }, fits[1]!];
    expect(rateByField(twoFields, prices, farm, grounds, settings)!.by).toBe("ground");
  });
});

describe("the chance that fields differ", () => {
  it.each([
    [0.949, false],
    [0.951, true],
  ])("of %f suffices from 19 in 20 on", (chanceFieldsDiffer, differ) => {
    expect(byField({}, {}, { ...twoFields, chanceFieldsDiffer })).toMatchObject({
      chanceTheyDiffer: chanceFieldsDiffer,
      differ,
    });
  });
});
