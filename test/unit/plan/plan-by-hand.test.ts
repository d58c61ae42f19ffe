/**
 * Whole plans on curves so plain that sizes and areas can be worked on paper.
 *
 * The field of `requests.ts`: strips of 40 ft, a quarter mile of which, less two borders, holds 31 side by side. Of 1,200 ft with
 * alleys of 40 ft strips of 300 ft or more lie in three rows.
 */
import { describe, expect, it } from "vitest";
import type { KnownVariety } from "../../../src/plan/candidate.ts";
import { seedsPerM2 } from "../../../src/numbers/units.ts";
import { planStrips } from "../../../src/plan/plan-strips.ts";
import { engineVersion } from "../../../src/version.ts";
import { defaultSettings } from "../../../src/vocabulary/settings.ts";
import type { PlanRequest } from "../../../src/vocabulary/strip-plan.ts";
import { outlookOf } from "./outlooks.ts";
import { feet, lotAt300, quarterMile, request } from "./requests.ts";

const units = { system: "us", currency: "$" } as const;
const set = (...rates: number[]) => rates.map(seedsPerM2);
const rates = [150, 200, 250, 300, 350, 400, 450];

/** Two curves, as likely as each other: best at 250 and at 350, where money falls by `stake` for 50 seeds, squared. */
const variety = (name: string, stake = 1, changes: Partial<KnownVariety> = {}): KnownVariety => ({
  outlook: {
    ...outlookOf(
      rates,
      [250, 350].map((best) => ({
        weight: 1,
        yields: (rate) => 4000 - 10 * stake * ((rate - best) / 50) ** 2,
        net: (rate) => 900 - stake * ((rate - best) / 50) ** 2,
      })),
      120,
    ),
    variety: name,
  },
  curves: [],
  yieldKgPerHa: 4000,
  rateNowSeedsPerM2: 300,
  now: 3,
  lot: null,
  rangeNow: null,
  testedSeedsPerM2: [150, 450],
  lodgingChanceAtHighest: null,
  pastStrips: 24,
  pastEnvironments: 2,
  ...changes,
});
const plan = (changes: Partial<PlanRequest>, ...known: KnownVariety[]) =>
  planStrips(request(changes), known, defaultSettings, units);
const small = { blocks: 3, ratesPerVariety: 4 };
const names = ({ varieties }: ReturnType<typeof plan>): string[] => varieties.map((one) => one.variety);

describe("counts that are asked for", () => {
  const refusal = (changes: Partial<PlanRequest>): string => {
    try {
      plan(changes, variety("Alder"));
      return "";
    } catch (error) {
      return (error as Error).message;
    }
  };

  it.each([
    ["Rates of a variety", { ratesPerVariety: 1 }, { ratesPerVariety: 2 }],
    ["Rates of a variety", { ratesPerVariety: 9 }, { ratesPerVariety: 8 }],
    ["Rates of a variety", { ratesSeedsPerM2: set(300) }, { ratesSeedsPerM2: set(250, 300) }],
    ["Blocks", { blocks: 0 }, { blocks: 1 }],
    ["Blocks", { blocks: 21 }, { blocks: 20 }],
    ["Strips", { mostStrips: 1 }, { mostStrips: 2 }],
    ["Strips", { mostStrips: 10_001 }, { mostStrips: 10_000 }],
  ])("of %s: %j is refused, and %j is not for that", (name, beyond, within) => {
    expect(refusal(beyond)).toContain(`${name}: `);
    expect(refusal(within)).not.toContain(`${name}: `);
  });
});

describe("rates of a drill", () => {
  // Today's 300 and 330 alone: another must be 8 % of 300 away.
  const two = variety("Alder");
  const few = {
    ...two,
    now: 0,
    outlook: {
      ...two.outlook,
      ...outlookOf([300, 330], [{ weight: 1, yields: (rate) => rate, net: (rate) => rate }], 100),
      variety: "Alder",
    },
  };

  it("must leave three, or as many as were asked for", () => {
    expect(() => plan({}, few)).toThrow(/leave 2 rates for Alder/);
    expect(() => plan({ ratesPerVariety: 4 }, few)).toThrow(/leave 2 rates/);
    expect(plan({ ...small, ratesPerVariety: 2 }, few).varieties[0]!.chosen.ratesSeedsPerM2).toEqual([
      300, 330,
    ]);
  });

  it("may be set by hand", () => {
    const chosen = plan({ blocks: 3, ratesSeedsPerM2: set(300, 330, 300) }, few);
    expect(chosen.varieties[0]!.chosen.ratesSeedsPerM2).toEqual([300, 330, 300]);
  });
});

describe("the varieties planted", () => {
  const [alder, birch, cedar] = [variety("Alder"), variety("Birch", 3), variety("Cedar", 2)];

  it("are those asked for, in that order", () => {
    const asked = plan({ ...small, varieties: ["Cedar", "Alder"] }, alder, birch, cedar);
    expect(names(asked)).toEqual(["Cedar", "Alder"]);
    expect(asked.leftOut).toEqual([]);
  });

  it("are those with most at stake first", () => {
    expect(names(plan(small, alder, birch, cedar))).toEqual(["Birch", "Cedar", "Alder"]);
    // On 10 ha 1 is at stake ten times, on 2 ha 3 twice; without an area 2 once.
    const onAreas = [
      { ...alder, lot: lotAt300("Alder", 10) },
      { ...birch, lot: lotAt300("Birch", 2) },
      cedar,
    ];
    expect(names(plan(small, ...onAreas))).toEqual(["Alder", "Birch", "Cedar"]);
  });

  it("are as many as the strips allow that one is willing to plant", () => {
    // 3 blocks of 4 rates take 12 strips each.
    const within = (mostStrips: number) => plan({ ...small, mostStrips }, alder, birch, cedar);
    expect(names(within(36))).toHaveLength(3);
    expect(within(35).leftOut).toEqual(["Alder"]);
    expect(names(within(35))).toEqual(["Birch", "Cedar"]);
    expect(within(23).leftOut).toEqual(["Cedar", "Alder"]);
    // Without counts a variety needs three rates in three blocks: 9 strips.
    const free = (mostStrips: number) => plan({ mostStrips }, alder, birch, cedar);
    expect(names(free(27))).toHaveLength(3);
    expect(names(free(26))).toHaveLength(2);
    expect(names(free(9))).toEqual(["Birch"]);
    // One is never left out, and then planted in fewer.
    expect(names(free(8))).toEqual(["Birch"]);
  });

  it("are as many as the field holds", () => {
    const across = (strips: number, changes: Partial<PlanRequest> = small) =>
      plan(
        { ...changes, ground: { ...quarterMile, fieldWidthM: feet(40 * (strips + 2)) } },
        alder,
        birch,
        cedar,
      );
    // A row of blocks for each of three: 12 strips hold all three varieties at four rates.
    expect(names(across(12))).toHaveLength(3);
    expect(names(across(11))).toHaveLength(2);
    expect(names(across(12, { ...small, blocks: 4 }))).toHaveLength(1);
  });

  it("are none where the field holds no block", () => {
    const narrow = { ...quarterMile, fieldWidthM: feet(160) };
    expect(() => plan({ ground: narrow }, alder)).toThrow(/No trial of 2 blocks with 3 rates fits/);
    expect(() => plan({ mostStrips: 5 }, alder)).toThrow(/5 strips may be planted/);
  });
});

describe("the seed", () => {
  const lot = { ...lotAt300("Alder", null), soldIn: null };
  const alder = variety("Alder", 1, { lot });
  const birch = variety("Birch");
  // Both varieties in every block: 8 strips of one row, 3 blocks in one row of 24, 1,200 ft long and 40 ft wide.
  const both = () => plan({ ...small, varieties: ["Alder", "Birch"] }, alder, birch);
  const stripHa = (feet(1200) * feet(40)) / 10_000;

  it("is that of whole strips, borders with them", () => {
    const { layout, seedNeeded } = both();
    const own = (name: string) => layout.strips.filter((strip) => strip.variety === name);
    expect(layout.strips).toHaveLength(26);
    for (const { variety: name, strips, areaHa } of seedNeeded) {
      expect(strips).toBe(own(name).length);
      expect(areaHa).toBeCloseTo(own(name).length * stripHa, 9);
    }
    const [ofAlder, ofBirch] = seedNeeded;
    // 30,000 seeds a kg, 95 % of them viable, 99 % pure; 10,000 m² a hectare.
    const seeds = own("Alder").reduce(
      (sum, { rateSeedsPerM2 }) => sum + rateSeedsPerM2 * 10_000 * stripHa,
      0,
    );
    expect(ofAlder!.kg).toBeCloseTo(seeds / (30_000 * 0.95 * 0.99), 6);
    expect([ofAlder!.sold, ofBirch!.sold, ofBirch!.kg]).toEqual([null, null, null]);
  });

  it("is told in what the lot is sold in", () => {
    const soldIn = { noun: "bag", size: "25 kg", kg: 25, thousandSeeds: null };
    const [needed] = plan(small, { ...alder, lot: { ...lot, soldIn } }).seedNeeded;
    expect(needed!.sold!.unit).toEqual(soldIn);
    expect(needed!.sold!.amount).toBeCloseTo(needed!.kg! / 25, 9);
  });

  it("is not told of a lot whose seeds nobody weighed", () => {
    const [needed] = plan(small, { ...alder, lot: { ...lot, seedsPerKg: null } }).seedNeeded;
    expect(needed).toMatchObject({ kg: null, sold: null });
    expect(needed!.areaHa).toBeGreaterThan(0);
  });

  it("is weighed for each strip by the lot of its own variety", () => {
    for (const { variety: name, rateSeedsPerM2, sowing } of both().layout.strips)
      if (name === "Birch") expect(sowing).toBeNull();
      else expect(sowing!.kgPerHa).toBeCloseTo((rateSeedsPerM2 * 10_000) / (30_000 * 0.95 * 0.99), 9);
  });
});

describe("a plan", () => {
  it("holds what it was asked and what it chose", () => {
    const asked = request(small);
    const whole = planStrips(asked, [variety("Alder")], defaultSettings, units);
    expect(whole).toMatchObject({ schema: "stripcurve-plan-1", engineVersion, units, leftOut: [] });
    expect(whole.request).toBe(asked);
    expect(whole.settings).toBe(defaultSettings);
    expect(whole.chosen).toMatchObject({ blocks: 3, ratesPerVariety: 4, strips: 12 });
    expect(whole.options).toContainEqual(whole.chosen);
    expect(whole.layout.blocks).toBe(3);
    const planted = whole.layout.strips.filter(({ border }) => !border);
    expect([...new Set(planted.map(({ rateSeedsPerM2 }) => rateSeedsPerM2))].sort()).toEqual(
      whole.varieties[0]!.chosen.ratesSeedsPerM2,
    );
  });
});
