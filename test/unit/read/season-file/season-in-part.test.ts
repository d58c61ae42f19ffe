import { describe, expect, it } from "vitest";
import { readFarm } from "../../../../src/farm/read-farm.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";
import { fromPricePerBushel } from "../../../../src/numbers/units.ts";
import { bytesOf } from "../read-csv.ts";

const inPart = async (text: string, typed: { key: string; text: string; from: string }[] = []) => {
  const farm = await readFarm([{ name: "season.yaml", bytes: bytesOf(text), as: "season" }], {
    seasonInPart: true,
    typed,
  });
  return {
    settings: farm.settings,
    said: farm.trial.findings
      .filter(({ code }) => code === "season-entry-left-out")
      .map(({ message }) => message.replace(/ The entry is left out, and the usual value .*$/, "")),
  };
};
const price = (perBushel: number): number => fromPricePerBushel(perBushel, 60);

describe("a season file with faults, read in part", () => {
  it("leaves out an entry that nobody knows, and marks what it may have meant as assumed", async () => {
    const { settings, said } = await inPart("grain-price: 6.10 $/bu\nlargest_step: 15 %\n");
    expect(said).toEqual([
      "season.yaml, line 1, grain-price: There is no such entry. Did you mean grain_price?",
    ]);
    expect(settings.largestStep).toBeCloseTo(0.15, 12);
    expect(settings.grainPricePerKg).toBe(defaultSettings.grainPricePerKg);
    expect(settings.assumed).toContain("grain_price");
  });

  it.each([
    [
      "without a colon and a space",
      "rate_step:5000",
      /line 2, rate_step: This is not an entry\. Write it like/,
    ],
    [
      "with a mark that is not closed",
      'late_per_day: "1 %',
      /line 2, late_per_day: A quotation mark is opened but not closed/,
    ],
    ["in words", "just some words", /line 2, just some words: This is not an entry/],
    [
      "with a value that is none",
      "late_per_day: soon",
      /line 2, late_per_day = "soon": This is not a number/,
    ],
    ["indented below another", "  rate_step: 5000", /line 2, rate_step: It is indented/],
    ["in a list", "forms: [linear, cubic]", /line 2, forms = "cubic": /],
    ["that cannot be", "seed_price: 9000", /^season\.yaml, seed_price: a seed price of .* is impossible/],
  ])("keeps the entries around one %s", async (_, line, message) => {
    const { settings, said } = await inPart(`grain_price: 6.50 $/bu\n${line}\nlargest_step: 15 %\n`);
    expect(said).toEqual([expect.stringMatching(message)]);
    expect(settings.grainPricePerKg).toBeCloseTo(price(6.5), 12);
    expect(settings.largestStep).toBeCloseTo(0.15, 12);
    expect(settings.seedPricePerThousand).toBe(defaultSettings.seedPricePerThousand);
    expect(settings.rateStepSeedsPerM2).toBe(defaultSettings.rateStepSeedsPerM2);
  });

  it("takes neither of two entries of one name", async () => {
    const { settings, said } = await inPart("grain_price: 6.1\nlargest_step: 15 %\ngrain_price: 6.3\n");
    expect(said).toHaveLength(2);
    expect(settings.assumed).toContain("grain_price");
    expect(settings.largestStep).toBeCloseTo(0.15, 12);
  });

  it("has nothing to say of a file without faults", async () => {
    expect((await inPart("crop: wheat\ngrain_price: 6.10 $/bu\npriors:\n  flat: yes\n")).said).toEqual([]);
  });

  it.each([
    ["units", "units: metrick\ngrain_price: 290\n"],
    ["units by another name", "unit: metric\ngrain_price: 290\n"],
    ["the crop", "crop: wheatt and barley\ngrain_price: 290 $/t\n"],
    ["money in two currencies", "grain_price: 6 $/bu\nseed_price: 20 €\n"],
  ])("does not read the rest where it depends on %s", async (_, text) => {
    await expect(inPart(text)).rejects.toMatchObject({ code: "season-entry" });
  });

  it("leaves out nothing that was typed elsewhere", async () => {
    const typed = [{ key: "grain_price", text: "six", from: "--grain-price" }];
    await expect(inPart("largest_stepp: 3\n", typed)).rejects.toMatchObject({ code: "season-entry" });
    const impossible = [{ key: "grain_price", text: "650", from: "--grain-price" }];
    await expect(inPart("grain_price: 6\n", impossible)).rejects.toMatchObject({
      code: "value-out-of-range",
    });
  });
});
