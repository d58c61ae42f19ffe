import { describe, expect, it } from "vitest";
import { chooseRate } from "../../../../src/decide/rate/next-rate.ts";
import { netReturns, varietyPrices } from "../../../../src/decide/rate/net-return.ts";
import { normalKernel } from "../../../../src/maths/normal-kernel.ts";
import { believeCurves } from "../../../../src/model/beliefs/believable-curves.ts";
import { gridOf, wholeGrid, type CurveGrid } from "../../../../src/model/beliefs/curve-grid.ts";
import type { GridLikelihood } from "../../../../src/model/beliefs/grid-likelihood.ts";
import { cellsOf, groupByVariety } from "../../../../src/model/seasons/rate-cells.ts";
import { rateEvidence } from "../../../../src/model/beliefs/rate-evidence.ts";
import { believableStates, layGrid, weighGrid } from "../../../../src/model/beliefs/refine-grid.ts";
import { shareOfEach } from "../../../../src/model/beliefs/shared-misfit.ts";
import { withErrors } from "../../../../src/model/beliefs/strip-error.ts";
import { expecting, gather } from "../../../../src/model/beliefs/weigh-curves.ts";
import type { BelievableCurve } from "../../../../src/vocabulary/result.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";
import { networkInUnits } from "../../../bench/decision/network.ts";
import { simulateFarm } from "../../../calibration/simulate-farm.ts";
import { families } from "../../../calibration/truths.ts";

const { priors } = defaultSettings;
const family = (name: string) => families.find((one) => one.name === name)!;
const around: [number, number] = [280, 320];

/** Evidence of one variety of a simulated farm, its strips 2 % apart by chance. */
function farmOf(name: string, seasons: number) {
  const cells = simulateFarm({ ...family(name), errorSd: () => 0.02 }, seasons, 4).cells.filter(
    ({ variety }) => variety === "B",
  );
  const evidence = cells.map(rateEvidence).filter((one) => one !== null);
  return { cells, evidence: withErrors(evidence, priors) };
}

/** Expected curve under an even prior of need and spread. */
function curveOf(grid: CurveGrid, likelihood: GridLikelihood, rates: readonly number[]): Float64Array {
  const weights = new Float64Array(grid.states.length * grid.needs.count).fill(grid.needs.step);
  const shares = expecting(grid, rates)(gather(likelihood, grid, false), { weights, noResponseChance: 0 });
  return shares.map((share) => share - shares[0]!);
}

describe("the grid laid closer where the weight lies", () => {
  it("is the whole grid where strips are few", () => {
    const { evidence } = farmOf("flat", 1);
    const whole = wholeGrid(priors, around);
    const laid = layGrid(evidence, whole, priors);
    expect(laid.grid).toBe(whole);
    expect(believableStates(whole.states, [laid, laid, laid])).toBe(whole.states);
    expect(weighGrid(evidence, laid, whole.states, priors).grid).toBe(whole);
  });

  // The closer grid stands for one that is fine everywhere, three to five times as fine as the coarse one.
  it.each(["linear-plateau", "per-plant"])("expects what a grid fine everywhere does: %s", (name) => {
    const { evidence } = farmOf(name, 12);
    const whole = wholeGrid(priors, around);
    const finer = <Axis extends { step: number; count: number }>(axis: Axis, times: number): Axis => ({
      ...axis,
      step: axis.step / times,
      count: times * (axis.count - 1) + 1,
    });
    const fine = gridOf(
      finer(whole.needs, 3),
      whole.patches.map((patch) => ({
        ...patch,
        losses: finer(patch.losses, 5),
        declines: patch.declines && finer(patch.declines, 3),
      })),
      priors,
    );
    const rates = [200, 250, 300, 350, 400, 450];
    const inFull = weighGrid(evidence, { grid: fine, spreads: [] }, fine.states, priors);
    const everywhere = curveOf(fine, inFull.likelihood, rates);
    const laid = layGrid(evidence, whole, priors);
    const { grid, likelihood } = weighGrid(evidence, laid, whole.states, priors);
    const closer = curveOf(grid, likelihood, rates);
    // Shares of the yield: within a tenth of a per cent of it.
    closer.forEach((share, i) => expect(Math.abs(share - everywhere[i]!)).toBeLessThan(0.001));
  });
});

describe("the share with which environments count", () => {
  it("makes of many environments as many as are independent in a mean of them", () => {
    // Variance of a mean of n values of variance 1 that correlate by ρ: (1 + (n − 1)ρ) / n.
    for (const [environments, independent] of [
      [1, 1],
      [2, 2 / 1.05],
      [21, 21 / 2],
      [1e8, 20],
    ] as const)
      expect(environments * shareOfEach(environments, { misfitCorrelation: 0.05 })).toBeCloseTo(
        independent,
        3,
      );
    expect(shareOfEach(30, { misfitCorrelation: 0 })).toBe(1);
  });

  it("leaves the need of many environments less well known than if all counted in full", () => {
    const { cells } = farmOf("quadratic", 36);
    const sdOf = (misfitCorrelation: number): number => {
      const settings = { ...defaultSettings, priors: { ...priors, misfitCorrelation } };
      const { curves } = believeCurves(cells, settings, false)[0]!;
      const mean = (of: (one: BelievableCurve) => number): number =>
        curves.reduce((sum, one) => sum + one.weight * of(one), 0);
      const middle = mean(({ needSeedsPerM2 }) => Math.log(needSeedsPerM2));
      return Math.sqrt(mean(({ needSeedsPerM2 }) => (Math.log(needSeedsPerM2) - middle) ** 2));
    };
    expect(sdOf(0.1) / sdOf(0)).toBeGreaterThan(1.1);
  });
});

describe("the spreads of the seasons that are weighed", () => {
  /** Logarithm of how well each state explains the strips, over all curves and an even prior of needs. */
  const logsOf = (grid: CurveGrid, likelihood: GridLikelihood): number[] => {
    const { byNeed } = gather(likelihood, grid, false);
    const needs = grid.needs.count;
    return grid.states.map((_, t) =>
      Math.log(byNeed.slice(t * needs, (t + 1) * needs).reduce((a, b) => a + b, 0)),
    );
  };

  it("are those that all varieties together leave believable, as their strips in full say, too", () => {
    const { evidence } = farmOf("seasons alike", 30);
    const { states, ...whole } = wholeGrid(priors, around);
    const laid = layGrid(evidence, { states, ...whole }, priors);
    // As if twenty varieties said the same.
    const kept = believableStates(states, Array<typeof laid>(20).fill(laid));
    expect(kept.length).toBeGreaterThan(0);
    expect(kept.length).toBeLessThan(states.length);
    const inFull = { ...priors, misfitCorrelation: 0 };
    const { grid, likelihood } = weighGrid(evidence, laid, states, inFull);
    const logs = logsOf(grid, likelihood);
    const most = Math.max(...logs);
    for (const [t, state] of states.entries())
      if (!kept.includes(state)) expect(20 * (logs[t]! - most)).toBeLessThan(-15);
  });
});

describe("what a network of 60 environments leaves believable", () => {
  // Varieties whose weight a coarse grid puts on one curve.
  const cells = groupByVariety(networkInUnits(11_520).strips)
    .flat()
    .filter(({ variety }) => ["Variety 1", "Variety 4", "Variety 6"].includes(variety))
    .map(({ variety, environment, strips }) => ({
      variety,
      environment,
      season: strips[0]!.season,
      ...cellsOf(strips),
    }));

  it.each(believeCurves(cells, defaultSettings))("is never one curve alone: $variety", (belief) => {
    expect(Math.max(...belief.curves.map(({ weight }) => weight))).toBeLessThan(0.35);
    const quality = { premiumPerKg: () => 0, costPerHa: () => 0 };
    const net = netReturns(belief, varietyPrices(belief, quality, defaultSettings));
    const facts = { seasons: 25, lodgingCeiling: { kind: "none", reason: "not-scored" } } as const;
    const { intervals, economicOptimum } = chooseRate(belief, net, facts, defaultSettings);
    const [narrow, wide] = intervals.map(({ lower, upper }) => upper - lower);
    // The best rate is known to a few per cent, and not to one rate of the table.
    expect(economicOptimum.kind).toBe("found");
    expect(narrow).toBeGreaterThan(0.02 * intervals[0]!.lower);
    expect(narrow).toBeLessThan(0.2 * intervals[0]!.lower);
    expect(wide).toBeGreaterThan(narrow!);
  });
});

describe("what is believed of the error of strips", () => {
  it("starts from the one that is set, and strips override it", () => {
    const shareWith = (stripError: number, seasons: number): number => {
      const settings = { ...defaultSettings, priors: { ...priors, stripError } };
      return believeCurves(farmOf("quadratic", seasons).cells, settings)[0]!.errorShare;
    };
    expect(shareWith(0.1, 1) / shareWith(0.02, 1)).toBeGreaterThan(1.5);
    expect(shareWith(0.1, 12) / shareWith(0.02, 12)).toBeLessThan(1.5);
  });
});

describe("a normal kernel", () => {
  it("holds all weight and has the standard deviation asked for", () => {
    const half = normalKernel(0.2, 0.03);
    const both = half.reduce((sum, weight, i) => sum + (i === 0 ? 1 : 2) * weight, 0);
    const variance = half.reduce((sum, weight, i) => sum + 2 * weight * (0.03 * i) ** 2, 0);
    expect(both).toBeCloseTo(1, 12);
    // Cut at three standard deviations it is 1.5 % narrower.
    expect(Math.sqrt(variance) / 0.2).toBeGreaterThan(0.97);
    expect(Math.sqrt(variance) / 0.2).toBeLessThan(1.01);
  });
});
