import { seedsPerM2 } from "../../../src/numbers/units.ts";
import { sampleCorrelation } from "simple-statistics";
import { describe, expect, it } from "vitest";
import { earnedByCurve, netReturns, varietyPrices } from "../../../src/decide/rate/net-return.ts";
import { chiSquareQuantile } from "../../../src/maths/distributions.ts";
import { believeCurves } from "../../../src/model/beliefs/believable-curves.ts";
import { averageOverSeasons } from "../../../src/model/forms/believable-curve.ts";
import { firstBelief } from "../../../src/model/beliefs/first-belief.ts";
import { growOnPaper } from "../../../src/plan/grow-on-paper.ts";
import { knowVarieties } from "../../../src/plan/know-varieties.ts";
import type { KnownVariety } from "../../../src/plan/candidate.ts";
import { planStrips } from "../../../src/plan/plan-strips.ts";
import type { RateCell } from "../../../src/vocabulary/result.ts";
import { crops } from "../../../src/vocabulary/crops.ts";
import { defaultSettings } from "../../../src/vocabulary/settings.ts";
import { request } from "./requests.ts";

const units = { system: "metric", currency: "€" } as const;
const nothing = { beliefs: [], next: [], protein: [], lodgingModels: [] };

/** One variety, one field and season, 4 blocks: yields on a parabola with its top at 300 seeds/m². */
const cells: RateCell[] = [200, 250, 300, 350, 400].flatMap((rate) =>
  ["1", "2", "3", "4"].map((block, b) => ({
    block,
    rateSeedsPerM2: rate,
    strips: 1,
    meanYieldKgPerHa: 5000 - 0.03 * (rate - 300) ** 2 + 40 * b + (((rate / 50) * (b + 3)) % 5) * 20,
  })),
);
const beliefs = believeCurves(
  [{ variety: "Ostrindel", environment: "2026 Hill", season: 2026, cells, withinCellSs: 0 }],
  defaultSettings,
);

describe("a first trial", () => {
  it("believes in a need about the crop's usual rate, as wide as the prior says", () => {
    const curves = firstBelief(defaultSettings, []);
    const total = curves.reduce((sum, curve) => sum + curve.weight, 0);
    expect(total).toBeCloseTo(1, 12);
    const responding = curves.filter((curve) => curve.loss > 0);
    const logs = responding.map((curve) => Math.log(curve.needSeedsPerM2));
    const mean = logs.reduce((sum, log) => sum + log, 0) / logs.length;
    const sd = Math.sqrt(logs.reduce((sum, log) => sum + (log - mean) ** 2, 0) / logs.length);
    expect(mean).toBeCloseTo(Math.log(crops.wheat.usualSeedsPerM2), 1);
    expect(sd / defaultSettings.priors.needSdLog).toBeCloseTo(1, 1);
    expect(1 - responding.length / curves.length).toBeLessThan(0.01);
    const needAndLoss = sampleCorrelation(
      logs,
      responding.map((curve) => Math.log(curve.loss)),
    );
    expect(Math.abs(needAndLoss)).toBeLessThan(0.1);
    expect(curves[0]).toMatchObject({ loss: 0, decline: 0 });
    expect(curves[0]!.weight).toBeCloseTo(defaultSettings.priors.noResponseChance, 2);
  });

  it("looks about the need of the farm's other varieties, more narrowly", () => {
    const spread = (curves: ReturnType<typeof firstBelief>): number => {
      const logs = curves.filter((curve) => curve.loss > 0).map((curve) => Math.log(curve.needSeedsPerM2));
      return Math.max(...logs) - Math.min(...logs);
    };
    expect(spread(firstBelief(defaultSettings, beliefs))).toBeLessThan(
      spread(firstBelief(defaultSettings, [])),
    );
  });

  it("can be planned from names and an expected yield alone", () => {
    const first = request({ varieties: ["Ostrindel"], expectedYieldKgPerHa: 4500, blocks: 4 });
    const plan = planStrips(first, knowVarieties(first, nothing, defaultSettings), defaultSettings, units);
    const [variety] = plan.varieties;
    expect(variety!.pastStrips).toBe(0);
    expect(variety!.chosen.ratesSeedsPerM2).toContain(variety!.rateNowSeedsPerM2);
    expect(variety!.chosen.finds.valuePerHa).toBeGreaterThan(0);
  });

  it("asks for a yield and for varieties when nothing tells them", () => {
    expect(() => knowVarieties(request({ varieties: ["Ostrindel"] }), nothing, defaultSettings)).toThrow(
      /--expected-yield/,
    );
    expect(() => knowVarieties(request(), nothing, defaultSettings)).toThrow(/--varieties/);
  });
});

describe("rates that may be tried", () => {
  const set = { ...defaultSettings, rateNowSeedsPerM2: 313 };
  const rates = Array.from(
    knowVarieties(request({ varieties: ["Ostrindel"], expectedYieldKgPerHa: 4500 }), nothing, set)[0]!.outlook
      .ratesSeedsPerM2,
  );

  it("are steps of the drill, and today's rate as it is", () => {
    const steps = rates
      .filter((rate) => rate !== 313)
      .map((rate) => rate / defaultSettings.rateStepSeedsPerM2);
    expect(steps.every((step) => Math.abs(step - Math.round(step)) < 1e-9)).toBe(true);
    expect(rates).toContain(313);
  });

  it("go as far as the request says", () => {
    const asked = request({
      varieties: ["Ostrindel"],
      expectedYieldKgPerHa: 4500,
      lowestRateSeedsPerM2: seedsPerM2(250),
      highestRateSeedsPerM2: seedsPerM2(350),
    });
    const within = knowVarieties(asked, nothing, set)[0]!.outlook.ratesSeedsPerM2;
    expect(within[0]).toBeGreaterThanOrEqual(250);
    expect(within.at(-1)).toBeLessThanOrEqual(350);
  });
});

describe("an outlook", () => {
  const asked = request({ expectedYieldKgPerHa: 4500 });
  const [{ outlook, curves, yieldKgPerHa }] = knowVarieties(
    asked,
    { ...nothing, beliefs },
    defaultSettings,
  ) as [KnownVariety];
  const rates = outlook.ratesSeedsPerM2;

  it("has the season's curve about the one averaged over seasons", () => {
    const kinds = outlook.seasonWeights.length;
    const spread = curves.findIndex((curve) => curve.seasonSpread > 0.05 && curve.loss > 0.02);
    const low = rates.findIndex((rate) => rate > 170);
    const yields = Array.from(
      { length: kinds },
      (_, s) => outlook.yieldKgPerHa[(spread * kinds + s) * rates.length + low]!,
    );
    expect(yields[0]).toBeGreaterThan(yields[1]!);
    expect(yields[1]).toBeGreaterThan(yields[2]!);
    const mean = yields.reduce((sum, value, s) => sum + outlook.seasonWeights[s]! * value, 0);
    const average = averageOverSeasons(curves[spread]!, rates)[low]! * yieldKgPerHa;
    expect(Math.abs(mean / average - 1)).toBeLessThan(0.05);
  });

  it("reckons net return as the decision does", () => {
    const [belief] = beliefs;
    const prices = varietyPrices(belief!, { premiumPerKg: () => 0, costPerHa: () => 0 }, defaultSettings);
    const decided = netReturns(belief!, prices);
    const [a, b] = [rates.findIndex((rate) => rate > 240), rates.findIndex((rate) => rate > 350)] as const;
    const [lower, higher] = [earnedByCurve(decided, rates[a]!), earnedByCurve(decided, rates[b]!)];
    for (const k of curves.keys()) {
      const ours = outlook.netPerHa[k * rates.length + b]! - outlook.netPerHa[k * rates.length + a]!;
      expect(Math.abs(ours - (higher[k]! - lower[k]!))).toBeLessThan(0.5);
    }
  });
});

describe("a trial grown on paper", () => {
  const asked = request({ blocks: 3, ratesPerVariety: 4 });
  const known = knowVarieties(asked, { ...nothing, beliefs }, defaultSettings);
  const plan = planStrips(asked, known, defaultSettings, units);

  it("has a yield for every strip, in the plan's places", () => {
    const { strips } = growOnPaper(plan, known, "middle");
    const planned = plan.layout.strips.filter((strip) => !strip.border);
    expect(strips.map((strip) => [strip.block, strip.position, strip.rateSeedsPerM2])).toEqual(
      planned.map((strip) => [strip.block, strip.position, strip.rateSeedsPerM2]),
    );
    // A middling curve may fall far beyond its need, and never to nothing.
    for (const { yieldKgPerHa } of strips) expect(yieldKgPerHa).toBeGreaterThan(1500);
  });

  it("varies from strip to strip as the farm's strips do", () => {
    const { strips } = growOnPaper(plan, known, "middle");
    const mean = (of: (strip: (typeof strips)[number]) => boolean): number => {
      const some = strips.filter(of);
      return some.reduce((sum, strip) => sum + strip.yieldKgPerHa, 0) / some.length;
    };
    const squares = strips.reduce((sum, { block, rateSeedsPerM2, yieldKgPerHa }) => {
      const expected =
        mean((one) => one.block === block) +
        mean((one) => one.rateSeedsPerM2 === rateSeedsPerM2) -
        mean(() => true);
      return sum + (yieldKgPerHa - expected) ** 2;
    }, 0);
    const df = (3 - 1) * (4 - 1);
    const ratio = squares / known[0]!.outlook.errorSdKgPerHa ** 2;
    expect(ratio).toBeGreaterThan(chiSquareQuantile(0.0005, df));
    expect(ratio).toBeLessThan(chiSquareQuantile(0.9995, df));
  });

  it("comes from a low, a middling and a high truth", () => {
    const best = (["low", "middle", "high"] as const).map((truth) =>
      growOnPaper(plan, known, truth).bestRateSeedsPerM2.get("Ostrindel")!,
    );
    expect(best[0]).toBeLessThan(best[1]!);
    expect(best[1]).toBeLessThan(best[2]!);
    expect(best[0]).toBeCloseTo(plan.varieties[0]!.now.intervalSeedsPerM2[0], -1);
  });

  it("is the same for the same seed", () => {
    expect(growOnPaper(plan, known, "low")).toEqual(growOnPaper(plan, known, "low"));
  });
});
