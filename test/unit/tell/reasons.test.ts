import { describe, expect, it } from "vitest";
import { chooseStep } from "../../../src/decide/rate/step.ts";
import { reasonSentence } from "../../../src/tell/wording/reasons.ts";
import { measuresOf } from "../../../src/numbers/measures.ts";
import { fromPerAcre } from "../../../src/numbers/units.ts";
import { defaultSettings } from "../../../src/vocabulary/settings.ts";
import { makeResult } from "../../fixtures/result.ts";

const measures = measuresOf(makeResult());

describe("the sentence of a reason", () => {
  it("says rates in the person's units", () => {
    // 568.34 seeds/m² × 4046.86 m²/ac = 2.30 million.
    const numbers = { rateSeedsPerM2: 500, testSeedsPerM2: 568.34 };
    expect(reasonSentence({ code: "at-highest-tested", numbers }, measures)).toBe(
      "More seed still paid at the highest rate tested: put 2.30 million in a strip.",
    );
  });

  it("says of a season's best rate at an end of those tested that it may be farther", () => {
    const numbers = {
      lowerSeason: 2024,
      lowerSeedsPerM2: fromPerAcre(800_000),
      higherSeason: 2025,
      higherSeedsPerM2: fromPerAcre(1_700_000),
    };
    const told = (ends: { lowerOrLess?: true; higherOrMore?: true }): string =>
      reasonSentence({ code: "seasons-contradict", numbers: { ...numbers, ...ends } }, measures);
    const start = "Seasons contradict each other: best";
    expect(told({})).toBe(`${start} near 0.80 million in 2024, near 1.70 million in 2025.`);
    expect(told({ lowerOrLess: true, higherOrMore: true })).toBe(
      `${start} at 0.80 million or less in 2024, at 1.70 million or more in 2025.`,
    );
  });

  it("says the step and the sum that the settings name", () => {
    const question = { rateNowSeedsPerM2: 300, ceiling: null };
    const [limited] = chooseStep({ ...question, target: 400, wholeGainPerHa: 100 }, defaultSettings).reasons;
    expect(reasonSentence(limited!, measures)).toBe("Change by at most 10% a season, then re-check.");
    // The default of 2 $/ac.
    const [flat] = chooseStep({ ...question, target: 310, wholeGainPerHa: 1 }, defaultSettings).reasons;
    expect(reasonSentence(flat!, measures)).toMatch(/^A change would add no more than \$2/);
    const [, left] = chooseStep(
      { rateNowSeedsPerM2: 300, ceiling: fromPerAcre(1_250_000), target: 400, wholeGainPerHa: 1 },
      defaultSettings,
    ).reasons;
    expect(reasonSentence(left!, measures)).toMatch(
      /^Up to 1\.25 million a change would add no more than \$2/,
    );
  });
});
