/** Many environments that count as fewer: the likelihood in full, to the power of the share of each. */
import { describe, expect, it } from "vitest";
import { coarseGrid } from "../../../../src/model/beliefs/curve-grid.ts";
import { gridLikelihood } from "../../../../src/model/beliefs/grid-likelihood.ts";
import { ratesEvidence } from "../../../../src/model/beliefs/rate-evidence.ts";
import { likelihoodOf } from "../../../../src/model/beliefs/shared-misfit.ts";
import { withErrors } from "../../../../src/model/beliefs/strip-error.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";

// Nine environments, half of what no curve gets right alike in all: each counts 1 / (1 + 0.5 · 8) = 0.2.
const priors = { ...defaultSettings.priors, misfitCorrelation: 0.5 };
const rates = [180, 240, 300, 360, 420];
const evidence = ratesEvidence(
  Array.from({ length: 9 }, (_, season) => ({
    variety: "Alder",
    environment: String(2010 + season),
    season: 2010 + season,
    withinCellSs: 0,
    cells: rates.map((rateSeedsPerM2, r) => ({
      block: "1",
      rateSeedsPerM2,
      strips: 1,
      meanYieldKgPerHa:
        5000 *
        (1 - 0.1 * Math.max(0, 1 - rateSeedsPerM2 / 300) + 0.03 * Math.sin(12.9898 * (5 * season + r))),
    })),
  })),
);
const grid = coarseGrid(priors, [280, 320]);
const counted = () => {
  const known = withErrors(evidence, priors);
  return {
    few: likelihoodOf(known, grid, priors),
    inFull: gridLikelihood(known, grid, 1, priors.strengthSpread, 60),
  };
};

describe("nine environments that count a fifth each", () => {
  it("leave the fifth root of what they say in full", () => {
    const { few, inFull } = counted();
    expect(few.logNoResponse).toBeCloseTo(0.2 * inFull.logNoResponse, 12);
    const known = new Map(inFull.rays.map((one) => [one.ray, one]));
    for (const { ray, log, values } of few.rays) {
      const full = known.get(ray)!;
      const top = values.indexOf(Math.max(...values));
      expect(log + Math.log(values[top]!)).toBeCloseTo(0.2 * (full.log + Math.log(full.values[top]!)), 9);
    }
  });

  it("leave out no curve that may still be worth e^−5.5 of the best after it", () => {
    const { few, inFull } = counted();
    const kept = new Set(few.rays.map(({ ray }) => ray));
    const worth = inFull.rays.map(({ ray, log, values }) => ({
      ray,
      log: 0.2 * (log + Math.log(Math.max(...values))) + ray.logPrior,
    }));
    const best = Math.max(...worth.map(({ log }) => log));
    const missing = worth.filter(({ ray, log }) => log > best - 5.5 && !kept.has(ray));
    expect(missing).toEqual([]);
    expect(worth.length).toBeGreaterThan(20);
  });

  it("count as they are where nothing is alike in them", () => {
    const own = { ...priors, misfitCorrelation: 0 };
    const known = withErrors(evidence, own);
    expect(likelihoodOf(known, grid, own)).toEqual(gridLikelihood(known, grid, 1, own.strengthSpread));
  });
});
