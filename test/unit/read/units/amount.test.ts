import { describe, expect, it } from "vitest";
import { crops } from "../../../../src/vocabulary/crops.ts";
import { readAmount, readRate } from "../../../../src/read/units/amount.ts";
import type { QuantityName } from "../../../../src/read/units/column-units.ts";

const us = { system: "us" } as const;
const metric = { system: "metric" } as const;
const read = (text: string, quantity: QuantityName, units: typeof us | typeof metric = us): number =>
  quantity === "rate"
    ? seedsOf(readRate(text, units, crops.wheat, "--it"))
    : readAmount(text, quantity, units, crops.wheat, "--it");
const seedsOf = (rate: ReturnType<typeof readRate>): number => (rate.by === "seed" ? rate.seedsPerM2 : NaN);

describe("readAmount", () => {
  it.each([
    ["1.2 million seeds/ac", "rate", 296.526],
    ["1,200,000", "rate", 296.526],
    ["1200000/ac", "rate", 296.526],
    ["1.2 million", "rate", 296.526],
    ["1.2 M", "rate", 296.526],
    ["1200 k", "rate", 296.526],
    ["10 thousand", "rateStep", 2.471],
    ["30 seeds/ft²", "rate", 322.917],
    ["300 viable seeds per m2", "rate", 300],
    ["7.5", "rowSpacing", 0.1905],
    ["19 cm", "rowSpacing", 0.19],
    ["18 seeds/ft", "seedsPerRow", 59.055],
    ["100 ft", "length", 30.48],
    ["1,1 million plants/ac", "stand", 271.816],
    ["25", "stand", 269.098],
    ["2 oz", "caught", 56.699],
    ["15 %", "sharePct", 15],
    ["160 ac", "area", 64.7497],
    ["12500 seeds/lb", "seedsPerPound", 27_557.8],
  ] as [string, QuantityName, number][])("reads %s as %s: %f", (text, quantity, value) =>
    expect(read(text, quantity)).toBeCloseTo(value, value > 1000 ? 1 : 3),
  );

  it("takes bare numbers in the person's units", () => {
    expect(read("300", "rate", metric)).toBe(300);
    expect(read("19", "rowSpacing", metric)).toBeCloseTo(0.19, 12);
    expect(read("60", "seedsPerRow", metric)).toBe(60);
  });

  it("keeps a weight of seed a weight", () => {
    expect(readRate("90 lb/ac", us, crops.wheat, "--rate")).toEqual({
      by: "weight",
      kgPerHa: expect.closeTo(100.876, 2),
    });
    expect(readRate("1.5 bu/ac", us, crops.barley, "--rate")).toEqual({
      by: "weight",
      kgPerHa: expect.closeTo(80.7, 1),
    });
  });

  it.each([
    ["much", "amount-not-number"],
    ["1,200", "number-ambiguous"],
    ["12 furlongs", "unit-unknown"],
    ["1.2", "unit-unclear"],
  ])("asks about %s: %s", (text, code) =>
    expect(() => read(text, "rate")).toThrow(expect.objectContaining({ code })),
  );
});
