import { describe, expect, it } from "vitest";
import { priorEntries, seasonEntries } from "../../../src/read/season-file/season-entries.ts";
import { measuresOf } from "../../../src/numbers/measures.ts";
import { startingBeliefs, statedRules } from "../../../src/tell/wording/priors.ts";
import { makeResult } from "../../fixtures/result.ts";

const result = makeResult();
const measures = measuresOf(result);

describe("what is believed before the strips", () => {
  it("is told whole: every entry under priors stands in the table, and no other", () => {
    const told = startingBeliefs(result, measures).flatMap(({ keys }) => keys);
    expect([...told].sort()).toEqual(priorEntries.map(({ key }) => key).sort());
  });

  it("is told as it is set", () => {
    const { settings } = result;
    const value = (keys: string, changed = settings): string => {
      const told = startingBeliefs({ ...result, settings: changed }, measures);
      return told.find((one) => one.keys.join() === keys)!.value;
    };
    expect(value("loss,loss_spread")).toBe("8%; two-thirds range 4% to 18%");
    expect(value("lodging_level,lodging_level_spread")).toBe("12% of the scale; two-thirds range 2% to 50%");
    expect(value("lodging_season_spread")).toBe("odds 3.3 times up or down");
    const priors = { ...settings.priors, flat: true, lossMedian: 0.1, stripError: 0.08 };
    expect(value("flat", { ...settings, priors })).toBe("yes");
    expect(value("loss,loss_spread", { ...settings, priors })).toMatch(/^10%/);
    expect(value("strip_error", { ...settings, priors })).toBe("8%");
  });

  it("stands beside the rules, each with an entry of the season file", () => {
    const known = new Set(seasonEntries.map(({ key }) => key));
    const rules = statedRules(result, measures);
    expect(rules.flatMap(({ keys }) => keys).filter((key) => !known.has(key))).toEqual([]);
    expect(rules.find(({ keys }) => keys.includes("lodging_chance"))!.value).toBe("30%");
  });

  it.each([
    ["late_per_day", { latePerDay: 0.005 }, "0.5%"],
    ["largest_step", { largestStep: 0.075 }, "7.5%"],
    ["lodging_chance", { lodgingChance: 0.125 }, "12.5%"],
    ["stand_loss", { standLoss: 0.175 }, "17.5%"],
  ])("tells %s as finely as it was chosen", (key, chosen, told) => {
    const rules = statedRules({ ...result, settings: { ...result.settings, ...chosen } }, measures);
    expect(rules.find(({ keys }) => keys.includes(key))!.value).toMatch(new RegExp(`^${told}`));
  });
});
