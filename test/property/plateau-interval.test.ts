/** The ends of plateau optima against a plain search over all curves of the form, on trials with known truth and noise. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { findOptimum } from "../../src/decide/optima/optimum.ts";
import { tQuantile } from "../../src/maths/distributions.ts";
import { drawNormal, random } from "../../src/maths/random.ts";
import { fitSeasons } from "../../src/model/seasons/fit-seasons.ts";
import { ratePoints } from "../../src/model/forms/rate-points.ts";
import type { FittedForm, FittedVariety, Optimum } from "../../src/vocabulary/result.ts";
import { defaultSettings } from "../../src/vocabulary/settings.ts";
import { makeTrial } from "../make-trial.ts";

const rates = [150, 210, 270, 330, 390, 450];
const [lowest, second, highest] = [150, 210, 450];

/** Three blocks of six rates, a plateau from `join` on, noise of sd 60 kg/ha. */
function noisyFit(seed: number, join: number, drop: number, degree: 1 | 2): FittedVariety {
  const draw = random(seed, "noise");
  const strips = ["A", "B", "C"].flatMap((block, b) =>
    rates.map((rate) => ({
      block,
      rateSeedsPerM2: rate,
      yieldKgPerHa:
        4500 + 50 * b - drop * (Math.max(join - rate, 0) / (join - lowest)) ** degree + 60 * drawNormal(draw),
    })),
  );
  return fitSeasons(makeTrial(strips), defaultSettings).fits[0]!;
}

/** Residual sum of squares of level − multiple·max(join − rate, 0)^degree with block levels; one strip a cell. */
function rssOf({ cells }: FittedVariety, degree: number) {
  const blocks = [...new Set(cells.map(({ block }) => block))].map((block) =>
    cells.filter((cell) => cell.block === block),
  );
  return (join: number, multiple: number): number => {
    let rss = 0;
    for (const block of blocks) {
      let [sum, squares] = [0, 0];
      for (const cell of block) {
        const rest =
          cell.meanYieldKgPerHa - 4500 + multiple * Math.max(join - cell.rateSeedsPerM2, 0) ** degree;
        sum += rest;
        squares += rest * rest;
      }
      rss += squares - (sum * sum) / block.length;
    }
    return rss;
  };
}

const limitOf = ({ rss, residualDf }: FittedForm): number =>
  rss * (1 + tQuantile(0.975, residualDf) ** 2 / residualDf);

const evenly = (from: number, to: number, steps: number): number[] =>
  Array.from({ length: steps + 1 }, (_, i) => from + ((to - from) * i) / steps);

/** What an end of the interval may be told as: null where the search runs into the end of what is allowed. */
function compareEnd(told: number | null, searched: number, open: boolean, step: number): void {
  if (open) expect(told).toBeNull();
  else expect(Math.abs(told! - searched)).toBeLessThanOrEqual(1.5 * step);
}

const cases = fc.record({
  seed: fc.integer({ min: 1, max: 1e6 }),
  join: fc.double({ min: 220, max: 430, noNaN: true }),
  drop: fc.double({ min: 100, max: 700, noNaN: true }),
});

const form = (fit: FittedVariety, name: string): FittedForm => fit.forms.find((one) => one.form === name)!;

const found = (optimum: Optimum): Extract<Optimum, { kind: "found" }> | null =>
  optimum.kind === "found" ? optimum : null;

describe("the interval of an economic optimum", () => {
  it("of a quadratic-plateau holds each rate that some curve within the limit makes the best, and no other", () => {
    let compared = 0;
    fc.assert(
      fc.property(cases, fc.double({ min: 0.2, max: 2, noNaN: true }), ({ seed, join, drop }, ratio) => {
        const fit = noisyFit(seed, join, drop, 2);
        const quadraticPlateau = form(fit, "quadratic-plateau");
        const optimum = found(
          findOptimum(quadraticPlateau, ratePoints(fit.cells, fit.withinCellSs), ratio, 0.95),
        );
        if (optimum === null) return;
        const rss = rssOf(fit, 2);
        const limit = limitOf(quadraticPlateau);
        // the slope at x is 2·multiple·(join − x): one multiple for each x and join
        const holds = (x: number): number[] =>
          evenly(0, 1, 500)
            .map((share) => x + (highest - x) * share ** 2)
            .filter((j) => j > x && j >= second && rss(j, ratio / (2 * (j - x))) <= limit);
        const step = 3;
        const rows = evenly(lowest, highest, 300 / step).map((x) => ({ x, joins: holds(x) }));
        const held = rows.filter(({ joins }) => joins.length > 0);
        if (held.length < 2) return;
        compared++;
        const [first, last] = [held[0]!, held[held.length - 1]!];
        // an end reached with a join at its limit is no end of the data's; near such a one either answer will do
        if (first.x === lowest) expect(optimum.lower).toBeNull();
        else if (Math.min(...first.joins) > second + 2 * step || optimum.lower !== null)
          compareEnd(optimum.lower, first.x, false, step);
        if (Math.max(...last.joins) < highest - 2 * step || optimum.upper !== null)
          compareEnd(optimum.upper, last.x, false, step);
      }),
      { seed: 7, numRuns: 40, endOnFailure: true },
    );
    expect(compared).toBeGreaterThan(15);
  });

  it("of a linear-plateau holds each join whose rise may pay, and no lower end where it may not", () => {
    let compared = 0;
    fc.assert(
      fc.property(cases, fc.double({ min: 0.2, max: 2, noNaN: true }), ({ seed, join, drop }, ratio) => {
        const fit = noisyFit(seed, join, drop, 1);
        const linearPlateau = form(fit, "linear-plateau");
        const optimum = found(
          findOptimum(linearPlateau, ratePoints(fit.cells, fit.withinCellSs), ratio, 0.95),
        );
        if (optimum === null) return;
        const rss = rssOf(fit, 1);
        const limit = limitOf(linearPlateau);
        const step = 0.5;
        const joins = evenly(second, highest, 240 / step).map((j) => {
          // the residual is a parabola in the multiple
          const [at0, at1, at2] = [rss(j, 0), rss(j, 1), rss(j, 2)];
          const bend = (at2 - 2 * at1 + at0) / 2;
          const best = -(at1 - at0 - bend) / (2 * bend);
          return {
            j,
            pays: rss(j, Math.max(best, ratio)) <= limit,
            mayNot: rss(j, Math.min(best, ratio)) <= limit,
          };
        });
        const paying = joins.filter(({ pays }) => pays);
        if (paying.length < 2) return;
        compared++;
        const [first, last] = [paying[0]!.j, paying[paying.length - 1]!.j];
        compareEnd(optimum.lower, first, first === second || joins.some(({ mayNot }) => mayNot), step);
        compareEnd(optimum.upper, last, last === highest, step);
      }),
      { seed: 7, numRuns: 150 },
    );
    expect(compared).toBeGreaterThan(80);
  });
});
