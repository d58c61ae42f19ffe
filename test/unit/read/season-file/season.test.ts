import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { readSeason } from "../../../../src/read/season-file/season.ts";
import { seasonTemplate } from "../../../../src/read/season-file/season-template.ts";
import {
  assumable,
  defaultsIn,
  defaultSettings,
  defaultUnits,
  type Settings,
} from "../../../../src/vocabulary/settings.ts";
import {
  fromMoneyPerAcre,
  fromPerAcre,
  fromPricePerBushel,
  metresPerInch,
  toPerAcre,
} from "../../../../src/numbers/units.ts";
import { bytesOf, metric, trialErrorOf, us } from "../read-csv.ts";

const season = (text: string, typed: Parameters<typeof readSeason>[1] = []) =>
  readSeason({ name: "season.yaml", bytes: bytesOf(text) }, typed);
const settings = (text: string) => season(text).settings;
const problems = (text: string): string => {
  const error = trialErrorOf(() => season(text));
  expect(error.code).toBe("season-entry");
  return error.message;
};

describe("readSeason", () => {
  it("is all defaults for no file, an empty one and one with comments only", () => {
    expect(readSeason(null)).toEqual({ settings: defaultSettings, units: defaultUnits });
    expect(season("")).toEqual({ settings: defaultSettings, units: defaultUnits });
    expect(season("# nothing\n")).toEqual({ settings: defaultSettings, units: defaultUnits });
  });

  it("reads a season as a grower writes it", () => {
    const { units, settings: read } = season(
      "crop: wheat\n\ngrain_price: 6.25 $/bu # at the farm gate\nrow_spacing: 7.5 in\nstand_loss: 15 %\n" +
        "best_seeding_date: 2027-04-20\nplanned_seeding_date: 24 Apr 2027\nlodging_limit: 3 # of 0 to 9\n" +
        "largest_step: 10 %\nflat_zone: 2 $/ac\nprotein_schedule:\n  - { protein: 15.0, premium: 0.10 $/bu }\n" +
        "  - { protein: 13.0, premium: -0.12 $/bu }\n  - { protein: 14.0, premium: 0.00 $/bu }\nseed: 20270424\n",
    );
    expect(units).toEqual(us);
    expect(read).toMatchObject({
      grainPricePerKg: fromPricePerBushel(6.25, 60),
      rowSpacingM: 7.5 * metresPerInch,
      standLoss: 0.15,
      bestSeedingDate: "2027-04-20",
      plannedSeedingDate: "2027-04-24",
      lodgingLimit: 3 / 9,
      largestStep: 0.1,
      flatZonePerHa: fromMoneyPerAcre(2),
      seed: 20270424,
    });
    expect(read.proteinSchedule.map(({ proteinPct }) => proteinPct)).toEqual([13, 14, 15]);
    expect(read.proteinSchedule[0]!.premiumPerKg).toBeCloseTo(fromPricePerBushel(-0.12, 60), 12);
  });

  it("refuses dates of two years, which would add seed for hundreds of days", () => {
    const late = problems("best_seeding_date: 2026-04-25\nplanned_seeding_date: 2027-04-01\n");
    expect(late).toContain("line 2, planned_seeding_date");
    expect(late).toContain("341 days after the best seeding date, 2026-04-25");
    const early = problems("best_seeding_date: 2027-04-25\nplanned_seeding_date: 2026-05-01\n");
    expect(early).toContain("359 days before the best seeding date");
    const asLate = "best_seeding_date: 2027-04-01\nplanned_seeding_date: 2027-08-29\n";
    expect(settings(asLate).plannedSeedingDate).toBe("2027-08-29");
  });

  it("understands all of the demo farm's season", () => {
    const bytes = readFileSync(new URL("../../../../data-demo/season.yaml", import.meta.url));
    expect(readSeason({ name: "season.yaml", bytes }).settings).not.toEqual(defaultSettings);
  });

  it("takes a price in any unit of the trade, its currency before or behind", () => {
    const perKg = settings("grain_price: 6.20 $/bu").grainPricePerKg;
    expect(perKg).toBeCloseTo(fromPricePerBushel(6.2, 60), 12);
    expect(settings("grain_price: $6.20/bu").grainPricePerKg).toBe(perKg);
    expect(settings("grain_price: 6.20").grainPricePerKg).toBe(perKg);
    expect(settings("grain_price: 6,20 $/bu").grainPricePerKg).toBe(perKg);
    expect(settings("grain_price: 620 cents/bu").grainPricePerKg).toBeCloseTo(perKg, 12);
    expect(settings("grain_price: 228 $/t").grainPricePerKg).toBeCloseTo(0.228, 12);
    expect(settings("crop: oats\ngrain_price: 3.20 $/bu").grainPricePerKg).toBeCloseTo(
      fromPricePerBushel(3.2, 32),
      12,
    );
  });

  /** Purdue, Nielsen, 2015: $240 for 80,000 seeds is $3.00 per thousand. */
  it("takes a price of seed by count", () => {
    expect(settings("seed_price: 240 $/80000 seeds").seedPricePerThousand).toBeCloseTo(3, 12);
    expect(settings("seed_price: 20").seedPricePerThousand).toBeCloseTo(0.02, 12);
    expect(problems("seed_price: 0.28 $/lb")).toContain("prices by weight are in the lots file");
  });

  it("knows the currency from how prices are written, and refuses two of them", () => {
    expect(season("units: metric\ngrain_price: 228 €/t").units).toEqual(metric);
    expect(season("currency: USD\ngrain_price: 228 €/t").units.currency).toBe("USD");
    expect(problems("grain_price: 228 €/t\nflat_zone: 2 $/ac\nlodging_cost: 3 $/ac")).toContain(
      "Prices are written in €, but flat_zone (line 2) in $. Write them all in one.",
    );
  });

  it("takes numbers without a unit in the person's system", () => {
    expect(settings("units: metric\nrate_now: 300\nrow_spacing: 15").rowSpacingM).toBeCloseTo(0.15, 12);
    expect(settings("rate_now: 1200000").rateNowSeedsPerM2).toBe(fromPerAcre(1_200_000));
    expect(settings("rate_now: 1.2 million seeds/ac").rateNowSeedsPerM2).toBe(fromPerAcre(1_200_000));
    expect(problems("rate_now: 1.2")).toContain("In what unit is this?");
  });

  it("takes percents with or without their sign and asks about small bare ones", () => {
    expect(settings("stand_loss: 20").standLoss).toBe(0.2);
    expect(settings("stand_loss: 20 %").standLoss).toBe(0.2);
    expect(settings("late_per_day: 0.5 %").latePerDay).toBe(0.005);
    expect(problems("stand_loss: 0.15")).toContain("Is this 15% or 0.15%?");
  });

  it("takes a lodging limit on its own scale", () => {
    expect(settings("lodging_limit: 30 %").lodgingLimit).toBe(0.3);
    expect(settings("lodging_limit: 3\nlodging_scale: 1-5").lodgingLimit).toBe(0.5);
    expect(problems("lodging_limit: 12")).toContain("runs from 0 to 9");
  });

  it("reads priors, forms and levels", () => {
    const read = settings(
      "priors:\n  flat: yes\n  need: 1.3 million/ac\n  loss: 10 %\nforms: [quadratic, none]\ninterval_levels: [95 %, 50 %]\n",
    );
    expect(read.priors).toMatchObject({
      flat: true,
      needSeedsPerM2: fromPerAcre(1_300_000),
      lossMedian: 0.1,
    });
    expect(read.forms).toEqual(["none", "quadratic"]);
    expect(read.intervalLevels).toEqual([0.5, 0.95]);
  });

  it("names the line, the key, the value and the nearest right key, for all entries at once", () => {
    expect(
      problems("grian_price: 6\n\ncrop: whaet\nrow_spacing: 7.5 lb\nprotein_schedule: 14\n").split("\n"),
    ).toEqual([
      "season.yaml, line 1, grian_price: There is no such entry. Did you mean grain_price?",
      expect.stringMatching(/^season\.yaml, line 3, crop = "whaet": Did you mean wheat\?/),
      expect.stringMatching(/^season\.yaml, line 4, row_spacing = "7\.5 lb": This unit is not known here\./),
      "season.yaml, line 5, protein_schedule: It has to be a list.",
    ]);
  });

  it.each([
    ["largest_step: 300 %", "between 0 and 100%"],
    ["grain_price: -1", "It has to be between 0.028 and 2700 $/bu."],
    ["seed: 1.5", "whole number"],
    ["best_seeding_date: 4/5/2027", "one way only"],
    ["best_seeding_date: 2027-02-30", "one way only"],
    ["flat_zone: 1,500 $/ha", "Is this 1500 or 1.5?"],
    ["flat_zone: -2 $/ac", "It has to be between 0 and 400000 $/ac."],
    ["flat_zone: -2 $/ha", "It has to be between 0 and 1000000 $/ha."],
    ["crop: [wheat]", "single value"],
    ["forms: []", "at least one"],
    ["interval_levels: [80 %]", "two levels"],
    ["protein_schedule: [{ protein: 14 }]", "missing"],
    ["protein_schedule: [{ protein: 14, premium: 0 $/bu }, { protein: 14, premium: 1 $/bu }]", "twice"],
    ["priors: { fat: yes }", "Did you mean flat?"],
    ["seed: .inf", "not a number"],
    ["seed: 0x10", "not a number"],
  ])("refuses %s", (text, advice) => {
    expect(problems(text)).toContain(advice);
  });

  it("lets an option win over the file and names it in its message", () => {
    const typed = (text: string) => [{ key: "grain_price", text, from: "--grain-price" }];
    expect(season("grain_price: 5", typed("7")).settings.grainPricePerKg).toBe(
      settings("grain_price: 7").grainPricePerKg,
    );
    expect(trialErrorOf(() => season("", typed("cheap"))).message).toMatch(
      /^--grain-price = "cheap": This is not a number/,
    );
  });

  it.each([
    ["what is nested without end", "[".repeat(100_000), "Its entries are nested too deeply."],
    [
      "a table",
      "variety,season,yield\nA,2026,60\n",
      "It reads like a table, which goes with --lots or as strips.",
    ],
    [
      "an earlier result",
      '{\n "schema": "stripcurve-result-1" }',
      'season.yaml is an earlier result, not a season file. Give it as report --since "season.yaml".',
    ],
  ])("says that %s is no season file", (_, text, message) => {
    expect(trialErrorOf(() => season(text)).message).toContain(message);
  });

  it("runs no code and follows no references", () => {
    const bomb = `a: &a [x,x,x,x,x,x,x,x,x]\n${[..."bcdefghij"]
      .map((name, index) => `${name}: &${name} [${`*${"abcdefghij"[index]!},`.repeat(9)}]`)
      .join("\n")}\ncrop: *j\n`;
    expect(trialErrorOf(() => season(bomb)).code).toBe("season-entry");
    expect(problems("seed: &one 1\ntest_level: *one")).toContain("References (*) are not understood");
    for (const tagged of [
      "crop: !!js/function 'x'",
      "seed: !secret 1",
      "<<: *nothing",
      "crop: wheat\ncrop: oats",
    ]) {
      expect(trialErrorOf(() => season(tagged)).code).toMatch(/^season-/);
    }
    expect(trialErrorOf(() => season("[".repeat(100_000))).code).toBe("season-not-yaml");
    expect(trialErrorOf(() => season("x".repeat(300_000))).code).toBe("season-too-large");
    expect(trialErrorOf(() => season("- a\n- b")).code).toBe("season-not-yaml");
    expect(trialErrorOf(() => season("a: 1\n---\nb: 2\n")).code).toBe("season-not-yaml");
  });
});

describe("the drill's step where nobody gives it", () => {
  const step = (crop: string, system = "us"): number =>
    season(`units: ${system}\ncrop: ${crop}\n`).settings.rateStepSeedsPerM2;

  it("is that of small grains, or no more than 2% of what is usually sown of a crop that is sown thinner", () => {
    for (const crop of ["wheat", "barley", "oats", "rye", "flax"]) {
      expect(step(crop)).toBe(defaultSettings.rateStepSeedsPerM2);
      expect(step(crop, "metric")).toBe(5);
    }
    // 8 seeds/m² of corn are 32,375 an acre, of which 2% are 647; 37 of soybean 149,734 and 2,995; 100 of canola 404,686 and 8,094.
    expect(["corn", "soybean", "canola"].map((crop) => toPerAcre(step(crop)))).toEqual([
      expect.closeTo(500, 6),
      expect.closeTo(2000, 6),
      expect.closeTo(5000, 6),
    ]);
    expect(["corn", "soybean", "canola"].map((crop) => step(crop, "metric"))).toEqual([
      expect.closeTo(0.1, 9),
      expect.closeTo(0.5, 9),
      expect.closeTo(2, 9),
    ]);
    expect(toPerAcre(season("crop: corn\nrate_step: 1000 seeds/ac").settings.rateStepSeedsPerM2)).toBeCloseTo(
      1000,
      6,
    );
  });
});

describe("more seed for each day late", () => {
  // A rule for crops that tiller: common practice, no printed source.
  it.each([
    ["wheat", 0.01],
    ["rye", 0.01],
    ["corn", 0],
    ["canola", 0],
  ])("is taken for crops that tiller: %s", (crop, share) => {
    expect(season(`crop: ${crop}`).settings.latePerDay).toBe(share);
    expect(season(`crop: ${crop}\nlate_per_day: 0.5%`).settings.latePerDay).toBeCloseTo(0.005, 12);
  });
});

describe("seasonTemplate", () => {
  it.each([us, metric])("holds every default in $system units", (units) => {
    const read = season(seasonTemplate(units));
    const expected = defaultsIn(units.system);
    expect(read.units).toEqual(units);
    const { priors, assumed, ...plain } = read.settings;
    // Nobody gave anything yet.
    expect(assumed).toEqual([...assumable]);
    for (const [key, value] of Object.entries(plain)) {
      const wanted = expected[key as keyof typeof plain];
      expect(value, key).toEqual(typeof wanted === "number" ? expect.closeTo(wanted, 9) : wanted);
    }
    expect(priors).toEqual(expected.priors);
  });

  it("follows when somebody writes another crop", () => {
    const { settings: corn } = season(seasonTemplate(us).replace("crop: wheat", "crop: corn"));
    expect(corn).toEqual(defaultsIn("us", "corn"));
  });

  it("has an entry for everything a person may set", () => {
    const text = seasonTemplate(us, { ...defaultSettings, lots: [] });
    const moved = season(
      text
        .replace(/^(\s*\w+: )(?:no)?(\s+#)/gm, (line) => line)
        .replace(/grain_price:\s/, "grain_price: 7 $/bu ")
        .replace(/seed_price:\s/, "seed_price: 21 $/million seeds ")
        .replace(/rate_now:\s/, "rate_now: 1300000 ")
        .replace(/lowest_rate:\s/, "lowest_rate: 900000 ")
        .replace(/row_spacing:\s/, "row_spacing: 10 in ")
        .replace(/stand_loss:\s/, "stand_loss: 16% ")
        .replace(/best_seeding_date:\s/, "best_seeding_date: 2027-04-20 ")
        .replace(/planned_seeding_date:\s/, "planned_seeding_date: 2027-04-24 ")
        .replace(/late_per_day:\s/, "late_per_day: 2% ")
        .replace(/late_cap:\s/, "late_cap: 1700000 ")
        .replace(/largest_step:\s/, "largest_step: 11% ")
        .replace("flat_zone: 2", "flat_zone: 3")
        .replace(/rate_step:\s/, "rate_step: 20000 ")
        .replace("lodging_scale: 0-9", "lodging_scale: 1-9")
        .replace(/lodging_limit:\s/, "lodging_limit: 31% ")
        .replace("lodging_chance: 30", "lodging_chance: 31")
        .replace("lodging_cost: 0", "lodging_cost: 1")
        .replace("test_level: 5", "test_level: 6")
        .replace("\nseed: 1", "\nseed: 2")
        .replace("protein_schedule:", "protein_schedule: [{ protein: 14, premium: 1 $/bu }]")
        .replace("[80%, 95%]", "[70%, 90%]")
        .replace("forms: [none, ", "forms: [")
        .replace("crop: wheat", "crop: durum")
        .replace("flat: no", "flat: yes")
        .replace(/ need: /, " need: 1300000")
        .replace("recommended_spread: 25", "recommended_spread: 30")
        .replace("need_spread: 0.3", "need_spread: 0.4")
        .replace("variety_spread: 0.15", "variety_spread: 0.2")
        .replace("loss: 8", "loss: 7")
        .replace("loss_spread: 0.8", "loss_spread: 2")
        .replace("no_decline_chance: 50", "no_decline_chance: 60")
        .replace("decline: 4", "decline: 5")
        .replace("decline_spread: 1", "decline_spread: 2")
        .replace("season_spread: 0.1", "season_spread: 0.2")
        .replace("\n  field_spread: 0.15", "\n  field_spread: 0.2")
        .replace("field_in_season_spread: 0.1", "field_in_season_spread: 0.2")
        .replace("strength_spread: 0.3", "strength_spread: 0.4")
        .replace("misfit_correlation: 0.03", "misfit_correlation: 0.1")
        .replace("no_response_chance: 5", "no_response_chance: 20")
        .replace("strip_error: 5", "strip_error: 6")
        .replace("lodging_level: -2", "lodging_level: -1")
        .replace("lodging_level_spread: 2", "lodging_level_spread: 3")
        .replace("lodging_slope_spread: 2.5", "lodging_slope_spread: 3")
        .replace("lodging_season_spread: 1.2", "lodging_season_spread: 1.3")
        .replace("lodging_field_spread: 0.5", "lodging_field_spread: 0.6")
        .replace("lodging_variety_spread: 0.5", "lodging_variety_spread: 0.6")
        .replace("lodging_variety_slope_spread: 0.5", "lodging_variety_slope_spread: 0.6"),
    ).settings;
    const numbersOf = ({ lodging, ...others }: Settings["priors"]): Record<string, unknown> => ({
      ...others,
      ...lodging,
    });
    const [priors, defaultPriors] = [numbersOf(moved.priors), numbersOf(defaultSettings.priors)];
    const unmoved = [
      ...Object.keys(defaultSettings)
        .filter((key) => !["lots", "priors", "assumed", "region"].includes(key))
        .filter((key) =>
          Object.is(moved[key as keyof typeof moved], defaultSettings[key as keyof typeof moved]),
        ),
      ...Object.keys(defaultPriors).filter((key) => priors[key] === defaultPriors[key]),
    ];
    expect(unmoved).toEqual([]);
  });
});
