import { describe, expect, it } from "vitest";
import { cropRanges, perThousandSeeds } from "../../../src/check/ranges.ts";
import { rateOfStand } from "../../../src/decide/drill/sowing.ts";
import { fromPerSquareFoot, toPoundsPerAcre, toPricePerBushel } from "../../../src/numbers/units.ts";
import { crops, standLossOf, type CropName } from "../../../src/vocabulary/crops.ts";
import { assumable, defaultSettings, defaultsIn, forCrop } from "../../../src/vocabulary/settings.ts";

describe("the prices that are assumed", () => {
  it.each(Object.keys(crops) as CropName[])("are such as the check calls usual: %s", (crop) => {
    for (const system of ["us", "metric"] as const) {
      const { grainPricePerKg, seedPricePerThousand } = defaultsIn(system, crop);
      const { grainPerKg, seedPerKg } = cropRanges[crop];
      const [least, most] = perThousandSeeds(crop, seedPerKg.usual);
      expect(grainPricePerKg).toBeGreaterThan(grainPerKg.usual[0]);
      expect(grainPricePerKg).toBeLessThan(grainPerKg.usual[1]);
      expect(seedPricePerThousand).toBeGreaterThan(least);
      expect(seedPricePerThousand).toBeLessThan(most);
    }
  });

  it("let a bushel of corn buy 1,200 seeds", () => {
    // Univ. of Illinois, Nafziger, farm press: seed at $3.75 per thousand and corn at $4.50 a bushel of 56 lb.
    const { grainPricePerKg, seedPricePerThousand } = defaultsIn("us", "corn");
    expect((1000 * toPricePerBushel(grainPricePerKg, 56)) / seedPricePerThousand).toBeCloseTo(1200, 9);
  });
});

describe("the rows that are assumed", () => {
  // Common practice, no printed source.
  it.each([
    ["wheat", 7.5 * 0.0254, 0.125],
    ["corn", 30 * 0.0254, 0.75],
  ] as const)("stand as far apart as is usual for %s", (crop, us, metric) => {
    expect(defaultsIn("us", crop).rowSpacingM).toBeCloseTo(us, 12);
    expect(defaultsIn("metric", crop).rowSpacingM).toBeCloseTo(metric, 12);
  });
});

describe("the seeds that are assumed to give no plant", () => {
  it.each(Object.keys(crops) as CropName[])("are such as no count of %s is doubted for", (crop) => {
    const { assumed, usual } = standLossOf(crop);
    expect(defaultsIn("us", crop).standLoss).toBe(assumed);
    expect(assumed).toBeGreaterThan(usual[0]);
    expect(assumed).toBeLessThan(usual[1]);
  });

  it("are half of canola's: 10 plants/ft² of seed at 4 g per thousand take 7.7 lb/ac", () => {
    // Prairie oilseed growers' bulletin "Calibrate the drill between seed lots", 17 May 2010.
    const seedsPerM2 = rateOfStand(fromPerSquareFoot(10), defaultsIn("us", "canola").standLoss);
    expect(toPoundsPerAcre(seedsPerM2 * 4e-6 * 10_000)).toBeCloseTo(7.7, 1);
  });
});

describe("the most that lateness may ask for", () => {
  it.each(Object.keys(crops) as CropName[])("leaves room above the usual rate of %s", (crop) => {
    for (const system of ["us", "metric"] as const) {
      const { lateCapSeedsPerM2 } = defaultsIn(system, crop);
      expect(lateCapSeedsPerM2 / crops[crop].usualSeedsPerM2).toBeGreaterThan(1.25);
      expect(lateCapSeedsPerM2 / crops[crop].usualSeedsPerM2).toBeLessThan(1.65);
    }
  });
});

describe("settings for another crop", () => {
  const nothingGiven = { ...defaultSettings, assumed: [...assumable] };

  it("are that crop's where nobody gave any", () => {
    expect(forCrop(nothingGiven, "us", "corn")).toEqual({
      ...defaultsIn("us", "corn"),
      assumed: [...assumable],
    });
  });

  it("stay as they were given", () => {
    const given = { ...defaultSettings, assumed: [], rateStepSeedsPerM2: 0.3, lateCapSeedsPerM2: 12 };
    expect(forCrop(given, "us", "corn")).toEqual({ ...given, crop: "corn" });
  });
});
