import { describe, expect, it } from "vitest";
import { checkLot, checkSettings, type Standing } from "../../../src/check/lots.ts";
import { fromPerAcre, fromPricePerBushel, fromSeedsPerPound } from "../../../src/numbers/units.ts";
import { defaultSettings, defaultUnits, type Lot } from "../../../src/vocabulary/settings.ts";

const lot: Lot = {
  variety: "Ostrindel",
  rateNowSeedsPerM2: fromPerAcre(1_200_000),
  lowestRateSeedsPerM2: null,
  recommendedSeedsPerM2: null,
  seedsPerKg: fromSeedsPerPound(13_400),
  germination: 0.96,
  purity: 0.99,
  pricePerKg: fromPricePerBushel(20, 60),
  pricePerThousandSeeds: null,
  soldIn: null,
  treated: false,
  areaHa: 60,
};
const standing: Standing = {
  where: (column) => `lots.csv, row 2, column ${column}`,
  cell: (column) => ({ file: "lots.csv", row: 2, column }),
};
const held = (changes: Partial<Lot>, units = defaultUnits) =>
  checkLot({ ...lot, ...changes }, defaultSettings, units, standing);

// The ranges are common practice; see check/ranges.ts.
describe("checkLot", () => {
  it("finds nothing in a usual lot", () => expect(held({})).toEqual([]));

  it.each<[Partial<Lot>, RegExp]>([
    [
      { rateNowSeedsPerM2: fromPerAcre(16_000_000) },
      /^lots\.csv, row 2, column rate_now: a rate of 16\.00 million seeds\/ac is impossible; usual is .* Is 1\.60 million seeds\/ac meant\? Correct/,
    ],
    [{ rateNowSeedsPerM2: 1e11 }, /column rate_now: a rate/],
    [
      { seedsPerKg: fromSeedsPerPound(134_000) },
      /column seeds_per_lb: a seed count of 134,000 seeds\/lb .* Is 13,400 seeds\/lb meant/,
    ],
    [{ seedsPerKg: fromSeedsPerPound(1e-308) }, /column seeds_per_lb/],
    [{ germination: 0.096 }, /column germination_pct: a germination of 9\.6% .* Is 96% meant/],
    [{ purity: 0.0099 }, /column purity_pct: a purity of 1\.0% .* Is 99% meant/],
    [
      { pricePerKg: fromPricePerBushel(1_450, 60) },
      /column seed_price: a seed price .* Is \$0\.242\/lb meant/,
    ],
    [{ pricePerKg: NaN }, /column seed_price/],
    [{ pricePerKg: null, pricePerThousandSeeds: 24 }, /column seed_price/],
  ])("refuses %o", (changes, message) => expect(() => held(changes)).toThrow(message));

  it("points at what is unusual and uses it", () => {
    expect(held({ germination: 0.6 }).map(({ code, severity, row }) => [code, severity, row])).toEqual([
      ["doubtful-germination_pct", "doubt", 2],
    ]);
  });

  it("judges no price in money of another size, and none of nothing", () => {
    expect(held({ pricePerKg: 2_000 }, { system: "metric", currency: "HUF" })).toEqual([]);
    expect(held({ pricePerKg: 0 })).toEqual([]);
  });
});

describe("checkSettings", () => {
  const settings = (changes: Partial<typeof defaultSettings>) =>
    checkSettings({ ...defaultSettings, ...changes }, defaultUnits, (key) => `--${key}`);

  it("finds nothing in the defaults", () => expect(settings({})).toEqual([]));

  it("refuses a price by the tonne that was taken for one by the bushel", () => {
    expect(() => settings({ grainPricePerKg: fromPricePerBushel(228, 60) })).toThrow(
      /^--grain_price: a grain price of \$228\.00\/bu is impossible/,
    );
  });

  it("refuses rows as far apart as no drill has them, and asks whether a digit slipped", () => {
    expect(() => settings({ rowSpacingM: 75 * 0.0254 })).toThrow(
      /^--row_spacing: a row spacing of 75\.0 in is impossible; .* Is 7\.5 in meant\?/,
    );
    expect(settings({ rowSpacingM: 60 * 0.0254 }).map(({ code }) => code)).toEqual(["doubtful-row_spacing"]);
    expect(settings({ rowSpacingM: 0.76 })).toEqual([]);
  });

  it("refuses a drill that sets less than a seed, and today's rate of no drill", () => {
    expect(() => settings({ rateStepSeedsPerM2: fromPerAcre(0.04) })).toThrow(/--rate_step/);
    expect(() => settings({ rateNowSeedsPerM2: 1e11 })).toThrow(/--rate_now/);
  });
});
