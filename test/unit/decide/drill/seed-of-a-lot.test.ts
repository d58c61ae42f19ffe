/** Seed of a lot in the drill and in the order, worked by hand. */
import { describe, expect, it } from "vitest";
import { catchTestLengthM, soldAmount, sowLot } from "../../../../src/decide/drill/sowing.ts";
import { unknownLot } from "../../../../src/vocabulary/settings.ts";

/** 25,000 × 0.9 × 0.95 = 21,375 viable seeds a kilogram. */
const lot = { ...unknownLot("Alder"), seedsPerKg: 25_000, germination: 0.9, purity: 0.95 };
const bagsOfKg = { noun: "bag", size: "20 kg", kg: 20, thousandSeeds: null };
const bagsOfSeeds = { noun: "bag", size: "250,000 seeds", kg: null, thousandSeeds: 250 };
const settings = { rowSpacingM: 0.2 };

describe("a rate in the drill", () => {
  it("is weight, seeds in the row and a catch", () => {
    // 342 viable seeds/m²: 3,420,000 ÷ 21,375 = 160 kg/ha; 342 ÷ 0.855 = 400 seeds sown, 80 in a metre of a row at 20 cm.
    const sowing = sowLot(342, lot, settings)!;
    expect(sowing.rateSeedsPerM2).toBe(342);
    expect(sowing.seedsPerKg).toBe(25_000);
    expect(sowing.kgPerHa).toBeCloseTo(160, 9);
    expect(sowing.seedsSownPerM2).toBeCloseTo(400, 9);
    expect(sowing.seedsPerMetreOfRow).toBeCloseTo(80, 9);
    // 16 g/m² × 0.2 m × 30.48 m = 97.536 g.
    expect(catchTestLengthM).toBe(30.48);
    expect(sowing.catchGrams).toBeCloseTo(97.536, 9);
    expect(sowing).toMatchObject({ orderKg: null, sold: null });
  });

  it("is not known without the seeds of a kilogram", () => {
    expect(sowLot(342, { ...lot, seedsPerKg: null }, settings)).toBeNull();
  });

  it("is ordered for the lot's area, in what it is sold in", () => {
    const sowing = sowLot(342, { ...lot, areaHa: 12, soldIn: bagsOfKg }, settings)!;
    expect(sowing.orderKg).toBeCloseTo(1920, 9);
    // 160 ÷ 20 = 8 bags a hectare, 96 for 12 hectares.
    expect(sowing.sold).toEqual({
      unit: bagsOfKg,
      perHa: expect.closeTo(8, 9),
      order: expect.closeTo(96, 9),
    });
  });
});

describe("an order", () => {
  it("of bags of seeds counts the seeds sown, dead ones among them", () => {
    // 400 seeds/m² are 4 million a hectare: 16 bags of 250,000, 40 for 2.5 ha. No weight is asked for.
    expect(soldAmount({ soldIn: bagsOfSeeds, areaHa: 2.5 }, null, 400)).toEqual({
      unit: bagsOfSeeds,
      perHa: expect.closeTo(16, 9),
      order: expect.closeTo(40, 9),
    });
  });

  it("is told a hectare where the area is not known", () => {
    expect(soldAmount({ soldIn: bagsOfKg, areaHa: null }, 160, 400)).toEqual({
      unit: bagsOfKg,
      perHa: 8,
      order: null,
    });
  });

  it("is not known of bags of kilograms without a weight, nor where nobody says what it is sold in", () => {
    expect(soldAmount({ soldIn: bagsOfKg, areaHa: 2 }, null, 400)).toBeNull();
    expect(soldAmount({ soldIn: null, areaHa: 2 }, 160, 400)).toBeNull();
  });
});
