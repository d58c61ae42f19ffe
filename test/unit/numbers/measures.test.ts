import { describe, expect, it } from "vitest";
import { measuresOf } from "../../../src/numbers/measures.ts";
import { acresPerHectare, fromPoundsPerAcre } from "../../../src/numbers/units.ts";
import { defaultSettings } from "../../../src/vocabulary/settings.ts";

const measures = measuresOf({ units: { system: "us", currency: "$" }, settings: defaultSettings });

it("one acre is no acres", () => {
  expect([1, 2].map((acres) => measures.area.text(acres / acresPerHectare))).toEqual(["1 acre", "2 acres"]);
});

describe("weights of seed", () => {
  // Canola is sown at 4 to 6 lb/ac (common practice, no source): a pound more or less would be a fifth of it.
  it.each([
    [117.6, "118 lb/ac"],
    [20.4, "20 lb/ac"],
    [19.6, "19.6 lb/ac"],
    [5.37, "5.4 lb/ac"],
  ])("of %f lb/ac are written %j", (pounds, text) => {
    expect(measures.seedWeight.text(fromPoundsPerAcre(pounds))).toBe(text);
  });

  it("caught in a test are written to a gram, a few grams to a tenth", () => {
    expect([measures.grams.text(76.7), measures.grams.text(3.27)]).toEqual(["77 g", "3.3 g"]);
  });
});
