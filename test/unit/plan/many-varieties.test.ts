/** What a plan leaves out so that its cost grows no faster than the varieties do. */
import { describe, expect, it } from "vitest";
import { setUpCandidate, type KnownVariety } from "../../../src/plan/candidate.ts";
import { varietiesOnPaper } from "../../../src/plan/grow-on-paper.ts";
import { measureGround } from "../../../src/plan/lay-out-strips.ts";
import { roughParts, weighOptions } from "../../../src/plan/size-trial.ts";
import { defaultSettings } from "../../../src/vocabulary/settings.ts";
import type { VarietyPlan } from "../../../src/vocabulary/strip-plan.ts";
import { wheatOutlook } from "./outlooks.ts";
import { feet, lotAt300, request } from "./requests.ts";

const units = { system: "us", currency: "$" } as const;
const name = (i: number): string => `Variety ${String(i).padStart(2, "0")}`;

/** A variety with as much to learn as any other, whose trials have draws of their own. */
const known = (i: number, areaHa: number | null): KnownVariety => ({
  outlook: { ...wheatOutlook(300, 0.2), variety: name(i) },
  curves: [],
  yieldKgPerHa: 4000,
  rateNowSeedsPerM2: 300,
  now: 10,
  lot: areaHa === null ? null : lotAt300(name(i), areaHa),
  pastStrips: 60,
  pastEnvironments: 3,
  rangeNow: null,
  testedSeedsPerM2: [150, 450],
  lodgingChanceAtHighest: null,
});

const asked = request({
  blocks: 4,
  ratesPerVariety: 5,
  ground: { ...request().ground, fieldWidthM: feet(40_000) },
});
const candidates = (areas: (number | null)[]) =>
  areas.map((area, i) => setUpCandidate(asked, known(i, area), defaultSettings));

describe("simulated trials that sizes are compared by", () => {
  it("are the same share for each of twelve, and no more in all for forty", () => {
    const sum = (parts: number[]): number => parts.reduce((total, part) => total + part, 0);
    const twelve = roughParts(candidates(Array<null>(12).fill(null)));
    const forty = roughParts(candidates(Array<null>(40).fill(null)));
    expect(new Set(twelve).size).toBe(1);
    expect(sum(forty)).toBeCloseTo(sum(twelve), 12);
  });

  it("go to the variety that most of the area is sown with", () => {
    const [large, ...small] = roughParts(candidates([880, ...Array<number>(39).fill(3)]));
    expect(large).toBe(roughParts(candidates([1]))[0]);
    expect(new Set(small)).toEqual(new Set([(large! * 12) / 40]));
  });

  it("tell of forty varieties alike what they tell of twelve, within their own error", () => {
    const weigh = (count: number) => {
      const planted = candidates(Array<null>(count).fill(null));
      return weighOptions(asked, measureGround(asked.ground, units), planted, defaultSettings).find(
        ({ blocks }) => blocks === 4,
      )!;
    };
    const [few, many] = [weigh(12), weigh(40)];
    // 12 × 160 simulated trials each: about 2% of the value, twice the error of a difference is 6%.
    expect(Math.abs(many.valuePerHa / few.valuePerHa - 1)).toBeLessThan(0.06);
    expect(Math.abs(many.intervalWidthSeedsPerM2 / few.intervalWidthSeedsPerM2 - 1)).toBeLessThan(0.03);
  });
});

describe("varieties of the simulated outcomes", () => {
  const planned = (count: number): Pick<VarietyPlan, "variety" | "now">[] =>
    Array.from({ length: count }, (_, i) => ({
      variety: name(i),
      now: { valueOfKnowingAllPerHa: (i * 7) % count } as VarietyPlan["now"],
    }));

  it("are all that are planted, beside the strips of the others, up to twelve", () => {
    expect(varietiesOnPaper(planned(11), [{ variety: "Another" }])).toEqual({
      simulated: planned(11).map(({ variety }) => variety),
      alone: false,
    });
  });

  it("are every second of 24 by what there is to learn, in the order of the plan", () => {
    const all = planned(24);
    // By hand: of 24 ranked from most to least, the places (i + 0.5) × 2, rounded down, are 1, 3, 5, …, 23.
    const ranked = [...all].sort((a, b) => b.now.valueOfKnowingAllPerHa - a.now.valueOfKnowingAllPerHa);
    const second = new Set(ranked.filter((_, i) => i % 2 === 1).map(({ variety }) => variety));
    expect(varietiesOnPaper(all, [])).toEqual({
      simulated: all.map(({ variety }) => variety).filter((variety) => second.has(variety)),
      alone: true,
    });
  });

  it("are analyzed alone where few are planted of many known", () => {
    expect(varietiesOnPaper(planned(2), planned(30))).toEqual({ simulated: [name(0), name(1)], alone: true });
  });
});
