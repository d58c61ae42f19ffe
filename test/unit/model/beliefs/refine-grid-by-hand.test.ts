/** Grids laid closer over what strips leave: each step on short lists, and the whole against a grid fine everywhere. */
import { describe, expect, it } from "vitest";
import {
  coarseGrid,
  farmStates,
  gridOf,
  type CurveGrid,
  type FarmState,
} from "../../../../src/model/beliefs/curve-grid.ts";
import { gridLikelihood, type GridLikelihood } from "../../../../src/model/beliefs/grid-likelihood.ts";
import { rateEvidence } from "../../../../src/model/beliefs/rate-evidence.ts";
import {
  believableStates,
  layGrid,
  likelihoodInPart,
  partToBeginWith,
  weighGrid,
} from "../../../../src/model/beliefs/refine-grid.ts";
import { likelihoodOf } from "../../../../src/model/beliefs/shared-misfit.ts";
import { responseStrength } from "../../../../src/model/beliefs/strip-error.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";
import { cellsByHand } from "./sums-by-hand.ts";
import { stateOf } from "./curves-by-hand.ts";

const { priors } = defaultSettings;
const state = (season: number, fieldInSeason: number, place = 0): FarmState =>
  stateOf(season, fieldInSeason, { place });

/** Strips of a variety that needs 300, with an answer of so much, in seasons that differ a little. */
const evidenceOf = (seasons: number, loss = 0.1, ss = 0.002) =>
  Array.from({ length: seasons }, (_, s) => ({
    ...rateEvidence(
      cellsByHand(
        [170, 220, 270, 320, 370, 420].map((rate, i) => [
          "1",
          rate,
          1,
          4000 * (1 - loss * ((Math.min(rate / 300, 1) - 1) / 0.4) ** 2 + 0.004 * Math.sin(5 * i + 3 * s)),
        ]),
        { season: 2000 + s, environment: `${2000 + s} Hill` },
      ),
    )!,
    error: { degrees: 10, ss },
  }));

/** Two rises, three losses and needs at a few places. */
const shortGrid = (states: readonly FarmState[] = [state(0, 0)]): CurveGrid =>
  gridOf(
    { from: Math.log(200), step: 0.15, count: 5 },
    [0, 1].map((shape) => ({
      shape,
      shoulder: 0,
      losses: { from: Math.log(0.05), step: 0.5, count: 3 },
      declines: null,
    })),
    priors,
    states,
  );

describe("the states that are worth weighing in full", () => {
  const states = [state(0, 0), state(0.1, 0), state(0.1, 0.12), state(0.1, 0, 1)];
  const laid = (...spreads: [number, number, number][]) => ({
    grid: shortGrid(),
    spreads: spreads.map(([season, fieldInSeason, log]) => ({ season, fieldInSeason, log })),
  });

  it("are those that all varieties together leave within 20 of the likeliest", () => {
    const first = laid([0, 0, -12], [0.1, 0, 0], [0.1, 0.12, -20]);
    const second = laid([0, 0, -9], [0.1, 0, 0], [0.1, 0.12, 0]);
    // −21, 0, −20 and, of another place of the fields, 0.
    expect(believableStates(states, [first, second])).toEqual([states[1], states[2], states[3]]);
    expect(believableStates(states, [first])).toBe(states);
    // Fields within a season have their own.
    const apart = laid([0, 0, 0], [0.1, 0, 0], [0.1, 0.12, -21]);
    expect(believableStates(states, [apart])).toEqual([states[0], states[1], states[3]]);
  });

  it("are all where strips say little", () => {
    expect(believableStates(states, [laid(), laid()])).toBe(states);
    expect(believableStates(states, [laid([0, 0, -30], [0.1, 0, 0]), laid()])).toHaveLength(3);
  });
});

describe("strips that count in part", () => {
  it("begin so that they say no more than a whole grid can show", () => {
    const mine = evidenceOf(6);
    const strength = mine.reduce((sum, one) => sum + responseStrength(one), 0);
    expect(strength).toBeGreaterThan(20);
    expect(partToBeginWith(mine)).toBeCloseTo(10 / strength, 12);
    expect(partToBeginWith(evidenceOf(1, 0.001))).toBe(1);
  });

  it("are fewer environments, evenly chosen, where there are many", () => {
    const grid = shortGrid();
    const mine = evidenceOf(40, 0.1, 0.05);
    const direct = (at: readonly number[], share: number, limit: number): GridLikelihood =>
      gridLikelihood(
        at.map((i) => mine[i]!),
        grid,
        share,
        priors.strengthSpread,
        limit,
      );
    // Of 40, twice as many as a share of 0.35 are in full: 28, each counting 0.5. At the middles of 28 even parts.
    const at28 = Array.from({ length: 28 }, (_, i) => Math.floor(((i + 0.5) * 40) / 28));
    expect([at28[0], at28[1], at28[27]]).toEqual([0, 2, 39]);
    expect(likelihoodInPart(mine, grid, 0.35, priors)).toEqual(direct(at28, (0.35 * 40) / 28, 4.5));
    // No fewer than 24.
    const at24 = Array.from({ length: 24 }, (_, i) => Math.floor(((i + 0.5) * 40) / 24));
    expect(likelihoodInPart(mine, grid, 0.06, priors)).toEqual(direct(at24, (0.06 * 40) / 24, 4.5));
    const all = [...mine.keys()];
    expect(likelihoodInPart(mine, grid, 0.9, priors)).toEqual(direct(all, 0.9, 4.5));
    expect(likelihoodInPart(mine, grid, 1, priors)).toEqual(direct(all, 1, 5.5));
    expect(likelihoodInPart(mine.slice(0, 3), grid, 0.5, priors)).toEqual(direct([0, 1, 2], 0.5, 4.5));
  });
});

describe("strips weighed in full", () => {
  it("are on the grid that was laid, in the states that are left", () => {
    const mine = evidenceOf(3);
    const grid = shortGrid([state(0, 0), state(0.1, 0)]);
    const whole = weighGrid(mine, { grid, spreads: [] }, grid.states, priors);
    expect(whole.grid).toBe(grid);
    expect(whole.likelihood).toEqual(likelihoodOf(mine, grid, priors));
    const fewer = weighGrid(mine, { grid, spreads: [] }, [grid.states[1]!], priors);
    expect(fewer.grid).toEqual({ ...grid, states: [grid.states[1]] });
    expect(fewer.likelihood).toEqual(likelihoodOf(mine, fewer.grid, priors));
  });
});

describe("a grid laid closer", () => {
  const around: [number, number] = [280, 320];

  it("is the whole grid where strips say little", () => {
    const whole = coarseGrid(priors, around);
    const mine = evidenceOf(1, 0.001);
    expect(layGrid(mine, whole, priors)).toEqual({ grid: whole, spreads: [] });
  });

  it("has shorter steps where the weight is, with stated and with even priors, and leaves out hardly any", () => {
    const states = farmStates(priors);
    const whole = coarseGrid(priors, around, states);
    const mine = evidenceOf(8, 0.2, 0.0005);
    const { grid, spreads } = layGrid(mine, whole, priors);
    expect(grid.states).toBe(states);
    // 33 places over what is left of the needs; 11 losses, 5 declines.
    expect(grid.needs.count).toBe(33);
    expect(grid.needs.step).toBeLessThan(0.03);
    for (const { losses, declines } of grid.patches)
      expect([losses.count, declines?.count ?? 5]).toEqual([11, 5]);
    // What all curves, losses and needs say on the grid as it was before.
    const { rays } = likelihoodOf(mine, whole, priors);
    for (const prior of ["logPrior", "logFlatPrior"] as const) {
      const most = Math.max(...rays.map(({ ray, log }) => log + ray[prior]));
      let [all, within, kept] = [0, 0, 0];
      for (const { ray, log, values } of rays) {
        const { shape, shoulder, loss, declineAt } = ray;
        const weight = Math.exp(log + ray[prior] - most);
        const patch = grid.patches.find((one) => {
          const falls = whole.patches[ray.patch]!.declines !== null;
          return one.shape === shape && one.shoulder === shoulder && (one.declines !== null) === falls;
        });
        values.forEach((value, i) => {
          const place = (i % whole.needs.count) * whole.needs.step + whole.needs.from;
          all += weight * value;
          const { from, step, count } = grid.needs;
          if (place > from - step && place < from + step * count) within += weight * value;
          const onLosses =
            patch !== undefined &&
            Math.log(loss) > patch.losses.from - 0.4 &&
            Math.log(loss) < patch.losses.from + patch.losses.step * 10 + 0.4;
          if (onLosses && declineAt >= 0) kept += weight * value;
        });
      }
      expect(within / all).toBeGreaterThan(0.98);
      expect(kept / all).toBeGreaterThan(0.98);
    }
    // Patches that either prior leaves something of are kept, of 18 not all.
    expect(grid.patches.length).toBeLessThan(18);
    const weightOf = (patch: number, prior: "logPrior" | "logFlatPrior"): number => {
      const most = Math.max(...rays.map(({ ray, log }) => log + ray[prior]));
      const sums = rays.map(({ ray, log, values }) => ({
        own: ray.patch === patch,
        sum: Math.exp(log + ray[prior] - most) * values.reduce((a, b) => a + b, 0),
      }));
      const total = sums.reduce((all, { sum }) => all + sum, 0);
      return sums.reduce((all, { own, sum }) => (own ? all + sum : all), 0) / total;
    };
    whole.patches.forEach((patch, p) => {
      const weight = Math.max(weightOf(p, "logPrior"), weightOf(p, "logFlatPrior"));
      const kept = grid.patches.some(
        (one) =>
          one.shape === patch.shape &&
          one.shoulder === patch.shoulder &&
          (one.declines === null) === (patch.declines === null),
      );
      if (weight > 1e-3) expect(kept).toBe(true);
    });
    // Seasons are judged by every eighth curve, strips in full, on the grid that was laid.
    const some = { ...grid, rays: grid.rays.filter((_, i) => i % 8 === 0) };
    const told = gridLikelihood(mine, some, 1, priors.strengthSpread, 5.5).rays;
    const share = 1 / (1 + priors.misfitCorrelation * 7);
    expect(spreads.map(({ season, fieldInSeason }) => [season, fieldInSeason])).toEqual(
      states.map(({ season, fieldInSeason }) => [season, fieldInSeason]),
    );
    spreads.forEach(({ log }, t) => {
      const sum = told.reduce(
        (total, { ray, log: scale, values }) =>
          total +
          Math.exp(scale + ray.logPrior) * values.slice(t * 33, (t + 1) * 33).reduce((a, b) => a + b, 0),
        0,
      );
      expect(log).toBeCloseTo(share * Math.log(sum), 8);
    });
  });

  it("is laid for the middle of three places of the fields, or the first of more", () => {
    const spreadsOf = (places: number[]) =>
      layGrid(
        evidenceOf(5),
        coarseGrid(
          priors,
          around,
          places.map((place) => state(0.02 * (place + 1), 0, place)),
        ),
        priors,
      ).spreads.map(({ season }) => season);
    expect(spreadsOf([0, 1, 2])).toEqual([0.04]);
    expect(spreadsOf([0, 1, 2, 3, 4])).toEqual([0.02]);
    expect(spreadsOf([0])).toEqual([0.02]);
  });
});
