import { describe, expect, it } from "vitest";
import {
  fillSeedCard,
  type KnownRate,
  type SeedQuestion,
} from "../../../../src/decide/drill/fill-seed-card.ts";
import { defaultSettings, type Lot } from "../../../../src/vocabulary/settings.ts";
import {
  fromPerAcre,
  fromSeedsPerPound,
  metresPerFoot,
  metresPerInch,
  squareMetresPerAcre,
  toPerAcre,
  toPoundsPerAcre,
} from "../../../../src/numbers/units.ts";

const lot: Lot = {
  variety: "Ostrindel",
  rateNowSeedsPerM2: null,
  lowestRateSeedsPerM2: null,
  recommendedSeedsPerM2: null,
  seedsPerKg: fromSeedsPerPound(12_500),
  germination: 0.95,
  purity: 1,
  pricePerKg: null,
  pricePerThousandSeeds: null,
  soldIn: null,
  treated: false,
  areaHa: 10,
};
const question: SeedQuestion = {
  known: { from: "stand", plantsPerM2: fromPerAcre(1_100_000) },
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
const card = (differing: Partial<SeedQuestion> = {}, of: Lot = lot) =>
  fillSeedCard("Ostrindel", of, { ...question, ...differing }, defaultSettings);

describe("the lowest rate that a person accepts, on a card", () => {
  const accepting: Lot = { ...lot, lowestRateSeedsPerM2: 250 };
  const advised = (seedsPerM2: number, lowestBinds: boolean): KnownRate => ({
    from: "advice",
    seedsPerM2,
    lowestBinds,
  });

  it("is named where the advice keeps to it, late or on time", () => {
    const bound = { rateSeedsPerM2: 250, kept: true };
    expect(card({ known: advised(250, true) }, accepting).lowest).toEqual(bound);
    expect(card({ known: advised(250, true), daysLate: 5 }, accepting).lowest).toEqual(bound);
    expect(card({ known: advised(290, false) }, accepting).lowest).toBeNull();
    expect(card({ known: advised(250, true) }).lowest).toBeNull();
  });

  it("leaves a rate below it as it was asked, and names it", () => {
    const below: KnownRate[] = [
      { from: "rate", seedsPerM2: 249 },
      { from: "lot", seedsPerM2: 249 },
      { from: "stand", plantsPerM2: 249 * 0.85 },
    ];
    for (const known of below) {
      const { rateSeedsPerM2, lowest } = card({ known }, accepting);
      expect(rateSeedsPerM2).toBeCloseTo(249, 9);
      expect(lowest).toEqual({ rateSeedsPerM2: 250, kept: false });
    }
    expect(card({ known: { from: "rate", seedsPerM2: 250 * (1 - 1e-12) } }, accepting).lowest).toBeNull();
  });

  it("is held to what is sown on the late date, and is the season's where the lot has none", () => {
    const known: KnownRate = { from: "rate", seedsPerM2: 240 };
    expect(card({ known, daysLate: 5 }, accepting).lowest).toBeNull();
    const settings = { ...defaultSettings, lowestRateSeedsPerM2: 260 };
    const filled = fillSeedCard("Ostrindel", lot, { ...question, known }, settings);
    expect(filled.lowest).toEqual({ rateSeedsPerM2: 260, kept: false });
  });
});

describe("fillSeedCard", () => {
  // Worked by hand: 108.98 lb/ac.
  it("goes from a stand to pounds: 1.1 million plants/ac, 15 % loss, 12,500 seeds/lb, germination 95 %", () => {
    const { rateSeedsPerM2, kgPerHa, orderKg } = card();
    expect(toPerAcre(rateSeedsPerM2)).toBeCloseTo(1_294_117.65, 1);
    expect(toPoundsPerAcre(kgPerHa!)).toBeCloseTo(108.978, 3);
    expect(orderKg).toBeCloseTo(10 * kgPerHa!, 9);
  });

  it("comes to the same rate from whatever of the card is known", () => {
    const { rateSeedsPerM2, kgPerHa, seedsPerMetreOfRow, catchTest, stand } = card();
    const ways: KnownRate[] = [
      { from: "rate", seedsPerM2: rateSeedsPerM2 },
      { from: "lot", seedsPerM2: rateSeedsPerM2 },
      { from: "stand", plantsPerM2: stand.plantsPerM2 },
      { from: "weight", kgPerHa: kgPerHa! },
      { from: "row", seedsPerMetre: seedsPerMetreOfRow },
      { from: "catch", grams: catchTest.grams! },
    ];
    for (const known of ways) {
      const same = card({ known });
      expect(same.rateSeedsPerM2).toBeCloseTo(rateSeedsPerM2, 9);
      expect(same.kgPerHa).toBeCloseTo(kgPerHa!, 9);
      expect(same.from).toBe(known.from);
    }
  });

  it("weighs a catch against its target", () => {
    const grams = card().catchTest.grams!;
    const { caught } = card({ caughtGrams: 1.2 * grams });
    expect(caught!.shareOfTarget).toBeCloseTo(1.2, 12);
    expect(caught!.rateSeedsPerM2).toBeCloseTo(1.2 * card().rateSeedsPerM2, 9);
  });

  it("counts plants in a row and in a hoop", () => {
    const { stand, rateSeedsPerM2 } = card();
    const inRow = card({ counted: { plants: stand.rowCount.plants, rowLengthM: 3 * metresPerFoot } });
    const inHoop = card({ counted: { plants: stand.hoopCount.plants, hoopDiameterM: 30 * metresPerInch } });
    for (const { counted } of [inRow, inHoop]) {
      expect(counted!.plantsPerM2).toBeCloseTo(0.85 * rateSeedsPerM2, 9);
      expect(counted!.standLoss).toBeCloseTo(0.15, 12);
    }
  });

  it("adds for lateness before it turns the rate into pounds", () => {
    const late = card({ daysLate: 10 });
    expect(late.rateSeedsPerM2).toBeCloseTo(1.1 * card().rateSeedsPerM2, 9);
    expect(late.kgPerHa).toBeCloseTo(1.1 * card().kgPerHa!, 9);
    expect(late.late).toEqual({ inTimeSeedsPerM2: card().rateSeedsPerM2, days: 10, stoppedBy: null });
    expect(card({ daysLate: 60 }).late!.stoppedBy).toBe("cap");
    expect(card().late).toBeNull();
  });

  it("stops lateness where the strips say that it lodges, or where nothing higher was tested", () => {
    const rate = card().rateSeedsPerM2;
    const lodging = card({ daysLate: 10, lateLimits: { lodging: 1.04 * rate, tested: 1.08 * rate } });
    expect(lodging.rateSeedsPerM2).toBe(1.04 * rate);
    expect(lodging.late!.stoppedBy).toBe("lodging");
    expect(lodging.kgPerHa).toBeCloseTo(1.04 * card().kgPerHa!, 9);
    expect(card({ daysLate: 10, lateLimits: { tested: 1.08 * rate } }).late!.stoppedBy).toBe("tested");
  });

  it("knows no weight without seeds per weight, and says so when a weight is all there is", () => {
    const unknown = { ...lot, seedsPerKg: null };
    const { kgPerHa, catchTest, orderKg } = card({}, unknown);
    expect([kgPerHa, catchTest.grams, orderKg]).toEqual([null, null, null]);
    expect(catchTest.seeds).toBeGreaterThan(0);
    expect(() => card({ known: { from: "weight", kgPerHa: 100 } }, unknown)).toThrow(
      expect.objectContaining({ code: "seeds-per-weight-unknown" }),
    );
  });

  it("says of the seed what the lot says, with the turns of a wheel and the order where they are asked for", () => {
    expect(card().seed).toEqual({
      seedsPerKg: lot.seedsPerKg,
      germination: 0.95,
      purity: 1,
      assumed: [],
      treated: false,
    });
    expect(card().catchTest.wheelTurns).toBeNull();
    // 100 ft under a wheel of 2 ft: 100 ÷ (2 π) = 15.915 turns.
    expect(card({ wheelDiameterM: 2 * metresPerFoot }).catchTest.wheelTurns).toBeCloseTo(15.915, 3);
    expect(card({}, { ...lot, areaHa: null }).orderKg).toBeNull();
  });

  it("tells no cost while nobody gave a price", () => {
    expect(card().cost).toBeNull();
    expect(card({ priced: true }).cost).toEqual({
      perThousandSeeds: 0.02,
      perHa: expect.closeTo(0.2 * card().rateSeedsPerM2, 9),
    });
  });
});
