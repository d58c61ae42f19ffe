import { seedsPerM2 } from "../../../src/numbers/units.ts";
import { describe, expect, it } from "vitest";
import type { KnownVariety } from "../../../src/plan/candidate.ts";
import { planStrips } from "../../../src/plan/plan-strips.ts";
import { defaultSettings } from "../../../src/vocabulary/settings.ts";
import { wheatOutlook } from "./outlooks.ts";
import { feet, lotAt300, quarterMile, request } from "./requests.ts";

const units = { system: "us", currency: "$" } as const;

const known = (
  variety: string,
  need: number,
  needSdLog: number,
  areaHa: number | null = null,
): KnownVariety => ({
  outlook: { ...wheatOutlook(need, needSdLog), variety },
  curves: [],
  yieldKgPerHa: 4000,
  rateNowSeedsPerM2: 300,
  now: 10,
  lot: lotAt300(variety, areaHa),
  pastStrips: 60,
  pastEnvironments: 3,
  rangeNow: null,
  testedSeedsPerM2: [150, 450],
  lodgingChanceAtHighest: null,
});

const settled = known("Brimsolt", 330, 0.03);
const open = known("Telluwick", 300, 0.3);

describe("the plan", () => {
  const planned = () =>
    planStrips(request({ ratesPerVariety: 5, blocks: 4 }), [settled, open], defaultSettings, units);
  const plan = planned();

  it("is the same for the same seed", () => {
    expect(JSON.stringify(planned())).toBe(JSON.stringify(plan));
  });

  it("holds no number that JSON cannot", () => {
    expect(JSON.parse(JSON.stringify(plan))).toEqual(plan);
  });

  it("always has today's rate, in every block", () => {
    for (const { variety, chosen } of plan.varieties) {
      expect(chosen.ratesSeedsPerM2).toContain(300);
      const today = plan.layout.strips.filter(
        (strip) => !strip.border && strip.variety === variety && strip.rateSeedsPerM2 === 300,
      );
      expect(today.map((strip) => strip.block).sort()).toEqual(["1", "2", "3", "4"]);
    }
  });

  it("brackets what is believed of the best rate", () => {
    for (const { chosen, now } of plan.varieties) {
      expect(chosen.ratesSeedsPerM2[0]).toBeLessThanOrEqual(now.intervalSeedsPerM2[0]);
      expect(chosen.ratesSeedsPerM2.at(-1)).toBeGreaterThanOrEqual(now.intervalSeedsPerM2[1]);
      const [lower, upper] = now.intervalSeedsPerM2;
      expect(chosen.ratesSeedsPerM2.some((rate) => rate >= lower && rate <= upper)).toBe(true);
    }
  });

  it("is never expected to leave the answer wider than evenly spaced rates", () => {
    for (const { chosen, habit } of plan.varieties) {
      expect(chosen.finds.intervalWidthSeedsPerM2).toBeLessThanOrEqual(habit.finds.intervalWidthSeedsPerM2);
    }
  });

  it("expects more of the variety that less is known of", () => {
    const [first, second] = plan.varieties;
    expect(first!.variety).toBe("Telluwick");
    expect(first!.chosen.finds.valuePerHa).toBeGreaterThan(3 * second!.chosen.finds.valuePerHa);
    expect(first!.chosen.finds.valuePerHa).toBeLessThan(first!.now.valueOfKnowingAllPerHa);
  });

  it("expects a narrower answer and more money of more blocks", () => {
    const ofFive = plan.options.filter((option) => option.ratesPerVariety === 5);
    for (const [i, option] of ofFive.entries()) {
      if (i === 0) continue;
      expect(option.intervalWidthSeedsPerM2).toBeLessThan(ofFive[i - 1]!.intervalWidthSeedsPerM2);
      expect(option.valuePerHa).toBeGreaterThan(ofFive[i - 1]!.valuePerHa);
    }
  });

  it("reckons the drill's pounds for the lot", () => {
    const strip = plan.layout.strips.find((one) => one.rateSeedsPerM2 === 300)!;
    expect(strip.sowing!.kgPerHa).toBeCloseTo(3_000_000 / (30_000 * 0.95 * 0.99), 9);
  });

  it("takes the seed of every whole strip, borders with them, in what the lot is sold in", () => {
    for (const { variety, kg, sold, strips } of plan.seedNeeded) {
      const own = plan.layout.strips.filter((strip) => strip.variety === variety);
      // Worked from the lot: 30,000 seeds/kg, 95 % and 99 %.
      const expected = own.reduce(
        (sum, { rateSeedsPerM2, widthM, lengthM }) =>
          sum + (rateSeedsPerM2 * widthM * lengthM) / (30_000 * 0.95 * 0.99),
        0,
      );
      expect(strips).toBe(own.length);
      expect(kg).toBeCloseTo(expected, 6);
      expect(sold).toBeNull();
    }
    expect(plan.seedNeeded.map(({ variety }) => variety)).toEqual(
      plan.varieties.map(({ variety }) => variety),
    );
  });
});

describe("the size of the trial", () => {
  it("keeps to the strips one is willing to plant", () => {
    const plan = planStrips(request({ mostStrips: 26 }), [settled, open], defaultSettings, units);
    expect(plan.chosen.strips).toBeLessThanOrEqual(26);
    expect(plan.layout.strips.filter((strip) => !strip.border)).toHaveLength(plan.chosen.strips);
  });

  it("leaves out the settled variety when strips are too few for both", () => {
    const plan = planStrips(request({ mostStrips: 12 }), [settled, open], defaultSettings, units);
    expect(plan.varieties.map((one) => one.variety)).toEqual(["Telluwick"]);
    expect(plan.leftOut).toEqual(["Brimsolt"]);
  });

  it("plants more where the answer is used on more ground", () => {
    const strips = (areaHa: number): number =>
      planStrips(request(), [known("Telluwick", 300, 0.3, areaHa)], defaultSettings, units).chosen.strips;
    expect(strips(4000)).toBeGreaterThan(strips(10));
  });

  it("plants what was asked for", () => {
    const asked = request({
      blocks: 3,
      ratesSeedsPerM2: [200, 300, 400].map(seedsPerM2),
      varieties: ["Brimsolt"],
    });
    const outlook = {
      ...settled.outlook,
      ratesSeedsPerM2: settled.outlook.ratesSeedsPerM2.map((r) => r - 4),
    };
    const plan = planStrips(asked, [{ ...settled, outlook }, open], defaultSettings, units);
    expect(plan.varieties.map((one) => one.variety)).toEqual(["Brimsolt"]);
    expect(plan.varieties[0]!.chosen.ratesSeedsPerM2).toEqual([200, 296, 404]);
    expect(plan.chosen.blocks).toBe(3);
  });

  it.each([
    [{ ratesPerVariety: 9 }, /Rates of a variety: 9 .* only 2 to 8/],
    [{ ratesSeedsPerM2: [seedsPerM2(300)] }, /Rates of a variety: 1/],
    [{ blocks: 0 }, /Blocks: 0/],
    [{ mostStrips: 0 }, /Strips: 0/],
  ])("refuses %j", (changes, message) => {
    expect(() => planStrips(request(changes), [settled], defaultSettings, units)).toThrow(message);
  });

  it("says what would fit when what was asked for does not", () => {
    const narrow = request({
      blocks: 4,
      ratesPerVariety: 5,
      ground: { ...quarterMile, fieldWidthM: feet(300) },
      varieties: ["Brimsolt", "Telluwick"],
    });
    expect(() => planStrips(narrow, [settled, open], defaultSettings, units)).toThrow(/1 variety × 5 rates/);
    const none = request({ ground: { ...quarterMile, fieldWidthM: feet(100) } });
    expect(() => planStrips(none, [settled], defaultSettings, units)).toThrow(/No trial of 2 blocks/);
  });
});
