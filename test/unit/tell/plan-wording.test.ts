/** What a plan says of its rates and of what they find out, on varieties written down by hand. */
import { describe, expect, it } from "vitest";
import { measuresOf } from "../../../src/numbers/measures.ts";
import { fromPerAcre } from "../../../src/numbers/units.ts";
import { findsSentences, habitSentence } from "../../../src/tell/wording/plan.ts";
import { planText } from "../../../src/tell/terminal/plan-text.ts";
import { plainTextStyle } from "../../../src/tell/terminal/text-table.ts";
import type { Interval } from "../../../src/vocabulary/result.ts";
import { defaultSettings } from "../../../src/vocabulary/settings.ts";
import type { StripPlan, VarietyPlan } from "../../../src/vocabulary/strip-plan.ts";

const measures = measuresOf({ units: { system: "us", currency: "$" }, settings: defaultSettings });
const million = (rate: number): number => fromPerAcre(rate * 1e6);

/** A range of the best rate as wide as said, before and after [million seeds/ac]. */
function variety(before: number, after: number): VarietyPlan {
  // Today's 1.20 in place of the 1.25 of even steps.
  const rates = {
    ratesSeedsPerM2: [1.05, 1.2, 1.45, 1.65].map(million),
    finds: { intervalWidthSeedsPerM2: million(after), valuePerHa: 1, chanceToSeeGain: 0.5 },
  };
  return {
    chosen: rates,
    habit: rates,
    now: {
      range: { level: 0.8, lower: million(1), upper: million(1 + before) },
      valueOfKnowingAllPerHa: 2,
      chanceOfGain: 0.5,
      chanceToBeatNow: 0.5,
    },
  } as unknown as VarietyPlan;
}
const plan = {
  request: { gainPerHa: 12.355, season: 2027, seasonsUsed: 3, costPerStrip: 25 },
  units: { system: "us", currency: "$" },
  settings: defaultSettings,
  chosen: { cost: 100, value: null, valuePerHa: 1, blocks: 3, ratesPerVariety: 4, strips: 12 },
  layout: { stripWidthM: 12, passes: 1, stripLengthM: 300 },
  varieties: [],
  leftOut: [],
  seedNeeded: [],
  advice: [],
} as unknown as StripPlan;
const width = (before: number, after: number): string =>
  findsSentences(variety(before, after), plan, measures)[0]!;

describe("a plan in words", () => {
  it("does not call rates evenly spaced that make room for today's", () => {
    expect(habitSentence(variety(0.2, 0.1), measures)).toBe(
      "Spaced as evenly as today's rate allows: no other choice narrows the answer more.",
    );
  });

  it("promises a narrower range only where it is narrower as it is told", () => {
    expect(width(0.23, 0.19)).toBe(
      "The 80% range of the best rate is 0.23 million seeds/ac wide now and expected to be 0.19 million seeds/ac wide after the trial.",
    );
    const stays = "The 80% range of the best rate is not expected to narrow with one more season.";
    // 0.055 is 4% less than 0.057, and both are told as 0.06.
    expect(width(0.057, 0.055)).toBe(stays);
    expect(width(0, 0.39)).toBe(stays);
  });

  it("calls it impossible that a rate beats today's only of rates that the person accepts", () => {
    const sure = variety(0.2, 0.1);
    const known = {
      ...sure,
      chosen: { ...sure.chosen, finds: { ...sure.chosen.finds, chanceToSeeGain: null } },
    };
    const of = (lowestRateSeedsPerM2: number | null): string =>
      findsSentences(known, { ...plan, settings: { ...plan.settings, lowestRateSeedsPerM2 } }, measures).at(
        -1,
      )!;
    expect(of(null)).toMatch(/^It is next to impossible that some rate beats today's by /);
    expect(of(300)).toMatch(/^It is next to impossible that some rate that you accept beats today's by /);
  });

  it("compares no range that is open, or not shown, with the one after, which counts rates beyond those tested", () => {
    const [closed, collapsed] = [variety(0.2, 0.3), variety(0.2, 0)];
    const of = (one: VarietyPlan, range: Interval | null): string =>
      findsSentences({ ...one, now: { ...one.now, range } }, plan, measures)[0]!;
    const open = { ...closed.now.range!, openAbove: true };
    expect(of(closed, open)).toBe(
      "The 80% range of the best rate goes beyond the rates tested. It is expected to be 0.30 million seeds/ac wide after the trial.",
    );
    expect(of(closed, null)).toBe(
      "The strips do not show an 80% range of the best rate yet. It is expected to be 0.30 million seeds/ac wide after the trial.",
    );
    const odds = (range: Interval | null): string =>
      findsSentences({ ...closed, now: { ...closed.now, range } }, plan, measures).join(" ");
    expect(odds(open)).toContain("Chance that some rate beats today's");
    expect(odds(null)).not.toContain("hance");
    // All that is believed is at one end of the rates that the person accepts.
    const stays = "The 80% range of the best rate is not expected to narrow with one more season.";
    expect(of(collapsed, { ...open, openBelow: true })).toBe(stays);
    const text = (one: VarietyPlan, range: Interval | null): string =>
      planText(
        {
          ...plan,
          varieties: [{ ...one, variety: "Alder", testedSeedsPerM2: null, now: { ...one.now, range } }],
        },
        plainTextStyle,
      );
    expect(text(closed, closed.now.range)).toMatch(/1\.00 to 1\.20 +0\.20 +0\.30/);
    expect(text(closed, open)).toMatch(/1\.00 or more +– +0\.30/);
    expect(text(closed, null)).toMatch(/ – +– +0\.30/);
    expect(text(collapsed, open)).toMatch(/1\.00 or more +– +– /);
  });
});
