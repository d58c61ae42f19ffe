import { describe, expect, it } from "vitest";
import { fillSeedCard, type SeedQuestion } from "../../../../src/decide/drill/fill-seed-card.ts";
import type { FieldRate, RateByField } from "../../../../src/vocabulary/result.ts";
import { defaultSettings, type Lot } from "../../../../src/vocabulary/settings.ts";
import { seedCardsText } from "../../../../src/tell/terminal/seed-card-text.ts";
import {
  fromPerAcre,
  fromSeedsPerPound,
  kgPerPound,
  metresPerFoot,
  metresPerInch,
  squareMetresPerAcre,
} from "../../../../src/numbers/units.ts";

const lot: Lot = {
  variety: "Ostrindel",
  rateNowSeedsPerM2: null,
  lowestRateSeedsPerM2: null,
  recommendedSeedsPerM2: null,
  seedsPerKg: fromSeedsPerPound(12_500),
  germination: 0.95,
  purity: 0.985,
  pricePerKg: null,
  pricePerThousandSeeds: null,
  soldIn: null,
  treated: true,
  areaHa: null,
};
const question: SeedQuestion = {
  known: { from: "rate", seedsPerM2: fromPerAcre(1_200_000) },
  caughtGrams: null,
  counted: null,
  daysLate: null,
  lateLimits: {},
  catchLengthM: 100 * metresPerFoot,
  wheelDiameterM: null,
  countLengthM: 3 * metresPerFoot,
  hoopDiameterM: 30 * metresPerInch,
  unitAreaM2: squareMetresPerAcre / 1000,
  priced: false,
};
const text = (
  differing: Partial<SeedQuestion> = {},
  of: Lot = lot,
  system: "us" | "metric" = "us",
  settings = defaultSettings,
): string =>
  seedCardsText([fillSeedCard(of.variety, of, { ...question, ...differing }, settings)], settings, {
    system,
    currency: "$",
  });

describe("seedCardsText", () => {
  it("tells every number that a person sets or counts, as finely as that can be done", () => {
    const card = text({ wheelDiameterM: 32 * metresPerInch });
    expect(card).toContain("Viable seeds     1.20 million/ac   27.5/ft²");
    expect(card).toContain("germination 95%, purity 98.5%");
    // 1,200,000 ÷ (12,500 × 0.95 × 0.985) = 102.6 lb; 102.6 ÷ 60 = 1.71 bu.
    expect(card).toContain("103 lb/ac   1.71 bu/ac   of 12,500 seeds/lb (36.3 g per thousand)");
    // 29.44 seeds/ft² × 7.5 in ÷ 12 = 18.4; 102.6 lb/ac ÷ 43,560 × 62.5 ft² × 453.6 g = 66.8 g.
    expect(card).toContain("18.4 seeds per foot of row, rows 7.5 in apart");
    expect(card).toContain("67 g, 1,840 seeds from one row over 100 ft, 11.9 turns of the wheel");
    // 27.55 × 0.85 = 23.4 plants/ft²; × 1.875 ft² = 43.9 in 3 ft of row; × 4.909 ft² = 114.9 in the hoop.
    expect(card).toContain("1.02 million/ac   23.4/ft²   if 15% give no plant");
    expect(card).toContain("44 plants in 3 ft of row (14.6 per foot), 115 in a hoop of 30 in");
    expect(card).toContain("69.7 ft of one row");
  });

  it("tells what to order, in pounds and bushels", () => {
    // 1,200,000 ÷ 11,696.875 viable seeds/lb = 102.592 lb/ac; on 100 acres 10,259 lb, 171 bu of 60 lb.
    expect(text({}, { ...lot, areaHa: 40.46856422 })).toContain("10,260 lb (171 bu) for 100 acres");
  });

  it("tells order and weight in what the seed is sold in, whole bags and none too few", () => {
    const soldIn = { noun: "bag", size: "50 lb", kg: 50 * kgPerPound, thousandSeeds: null };
    const card = text({}, { ...lot, areaHa: 40.46856422, soldIn });
    // 102.592 lb/ac ÷ 50 = 2.05 bags; 10,259.2 lb ÷ 50 = 205.2, so 206 bags.
    expect(card).toContain("103 lb/ac   2.05 bags/ac of 50 lb");
    expect(card).toContain("10,260 lb (206 bags of 50 lb) for 100 acres");
    const million = { noun: "million seeds", size: "", kg: null, thousandSeeds: 1000 };
    // 1.2 million ÷ (0.95 × 0.985) = 1.2824 million as bought an acre.
    const counted = text({}, { ...lot, areaHa: 40.46856422, soldIn: million });
    expect(counted).toContain("103 lb/ac   1.28 million seeds/ac");
    expect(counted).toContain("10,260 lb (128 million seeds) for 100 acres");
    // 102.592 lb ÷ 2,204.6 lb.
    const tonnes = { noun: "", size: "1,000 kg", kg: 1000, thousandSeeds: null };
    expect(text({}, { ...lot, soldIn: tonnes })).toContain("103 lb/ac   0.047 × 1,000 kg/ac");
    const pounds = { noun: "lb", size: "", kg: kgPerPound, thousandSeeds: null };
    expect(text({}, { ...lot, areaHa: 40.46856422, soldIn: pounds })).toContain("10,260 lb for 100 acres");
  });

  it("tells the same in metric", () => {
    const card = text(
      { catchLengthM: 30, countLengthM: 1, hoopDiameterM: 0.5, unitAreaM2: 1 },
      lot,
      "metric",
    );
    expect(card).toContain("297/m²   2.97 million/ha");
    expect(card).toContain("115 kg/ha   of 27,560 seeds/kg");
    expect(card).toContain("5.25 m of one row");
    // 296.5 ÷ 0.95 ÷ 0.985 × 0.1905 m: 60.4, as whole as every page has it; of the plants on a metre one number, not two.
    expect(card).toContain("60 seeds per metre of row, rows");
    expect(card).toContain("48 plants in 1 m of row, 49 in a hoop of 50 cm");
  });

  it("carries the caution about treated seed always, and says when this seed is", () => {
    expect(text()).toContain(
      "Some of this seed is treated: follow the label; wear its gloves and protection before touching it, as in a catch test; clean up spills. Never for food, feed or oil",
    );
    expect(text({}, { ...lot, treated: false })).toContain("Where seed is treated: follow the label;");
  });

  it("warns of a catch off the target, of a stand that cannot well be, and that late seed wins nothing back", () => {
    expect(text({ caughtGrams: 66.8 })).not.toContain("off the target");
    expect(text({ caughtGrams: 80 })).toContain("more than 10% off the target");
    const counted = { plants: 20, hoopDiameterM: 30 * metresPerInch };
    expect(text({ counted })).toContain("A stand loss of 85% is outside the 5 to 47% that are usual");
    expect(text({ daysLate: 10 })).toContain(
      "More seed does not make up for the yield lost to late seeding.",
    );
  });

  it("expects the stand of the farm's own counts, where there are such", () => {
    const assumed = text({ ownStandLoss: null });
    expect(assumed).toContain("1.02 million/ac   23.4/ft²   if 15% give no plant\n");
    // 1.2 million × 0.8.
    const own = text({ ownStandLoss: 0.2 });
    expect(own).toContain("0.96 million/ac   22.0/ft²   if 20% give no plant, as in your counts\n");
    const settings = { ...defaultSettings, assumed: ["stand_loss" as const] };
    const assumes = (ownStandLoss: number | null): boolean =>
      seedCardsText([fillSeedCard("Alder", lot, { ...question, ownStandLoss }, settings)], settings, {
        system: "us",
        currency: "$",
      }).includes("Assumed, because nobody gave it: 15% of the viable seeds give no plant.");
    expect([assumes(null), assumes(0.2)]).toEqual([true, false]);
  });

  it("counts one plant as a plant, and tells rows as they were given", () => {
    // 30,000 seeds/ac × 0.85 ÷ 43,560 ft²/ac × 1.875 ft² = 1.1 plants; in rows four times as far apart 4.4.
    const thin = { known: { from: "rate", seedsPerM2: fromPerAcre(30_000) } } as const;
    expect(text(thin)).toContain("Count            1 plant in 3 ft of row");
    const wide = text(thin, lot, "us", { ...defaultSettings, rowSpacingM: 30 * metresPerInch });
    expect(wide).toContain("rows 30 in apart");
    expect(wide).toContain("Count            4 plants in 3 ft of row");
    expect(wide).not.toContain("30.0");
  });

  it("counts one day as a day, and more as days", () => {
    expect(text({ daysLate: 1 })).toContain("   1 day late\n");
    expect(text({ daysLate: 2 })).toContain("   2 days late\n");
  });

  it("asks for no rate that it says is never gone above", () => {
    // Already on time above the cap of 1.6 million: lateness adds nothing, and takes nothing off.
    const dense = text({ daysLate: 10, known: { from: "rate", seedsPerM2: fromPerAcre(1_650_000) } });
    expect(dense).toContain("Viable seeds     1.65 million/ac   37.9/ft²   10 days late, stopped by the cap");
    expect(dense).toContain("Late: 1% more seed a day, simple, but none beyond 1.60 million seeds/ac.");
    expect(dense).not.toMatch(/at most|at the cap/);
  });

  it("says so where no more seed is counted for late seeding", () => {
    const corn = text({ daysLate: 10 }, lot, "us", { ...defaultSettings, crop: "corn", latePerDay: 0 });
    expect(corn).toContain("Late: no more seed is counted for it. More seed does not make up");
    expect(corn).toContain("Assumed, because nobody gave it:");
    expect(corn).toContain("no more seed for late seeding");
  });

  it("does not say of a result's rate that the strips advise it, since today's rate is kept where they say nothing", () => {
    const advice = { from: "advice", seedsPerM2: fromPerAcre(1_200_000), lowestBinds: false } as const;
    expect(text({ known: advice })).toContain("27.5/ft²   next season’s rate\n");
  });

  it("tells each field's own rate, weight and catch where the strips advise another for each", () => {
    const field = (name: string, millions: number) =>
      ({ field: name, rateNextSeedsPerM2: fromPerAcre(millions * 1e6) }) as FieldRate;
    const fieldsThat = (differ: boolean): Partial<SeedQuestion> => ({
      known: {
        from: "advice",
        seedsPerM2: fromPerAcre(1_200_000),
        lowestBinds: false,
        byField: { by: "field", differ, fields: [field("Hill", 1), field("Bottom", 1.4)] } as RateByField,
      },
      daysLate: 10,
      lateLimits: { lodging: fromPerAcre(1_500_000) },
    });
    const apart = text(fieldsThat(true), { ...lot, areaHa: 40.46856422 });
    expect(apart).toContain("27.5/ft²   next season’s rate, one for all fields; each has its own below\n");
    // 1.1 million ÷ 11,696.875 viable seeds/lb = 94.0 lb/ac; 25.253 ÷ 0.95 ÷ 0.985 × 0.625 ft² = 16.9; 94.04 ÷ 43,560 × 62.5 × 453.6 g.
    expect(apart).toContain(
      "Field            Hill   1.10 million/ac   94 lb/ac   16.9 seeds per foot of row   61 g caught\n",
    );
    // 1.54 million would be above the ceiling; 1.5 million ÷ 11,696.875 = 128.2 lb/ac.
    expect(apart).toContain(
      "Field            Bottom   1.50 million/ac, no more, or it lodges too often   128 lb/ac   23.0 seeds per foot of row   83 g caught\n",
    );
    expect(apart).toContain("for 100 acres at one rate for all, no surplus added");
    const alike = text(fieldsThat(false), { ...lot, areaHa: 40.46856422 });
    expect(alike).not.toContain("Hill");
    expect(alike).not.toContain("for all");
  });

  it("takes what could steer a terminal out of a name", () => {
    expect(text({}, { ...lot, variety: "Ostrin\u001b[31mdel\n" })).not.toMatch(/\u001b|del\n\n/);
  });
});
