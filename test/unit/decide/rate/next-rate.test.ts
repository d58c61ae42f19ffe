import { describe, expect, it } from "vitest";
import { analyze } from "../../../../src/analyze.ts";
import { decide } from "../../../../src/decide/decide.ts";
import { believeCurves } from "../../../../src/model/beliefs/believable-curves.ts";
import type { FittedVariety, Observations } from "../../../../src/vocabulary/result.ts";
import { readTrial } from "../../../../src/read/trial-files.ts";
import { defaultSettings, defaultUnits, type Settings } from "../../../../src/vocabulary/settings.ts";
import { fromPerAcre } from "../../../../src/numbers/units.ts";

const rates = [0.8, 1.1, 1.4, 1.7, 2].map((million) => fromPerAcre(million * 1e6));

const nothingSeen: Observations = {
  stand: [],
  farmStand: null,
  tillering: [],
  protein: [],
  lodgingModels: [],
};

/** Strips of one variety without error, one block a season. */
function fitsOf(yieldAt: (rate: number) => number, seasons: number[], variety = "A"): FittedVariety[] {
  return seasons.map((season) => ({
    variety,
    environment: String(season),
    season,
    strips: rates.length,
    blocks: 1,
    ratesSeedsPerM2: rates,
    cells: rates.map((rate) => ({
      block: "",
      rateSeedsPerM2: rate,
      strips: 1,
      meanYieldKgPerHa: yieldAt(rate),
    })),
    withinCellSs: 0,
    forms: [],
    formsLeftOut: [],
    anova: null,
    resistantSlope: null,
  }));
}

function nextOf(fits: FittedVariety[], settings: Settings) {
  const environments = [...new Set(fits.map((fit) => fit.environment))].map((id) => ({
    id,
    farm: "",
    field: "",
    season: Number(id),
    strips: rates.length,
    blocks: 1,
  }));
  const beliefs = believeCurves(fits, settings);
  return decide({ fits, beliefs, pooled: [], environments, ...nothingSeen }, settings).next;
}

const at = (now: number): Settings => ({ ...defaultSettings, rateNowSeedsPerM2: fromPerAcre(now) });
const peakAt = (peak: number) => (rate: number) => 4000 * (1 - 0.3 * (rate / fromPerAcre(peak) - 1) ** 2);

describe("next season's rate", () => {
  it("moves one bounded step toward the best rate and says so", () => {
    const [next] = nextOf(fitsOf(peakAt(1_300_000), [2023, 2024, 2025]), at(1_900_000));
    expect(next!.economicOptimum.kind).toBe("found");
    expect(next!.rateNextSeedsPerM2! / next!.rateNowSeedsPerM2!).toBeGreaterThanOrEqual(0.9 - 1e-9);
    expect(next!.rateNextSeedsPerM2! / next!.rateNowSeedsPerM2!).toBeLessThan(0.91);
    expect(next!.reasons.map((reason) => reason.code)).toContain("step-limited");
    expect(next!.chanceOfGain).toBeGreaterThan(0.95);
    expect(next!.gainPerHa!.expected).toBeGreaterThan(0);
  });

  it("stays where today's rate earns as good as the best", () => {
    const [next] = nextOf(fitsOf(peakAt(1_400_000), [2023, 2024, 2025]), at(1_290_000));
    expect(next!.rateNextSeedsPerM2).toBe(next!.rateNowSeedsPerM2);
    expect(next!.reasons.map((reason) => reason.code)).toContain("inside-flat-zone");
    expect(next!.chanceOfGain).toBeNull();
  });

  it("answers a flat response with one bounded step that saves seed, never with the cheapest rate, and says why", () => {
    const level = (): number => 4000;
    const [next] = nextOf(fitsOf(level, [2023, 2024, 2025]), at(1_400_000));
    expect(next!.rateNextSeedsPerM2! / next!.rateNowSeedsPerM2!).toBeCloseTo(0.9, 6);
    expect(next!.reasons.map((reason) => reason.code)).toContain("no-response-step");
    expect(next!.evidence).toBe("weak");
  });

  it("keeps today's rate where a flat response leaves a move no money, and tells no number", () => {
    const level = (): number => 4000;
    const [next] = nextOf(fitsOf(level, [2023, 2024, 2025]), at(850_000));
    expect(next!.rateNextSeedsPerM2).toBe(next!.rateNowSeedsPerM2);
    expect(next!.reasons.map((reason) => reason.code)).toEqual(["no-response"]);
    expect(next).toMatchObject({ evidence: "none", gainPerHa: null, intervals: [], flatZone: null });
  });

  it("gives no rate beyond those tested, but what to test next", () => {
    const rising = (rate: number): number => 3000 + 4 * rate;
    const [next] = nextOf(fitsOf(rising, [2023, 2024, 2025]), at(1_900_000));
    expect(next!.economicOptimum).toMatchObject({ kind: "at-edge", edge: "highest" });
    const reason = next!.reasons.find(({ code }) => code === "at-highest-tested");
    if (reason?.code !== "at-highest-tested") expect.unreachable();
    expect(reason.numbers.testSeedsPerM2).toBeGreaterThan(rates.at(-1)!);
  });

  it("tells what other starting beliefs would make the best rate: even ones as if they had been asked for", () => {
    // Few strips of a weak response, so that beliefs matter.
    const wavy = (rate: number): number => peakAt(1_300_000)(rate) + 60 * Math.sin(rate);
    const fits = fitsOf(wavy, [2024, 2025]);
    const optimumOf = (priors: Partial<Settings["priors"]>): number => {
      const { economicOptimum } = nextOf(fits, {
        ...at(1_900_000),
        priors: { ...defaultSettings.priors, ...priors },
      })[0]!;
      return "rateSeedsPerM2" in economicOptimum ? economicOptimum.rateSeedsPerM2 : NaN;
    };
    const [next] = nextOf(fits, at(1_900_000));
    const moved = new Map(next!.sensitivity.map(({ prior, rateSeedsPerM2 }) => [prior, rateSeedsPerM2]));
    expect([...moved.keys()]).toEqual(["flat", "alone", "need-lower", "need-higher"]);
    expect(moved.get("flat")).toBe(optimumOf({ flat: true }));
    expect(moved.get("flat")).not.toBe(optimumOf({}));
    // One variety alone has none to lean on.
    expect(moved.get("alone")).toBe(optimumOf({}));
    expect(moved.get("need-lower")).toBeLessThan(moved.get("need-higher")!);
  });

  it("does not pretend to know what a move between two untested rates brings", () => {
    const fits = fitsOf(peakAt(1_400_000), [2023, 2024, 2025]);
    const [below] = nextOf(fits, at(700_000));
    expect(below!.rateNextSeedsPerM2).toBeGreaterThan(below!.rateNowSeedsPerM2!);
    expect(below!.rateNextSeedsPerM2).toBeLessThan(rates[0]!);
    expect(below!.chanceOfGain).toBeNull();
    const [into] = nextOf(fits, at(780_000));
    expect(into!.rateNextSeedsPerM2).toBeGreaterThan(rates[0]!);
    expect(into!.chanceOfGain).not.toBeNull();
  });
});

describe("today's rate that nobody gave", () => {
  const text = [
    "variety,season,block,rate (million/ac),yield (bu/ac)",
    ...[2025, 2026].flatMap((season) =>
      [0.8, 1.1, 1.4, 1.7, 2].flatMap((rate) =>
        [1, 2, 3].map((block) =>
          ["Alder", season, block, rate, (60 - 25 * (rate - 1.35) ** 2 + block / 2).toFixed(2)].join(),
        ),
      ),
    ),
  ].join("\n");
  const trial = readTrial(
    [{ name: "strips.csv", bytes: new TextEncoder().encode(text) }],
    defaultSettings,
    defaultUnits,
  );

  it("is not made up: the best rate stands alone, without a gain and a chance", () => {
    const [next] = analyze(trial, defaultSettings, defaultUnits).next;
    expect(next).toMatchObject({
      rateNowSeedsPerM2: null,
      rateNowFrom: null,
      gainPerHa: null,
      chanceOfGain: null,
      economicOptimum: { kind: "found" },
    });
    // The best rate itself, in steps of the drill.
    const best = next!.economicOptimum.kind === "found" ? next!.economicOptimum.rateSeedsPerM2 : NaN;
    expect(Math.abs(next!.rateNextSeedsPerM2! - best)).toBeLessThanOrEqual(
      defaultSettings.rateStepSeedsPerM2 / 2 + 1e-9,
    );
  });

  it("once given is moved from by one bounded step, for a gain that is told", () => {
    const [next] = analyze(
      trial,
      { ...defaultSettings, rateNowSeedsPerM2: fromPerAcre(1.8e6) },
      defaultUnits,
    ).next;
    expect(next!.rateNowFrom).toBe("setting");
    expect(next!.rateNextSeedsPerM2! / next!.rateNowSeedsPerM2!).toBeCloseTo(0.9, 2);
    expect(next!.gainPerHa!.expected).toBeGreaterThan(0);
  });
});
