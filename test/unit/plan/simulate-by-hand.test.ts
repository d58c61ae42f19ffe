/**
 * Simulated trials whose truths and errors are given, worked by hand.
 *
 * Two curves, as likely as each other. At 100, 200 and 300 seeds/m² the first yields 10, 0 and −10 kg/ha about its level and earns
 * 30, 20 and 0; the second yields −10, 0 and 10 and earns 0, 20 and 40. On average they earn 15, 20 and 20: as things stand 200 is
 * best, the first of two alike. If the first has the chance p, they earn 30p, 20 and 40 (1 − p).
 *
 * A trial of 100 and 300 in four blocks, with an error of 20 for a strip, knows a mean to 10. It shows (10, −10) where the first
 * is true and nothing else happens: no squares about the first, 20² + 20² = 800 about the second, so that this one is e⁻⁴ times as
 * likely: p = 1 ÷ (1 + e⁻⁴) = 0.982014.
 */
import { describe, expect, it } from "vitest";
import { random } from "../../../src/maths/random.ts";
import type { Outlook } from "../../../src/plan/outlook.ts";
import {
  drawTrials,
  expectedWidth,
  setUpBench,
  simulateTrials,
  systematicSample,
  type TrialBench,
  type TrialDraws,
} from "../../../src/plan/simulate-trials.ts";

const outlook: Outlook = {
  variety: "Ostrindel",
  ratesSeedsPerM2: Float64Array.of(100, 200, 300),
  weights: Float64Array.of(0.5, 0.5),
  netPerHa: Float64Array.of(30, 20, 0, 0, 20, 40),
  seasonWeights: Float64Array.of(1),
  // Each about a level of its own, which a trial does not see.
  yieldKgPerHa: Float64Array.of(4010, 4000, 3990, 2990, 3000, 3010),
  errorSdKgPerHa: 20,
  tested: [0, 2],
};

/** One trial each: the true curve, the kind of season, and the errors of the means in standard deviations. */
type Trial = [curve: number, season: number, ...errors: number[]];
const drawsOf = (...trials: Trial[]): TrialDraws => ({
  curves: Uint32Array.from(trials, ([curve]) => curve),
  seasons: Uint32Array.from(trials, ([, season]) => season),
  // One more than is used.
  errors: Float64Array.from(trials.flatMap(([, , ...errors]) => [...errors, 99])),
  longest: trials[0]!.length - 1,
});
const nobody: TrialDraws = { ...drawsOf([0, 0, 0]), curves: new Uint32Array(0) };
const benchOf = (draws: Partial<TrialBench>, of: Outlook = outlook, now = 1): TrialBench => ({
  ...setUpBench(of, now, 15, { search: 1, general: 1, withGain: 1, longest: 2 }, random(1, "by hand")),
  search: nobody,
  general: nobody,
  withGain: null,
  ...draws,
});
const design = { at: [0, 2], blocks: 4, errorSdKgPerHa: 20 };
const first: Trial = [0, 0, 0, 0];
const second: Trial = [1, 0, 0, 0];
/** It shows (0, 0): both are as likely as before. */
const nothing: Trial = [0, 0, -1, 1];
const likely = 1 / (1 + Math.exp(-4));

describe("simulated trials", () => {
  it("are worth what the best rate earns more afterwards, on average", () => {
    // 30 × 0.982014 − 20 = 9.460414, and 40 × 0.982014 − 20 = 19.280552.
    const gains = [30 * likely - 20, 40 * likely - 20];
    const finds = simulateTrials(benchOf({ general: drawsOf(first, second) }), design);
    expect(finds.valuePerHa).toBeCloseTo((gains[0]! + gains[1]!) / 2, 9);
    // Two values: half their difference is their standard deviation, over √2.
    expect(finds.valueStandardErrorPerHa).toBeCloseTo((gains[1]! - gains[0]!) / 2 / Math.SQRT2, 9);
    expect(finds.chanceToSeeGain).toBeNull();
  });

  it("leave the interval of the best rate wide where they show nothing", () => {
    // Best are 100 and 300. The middle 80 % leave out a tenth on either side: more than 0.018, less than a half.
    const widths = (...trials: Trial[]) =>
      simulateTrials(benchOf({ general: drawsOf(...trials) }), design).intervalWidthSeedsPerM2;
    expect(widths(first)).toBe(0);
    expect(widths(nothing)).toBe(200);
    expect(widths(first, nothing, second, nothing)).toBe(100);
    expect(expectedWidth(benchOf({ search: drawsOf(first, nothing, nothing, second) }), design)).toBe(100);
    expect(simulateTrials(benchOf({ general: drawsOf(nothing) }), design).valuePerHa).toBeCloseTo(0, 12);
  });

  it("are led astray by errors", () => {
    // The first is true, but −2 standard deviations of 10 and 2 make (10, −10) look like the second.
    const { valuePerHa } = simulateTrials(benchOf({ general: drawsOf([0, 0, -2, 2]) }), design);
    expect(valuePerHa).toBeCloseTo(40 * likely - 20, 9);
  });

  it("know more with more blocks, less with larger errors, and with a rate between", () => {
    const valueOf = (changes: Partial<typeof design>, ...errors: number[]): number =>
      simulateTrials(benchOf({ general: drawsOf([1, 0, ...(errors.length === 0 ? [0, 0] : errors)]) }), {
        ...design,
        ...changes,
      }).valuePerHa;
    const after = (halves: number): number => 40 / (1 + Math.exp(-halves)) - 20;
    // 800 squares over twice the variance of a mean: 4 blocks 4, one block 1, 16 blocks 16; at an error of 40 again 1.
    expect(valueOf({ blocks: 1 })).toBeCloseTo(after(1), 9);
    expect(valueOf({ blocks: 16 })).toBeCloseTo(after(16), 9);
    expect(valueOf({ errorSdKgPerHa: 40 })).toBeCloseTo(after(1), 9);
    // The middle rate is 0 for both. An error of 0.5 on the first two rates makes (−5, 5, 10), whose own mean may stay: about the
    // second 25 + 25, about the first 225 + 25 + 400, 600 more.
    expect(valueOf({ at: [0, 1, 2] }, 0.5, 0.5, 0)).toBeCloseTo(after(3), 9);
    // 200 and 300 alone are (−5, 5) and (5, −5): 200 squares apart.
    expect(valueOf({ at: [1, 2] })).toBeCloseTo(after(1), 9);
  });

  it("let those rates be chosen that were tested, or are in the trial", () => {
    const narrow = (tested: [number, number], at: number[]): number =>
      simulateTrials(benchOf({ general: drawsOf(second) }, { ...outlook, tested }), { ...design, at })
        .valuePerHa;
    expect(narrow([1, 1], [0, 2])).toBeCloseTo(40 * likely - 20, 9);
    // 100 and 200 are (5, −5) under the first: 1, and 300 may not be chosen.
    expect(narrow([1, 1], [0, 1])).toBeCloseTo(0, 9);
    expect(narrow([1, 2], [0, 1])).toBeCloseTo(40 / (1 + Math.exp(-1)) - 20, 9);
    const low = (tested: [number, number], at: number[]): number =>
      simulateTrials(benchOf({ general: drawsOf(first) }, { ...outlook, tested }), { ...design, at })
        .valuePerHa;
    expect(low([1, 1], [1, 2])).toBeCloseTo(0, 9);
    expect(low([0, 1], [1, 2])).toBeCloseTo(30 / (1 + Math.exp(-1)) - 20, 9);
  });

  it("are as many as asked for, rounded up", () => {
    const bench = benchOf({ general: drawsOf(nothing, nothing, first, first) });
    expect(simulateTrials(bench, design, 0.5).valuePerHa).toBeCloseTo(0, 12);
    expect(simulateTrials(bench, design, 0.51).valuePerHa).toBeCloseTo((30 * likely - 20) / 3, 9);
  });

  it("see a gain where the chosen rate beats today's in 8 of 10 cases", () => {
    // (−s, s) is e^(0.4 s) times as likely under the second: 2 × ((s + 10)² − (s − 10)²) ÷ 200. A chance c of the second needs
    // s = ln(c ÷ (1 − c)) ÷ 0.4; the errors are s less than 10, in tens.
    const showing = (chance: number): Trial => {
      const s = Math.log(chance / (1 - chance)) / 0.4;
      return [1, 0, (10 - s) / 10, (s - 10) / 10];
    };
    const seen = (...trials: Trial[]): number | null =>
      simulateTrials(benchOf({ general: drawsOf(first), withGain: drawsOf(...trials) }), design)
        .chanceToSeeGain;
    expect(seen(showing(0.79))).toBe(0);
    expect(seen(showing(0.81))).toBe(1);
    expect(seen(showing(0.81), showing(0.5), showing(0.79), showing(0.9))).toBe(0.5);
    const some = benchOf({ general: drawsOf(first), withGain: drawsOf(second, second, nothing, nothing) });
    expect(simulateTrials(some, design, 0.5).chanceToSeeGain).toBe(1);
    expect(simulateTrials(some, design, 0.75).chanceToSeeGain).toBeCloseTo(2 / 3, 12);
  });

  it("trust a season no further than seasons differ", () => {
    // In a quarter of the seasons each curve looks like the other. (10, −10) is then 0.75 + 0.25 e⁻⁴ likely under the first, and
    // 0.25 + 0.75 e⁻⁴ under the second.
    const seasons: Outlook = {
      ...outlook,
      seasonWeights: Float64Array.of(0.75, 0.25),
      yieldKgPerHa: Float64Array.of(10, 0, -10, -10, 0, 10, -10, 0, 10, 10, 0, -10),
    };
    const value = (...trial: Trial): number =>
      simulateTrials(benchOf({ general: drawsOf(trial) }, seasons), design).valuePerHa;
    const p = (0.75 + 0.25 * Math.exp(-4)) / (1 + Math.exp(-4));
    expect(value(0, 0, 0, 0)).toBeCloseTo(30 * p - 20, 9);
    expect(value(1, 1, 0, 0)).toBeCloseTo(30 * p - 20, 9);
    expect(value(0, 1, 0, 0)).toBeCloseTo(40 * p - 20, 9);
    expect(value(1, 0, 0, 0)).toBeCloseTo(40 * p - 20, 9);
  });

  it("leave a curve nothing that is far from what they show", () => {
    // Errors of 0.5: e to the power of −6,400.
    const sharp = { ...design, errorSdKgPerHa: 0.5 };
    const worth = (trial: Trial): number =>
      simulateTrials(benchOf({ general: drawsOf(trial) }), sharp).valuePerHa;
    expect([worth(first), worth(second)]).toEqual([10, 20]);
    // An error of the whole trial's level puts even the true curve at e to the power of −100, and leaves the others behind it.
    expect([worth([0, 0, 10, 10]), worth([1, 0, 10, 10])]).toEqual([10, 20]);
  });

  it("keep what was believed before", () => {
    // Four to one for the first: after (−10, 10) it is 4 e⁻⁴ to 1.
    const unlike = { ...outlook, weights: Float64Array.of(0.8, 0.2) };
    const bench = benchOf({ general: drawsOf(second) }, unlike);
    // As things stand 100 earns most, 24; afterwards 300 does.
    const p = (4 * Math.exp(-4)) / (4 * Math.exp(-4) + 1);
    expect(bench.bestNow).toBe(0);
    expect(simulateTrials(bench, design).valuePerHa).toBeCloseTo(40 * (1 - p) - 30 * p, 9);
  });
});

describe("what trials of a variety share", () => {
  const draws = { search: 3, general: 4, withGain: 5, longest: 2 };
  const bench = (gain: number, of = outlook, now = 1) =>
    setUpBench(of, now, gain, draws, random(1, "shared"));

  it("is what is known now", () => {
    // Knowing the curve would earn 30 − 20 or 40 − 20.
    expect(bench(15)).toMatchObject({
      outlook,
      now: 1,
      bestNow: 1,
      valueOfKnowingAllPerHa: 15,
      intervalNow: [100, 300],
      chanceOfGain: 0.5,
      chanceToBeatNow: 0,
      bestRate: Float64Array.of(100, 300),
      order: Uint32Array.of(0, 1),
    });
    // From 300 the first gains 30, from 100 the second 40.
    expect([bench(30, outlook, 2).chanceOfGain, bench(30.1, outlook, 2).chanceOfGain]).toEqual([0.5, 0]);
    expect(bench(10).chanceOfGain).toBe(1);
    // 200 beats 100 under the second alone; under a third, where all earn alike, nothing beats anything.
    expect(bench(15, outlook, 0).chanceToBeatNow).toBe(0.5);
    const alike = { ...outlook, netPerHa: Float64Array.of(20, 20, 20, 0, 20, 40) };
    expect(bench(15, alike, 0)).toMatchObject({ bestNow: 2, chanceToBeatNow: 0.5 });
  });

  it("keeps the best rate as known now to those tested", () => {
    expect(bench(15, { ...outlook, netPerHa: Float64Array.of(30, 20, 21, 0, 20, 40) }).bestNow).toBe(2);
    expect(
      bench(15, { ...outlook, netPerHa: Float64Array.of(30, 20, 21, 0, 20, 40), tested: [0, 1] }).bestNow,
    ).toBe(1);
  });

  it("has as many draws as asked for, and of gains only those that gain", () => {
    const { search, general, withGain } = bench(15);
    expect(
      [search, general, withGain!].map(({ curves, seasons, errors, longest }) =>
        [curves, seasons, errors].map(({ length }) => length).concat(longest),
      ),
    ).toEqual([
      [3, 3, 6, 2],
      [4, 4, 8, 2],
      [5, 5, 10, 2],
    ]);
    expect([...withGain!.curves]).toEqual([1, 1, 1, 1, 1]);
    expect([...general.curves].sort()).toEqual([0, 0, 1, 1]);
    expect(new Set([...search.errors, ...general.errors]).size).toBe(14);
  });

  it("has no draws of gains where these are rarer than one in fifty", () => {
    const rare = (chance: number) =>
      bench(15, { ...outlook, weights: Float64Array.of(1 - chance, chance), tested: [1, 1] }).withGain;
    expect(rare(0.019)).toBeNull();
    expect(rare(0.02)).not.toBeNull();
  });
});

describe("draws", () => {
  it("pick each index as its weight says, from where the first falls", () => {
    const weights = Float64Array.of(1, 0, 0.6, 0.4);
    const picks = (start: number) => systematicSample(weights, 10, () => start);
    // Of 2 in all a tenth is 0.2: 0.1, 0.3 … 0.9 lie in the first, 1.1 to 1.5 in the third, 1.7 and 1.9 in the last.
    expect(picks(0.5)).toEqual([0, 0, 0, 0, 0, 2, 2, 2, 3, 3]);
    // 0, 0.2 … 0.8, then 1, where the first and the empty one end.
    expect(picks(0)).toEqual([0, 0, 0, 0, 0, 2, 2, 2, 3, 3]);
    // 0.2 … 0.8, 1 …, and the last lies at the very end.
    expect(picks(1)).toEqual([0, 0, 0, 0, 2, 2, 2, 3, 3, 3]);
  });

  it("come in a random order, with normal errors of their own", () => {
    const drawn = drawTrials(Float64Array.of(1, 1), Float64Array.of(1, 3), 400, 3, random(1, "draws"));
    const ofFirst = drawn.curves.reduce((sum, one) => sum + Number(one === 0), 0);
    expect(ofFirst).toBe(200);
    expect(drawn.seasons.reduce((sum, one) => sum + Number(one === 0), 0)).toBe(100);
    // Curves and seasons are shuffled apart: about a quarter of 200 have both, give or take three times √(400 × 3/16 × 1/4).
    const both = drawn.curves.reduce((sum, one, i) => sum + Number(one === 0 && drawn.seasons[i] === 0), 0);
    expect(Math.abs(both - 50)).toBeLessThan(3 * Math.sqrt(400 * (3 / 16) * (1 / 4)));
    expect(drawn.errors).toHaveLength(1200);
    const mean = drawn.errors.reduce((sum, one) => sum + one, 0) / 1200;
    const variance = drawn.errors.reduce((sum, one) => sum + one * one, 0) / 1200;
    expect(Math.abs(mean)).toBeLessThan(3 / Math.sqrt(1200));
    expect(Math.abs(variance - 1)).toBeLessThan(3 * Math.sqrt(2 / 1200));
  });
});
