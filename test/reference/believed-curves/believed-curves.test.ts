/**
 * The grid of believable curves against curves drawn from the same stated priors and weighed by `believed.mjs`, which
 * knows no grid: it shares the priors with the engine and nothing else.
 */
import { describe, expect, it } from "vitest";
import { believeCurves } from "../../../src/model/beliefs/believable-curves.ts";
import { fitSeasons } from "../../../src/model/seasons/fit-seasons.ts";
import { defaultSettings } from "../../../src/vocabulary/settings.ts";
import { makeTrial } from "../../make-trial.ts";
import published from "../rate-response/case.json" with { type: "json" };
import lupins from "../rate-response/verbyla_lupin.json" with { type: "json" };
import expected from "./case.json" with { type: "json" };

interface Strips {
  name: string;
  strips: (string | number)[][];
}

const groupsOf = (set: string, pattern: string): Strips[] =>
  [...published.sets, ...lupins.sets]
    .find((one) => one.name === set)!
    .groups.filter(({ name }) => new RegExp(pattern).test(name));

describe.each(expected.cases)("what is believed of $set, $variety", (one) => {
  const groups = groupsOf(one.set, one.variety);
  const trial = makeTrial(
    groups.flatMap(({ name, strips }) =>
      strips.map(([block, rate, grain]) => ({
        // Named "season | site | variety", or "all".
        season: Number(name.slice(0, 4)) || 1974,
        field: name,
        block: String(block),
        rateSeedsPerM2: Number(rate),
        yieldKgPerHa: Number(grain),
      })),
    ),
  );
  // The curves were drawn with every strip counted in full.
  const priors = {
    ...defaultSettings.priors,
    needSeedsPerM2: one.needSeedsPerM2,
    misfitCorrelation: 0,
  };
  const { fits } = fitSeasons(trial, defaultSettings);
  const [belief] = believeCurves(fits, { ...defaultSettings, priors });
  const { ratesSeedsPerM2: rates, expectedKgPerHa, meanYieldKgPerHa, curves } = belief!;
  const step = rates[1]! - rates[0]!;
  const expectedAt = (rate: number): number => {
    const i = Math.min(Math.floor((rate - rates[0]!) / step), rates.length - 2);
    return expectedKgPerHa[i]! + ((rate - rates[i]!) / step) * (expectedKgPerHa[i + 1]! - expectedKgPerHa[i]!);
  };

  it("expects the same gains over the lowest rate, within 2 % of the whole response and what drawing leaves open", () => {
    expect(groups.length).toBe(one.environments);
    // The average over strengths is by Laplace's method, and a few places stand for all that fields may be: both are approximations.
    const range = Math.max(0, ...one.expectedGain) - Math.min(0, ...one.expectedGain);
    one.expectedGain.forEach((gain, k) => {
      const here =
        (expectedAt(one.ratesSeedsPerM2[k + 1]!) - expectedAt(one.ratesSeedsPerM2[0]!)) / meanYieldKgPerHa;
      expect(Math.abs(here - gain)).toBeLessThan(0.02 * range + 3 * one.standardErrors[k]!);
    });
  });

  it("believes as much in no response, and in the same needs as widely", () => {
    const respond = curves.filter(({ loss }) => loss > 0);
    const weight = respond.reduce((sum, curve) => sum + curve.weight, 0);
    const mean = (f: (log: number) => number): number =>
      respond.reduce((sum, curve) => sum + curve.weight * f(Math.log(curve.needSeedsPerM2)), 0) / weight;
    const logNeed = mean((log) => log);
    expect(Math.abs(1 - weight - one.chanceOfNone)).toBeLessThan(0.01);
    expect(Math.abs(logNeed - one.meanLogNeed)).toBeLessThan(0.03);
    expect(Math.abs(Math.sqrt(mean((log) => (log - logNeed) ** 2)) - one.sdLogNeed)).toBeLessThan(0.03);
  });
});
