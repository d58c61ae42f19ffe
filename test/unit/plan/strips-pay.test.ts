import { describe, expect, it } from "vitest";
import type { StripAdvice } from "../../../src/vocabulary/result.ts";
import type { StripPlan, VarietyPlan } from "../../../src/vocabulary/strip-plan.ts";
import { measuresOf } from "../../../src/numbers/measures.ts";
import { fromPerAcre } from "../../../src/numbers/units.ts";
import { weighStrips, worthPlanting } from "../../../src/plan/strips-pay.ts";
import { adviceHeadline, adviceSentence, forecast } from "../../../src/tell/wording/strip-advice.ts";
import { beyondSentence, knownSentence, planVerdict, worthSentence } from "../../../src/tell/wording/plan.ts";
import { defaultSettings } from "../../../src/vocabulary/settings.ts";

const measures = measuresOf({ units: { system: "us", currency: "$" }, settings: defaultSettings });

const advised = (variety: string, need: StripAdvice["need"], areaHa: number | null = 100): StripAdvice => ({
  variety,
  need,
  areaHa,
  costOfTrial: 600,
  seasonsUsed: 3,
  pastStrips: 40,
  pastEnvironments: 2,
  blocks: 4,
  ratesPerVariety: 5,
  valueOfKnowingAllPerHa: 3,
  valueOfTrialPerHa: 1,
  intervalWidthNowSeedsPerM2: 90,
  intervalWidthAfterSeedsPerM2: 60,
});

describe("whether strips pay", () => {
  // Worked by hand: 2 a hectare and season on 100 ha, used for 3 seasons, are 600.
  it.each([
    [599, true],
    [600, true],
    [601, false],
  ])("is their worth on the area over the seasons against a cost of %d: %s", (cost, pays) => {
    expect(weighStrips(2, 100, cost, 3)).toEqual({ value: 600, pays });
  });

  it("is not known without the area, and never so where nothing is to be learned", () => {
    expect(weighStrips(2, null, 600, 3)).toEqual({ value: null, pays: null });
    expect(weighStrips(0, null, 0, 3)).toEqual({ value: 0, pays: false });
  });
});

describe("varieties worth planting", () => {
  const known = ["Brimsolt", "Ostrindel", "Telluwick"].map((variety) => ({ outlook: { variety } }));
  const plant = (...advice: StripAdvice[]): string[] =>
    worthPlanting(known, advice).plant.map(({ outlook }) => outlook.variety);

  it("are those whose strips pay, and those nothing is said of", () => {
    expect(plant(advised("Brimsolt", "most"), advised("Telluwick", "dear"))).toEqual([
      "Brimsolt",
      "Ostrindel",
    ]);
  });

  it("leave out those that cost more or need none once the strips of another pay, by however much", () => {
    const { plant: planted, leave } = worthPlanting(known, [
      advised("Brimsolt", "settled"),
      advised("Ostrindel", "some"),
      advised("Telluwick", "dear"),
    ]);
    expect(planted.map(({ outlook }) => outlook.variety)).toEqual(["Ostrindel"]);
    expect(leave.map(({ outlook }) => outlook.variety)).toEqual(["Brimsolt", "Telluwick"]);
  });

  it("are weighed only where their area is known", () => {
    expect(plant(advised("Brimsolt", "most", null), advised("Telluwick", "settled"))).toHaveLength(3);
    expect(plant(advised("Brimsolt", "most"), advised("Telluwick", "dear", null))).toHaveLength(3);
  });

  it("are all where no strips pay, or no area is known", () => {
    expect(plant(advised("Brimsolt", "settled"), advised("Telluwick", "dear"))).toHaveLength(3);
    expect(plant(advised("Brimsolt", "most", null), advised("Telluwick", "settled", null))).toHaveLength(3);
  });
});

describe("the verdict on strips", () => {
  const plan = (value: number | null, cost: number): StripPlan =>
    ({
      chosen: { value, cost, pays: value === null ? null : value >= cost },
      request: { seasonsUsed: 3 },
      advice: [advised("Telluwick", "dear"), advised("Brimsolt", "settled")],
    }) as unknown as StripPlan;
  const headline = "Strips of Telluwick cost more than they are worth; Brimsolt needs none.";

  it("is told with both sums, and with the report's own words on each variety", () => {
    expect(planVerdict(plan(465, 1251), measures)).toBe(
      `These strips do not pay: over three seasons the answer is worth about $470, and the strips cost about $1,300. ${headline}`,
    );
    expect(planVerdict(plan(1251, 465), measures)).toMatch(/^These strips pay: /);
    expect(adviceHeadline([advised("Telluwick", "dear"), advised("Brimsolt", "settled")])).toBe(headline);
    expect(planVerdict(plan(null, 465), measures)).toContain("depends on the area");
    // Money a hectare and season that is told as nothing pays on no area, however large it would have to be.
    const idle = plan(null, 465);
    const tiny = { ...idle, chosen: { ...idle.chosen, valuePerHa: 0.01 } };
    expect(planVerdict(tiny, measures)).toBe(
      "These strips are not expected to change any decision, and cost about $470.",
    );
    const told = { ...tiny, request: { ...tiny.request, costPerStrip: 25 } } as StripPlan;
    expect(worthSentence(told.chosen, told, measures)).not.toContain("pay on more than");
    const some = { ...told, chosen: { ...told.chosen, valuePerHa: 1 } };
    expect(worthSentence(some.chosen, some, measures)).toMatch(/they pay on more than [\d,]+ acres/);
  });

  it("tells two digits of a forecast, unless they would make one sum of two", () => {
    expect([1997, 435, 96.4, 3, 0].map((sum) => forecast(sum, measures))).toEqual([
      "$2,000",
      "$440",
      "$96",
      "$3",
      "$0",
    ]);
    expect(planVerdict(plan(1213, 1231), measures)).toContain(
      "about $1,213, and the strips cost about $1,231",
    );
  });

  it("gives in the report the worth on the variety's area and the cost", () => {
    // 1 a hectare on 100 ha for 3 seasons.
    expect(adviceSentence(advised("Telluwick", "dear"), measures)).toContain(
      "do not pay: over three seasons the answer is worth about $300, and they cost about $600.",
    );
  });
});

describe("rates beyond those tested so far", () => {
  const million = (rate: number): number => fromPerAcre(rate * 1e6);
  const told = (rates: number[], lodgingChanceAtHighest: number | null): string =>
    beyondSentence(
      {
        chosen: { ratesSeedsPerM2: rates.map(million) },
        testedSeedsPerM2: [million(0.8), million(1.8)],
        lodgingChanceAtHighest,
      } as VarietyPlan,
      measures,
    );

  it("are named, with what lodging is known to do at the highest tested", () => {
    expect(told([0.8, 1.2, 1.95], 0.31)).toBe(
      "1.95 million is above 1.80 million, the highest rate tested so far. At 1.80 million the chance of too much lodging in a season is 3 in 10; above that, expect more.",
    );
    expect(told([0.8, 1.2, 1.95], null)).toContain("do not show how much of it would lodge");
    expect(told([0.7, 1.2, 1.8], 0.31)).toBe(
      "0.70 million is below 0.80 million, the lowest rate tested so far. A thin stand leaves room for weeds.",
    );
    expect(told([0.8, 1.2, 1.8], 0.31)).toBe("");
  });
});

describe("what is known of a variety before its strips", () => {
  const known = (open: { openBelow?: boolean; openAbove?: boolean }): string => {
    const range = { level: 0.8, lower: fromPerAcre(1.1e6), upper: fromPerAcre(1.3e6), ...open };
    const variety = { pastStrips: 12, pastEnvironments: 2, now: { range } } as unknown as VarietyPlan;
    return knownSentence(variety, measures);
  };

  it("ends in words where the range is open, not in dots", () => {
    const told = "Twelve strips in two site-years. 80% range of the most profitable rate: ";
    expect(known({})).toBe(`${told}1.10 to 1.30.`);
    const none = { pastStrips: 12, pastEnvironments: 2, now: { range: null } } as unknown as VarietyPlan;
    expect(knownSentence(none, measures)).toBe(
      "Twelve strips in two site-years. They do not show a range of the most profitable rate.",
    );
    expect(known({ openBelow: true })).toBe(`${told}1.30 or less.`);
    expect(known({ openAbove: true })).toBe(`${told}1.10 or more.`);
    expect(known({ openBelow: true, openAbove: true })).toBe(`${told}any rate tested.`);
  });
});
