/** Likelihoods of a few curves in three states of a farm, multiplied and added up place by place. */
import { describe, expect, it } from "vitest";
import type { CurveGrid, FarmState, Ray } from "../../../../src/model/beliefs/curve-grid.ts";
import {
  EnvironmentLikelihood,
  environmentSums,
} from "../../../../src/model/beliefs/environment-likelihood.ts";
import { gridLikelihood } from "../../../../src/model/beliefs/grid-likelihood.ts";
import { rateEvidence } from "../../../../src/model/beliefs/rate-evidence.ts";
import { normalKernel } from "../../../../src/maths/normal-kernel.ts";
import { cellsByHand } from "./sums-by-hand.ts";
import { rayOf, stateOf } from "./curves-by-hand.ts";

const evidenceOf = (season: number, field: string, yields: readonly number[]) =>
  rateEvidence(
    cellsByHand(
      yields.map((one, i) => [i % 2 === 0 ? "1" : "2", 180 + 45 * i, 1, one]),
      { season, environment: `${season} ${field}` },
    ),
  )!;
const evidence = [
  {
    ...evidenceOf(2023, "Hill", [3600, 3950, 4020, 4100, 4080, 4030]),
    error: { degrees: 4, ss: 0.004 },
  },
  {
    ...evidenceOf(2024, "Hill", [3700, 3880, 3900, 4000, 4090, 4110]),
    error: { degrees: 5, ss: 0.006 },
  },
  {
    ...evidenceOf(2024, "Flat", [3300, 3900, 3880, 4050, 4000, 3950]),
    error: { degrees: 4, ss: 0.003 },
  },
];

const state = (some: Partial<FarmState>): FarmState => stateOf(0, 0, some);
const ray = (shape: number, loss: number, decline: number, shoulder: number, prior = 0.2): Ray =>
  rayOf(shape, loss, decline, shoulder, [prior, 0.2]);
const rays = [
  ray(0, 0.03, 0, 0),
  ray(1, 0.06, 0.05, 0.2),
  ray(3, 0.1, 0, 0),
  ray(5, 0.02, 0.1, 0),
  ray(2, 0.05, 0, 0),
];
const needs = { from: Math.log(220), step: 0.1, count: 5 };
const gridOf = (states: FarmState[], some: Partial<CurveGrid> = {}): CurveGrid => ({
  needs,
  states,
  patches: [],
  rays,
  ...some,
});

/** Between two places a quarter of the way on, as `along-needs` reads: Catmull and Rom's cubic. */
const cubic = (of: (place: number) => number, place: number): number => {
  const whole = Math.floor(place + 1e-9);
  const t = place - whole;
  if (Math.abs(t) < 1e-9) return of(whole);
  const [a, b, c, d] = [of(whole - 1), of(whole), of(whole + 1), of(whole + 2)] as const;
  return b + 0.5 * t * (c - a + t * (2 * a - 5 * b + 4 * c - d + t * (3 * (b - c) + d - a)));
};

/**
 * The likelihood of all strips at a need of the axis, in one state: seasons averaged, fields where they are.
 *
 * @param pad  places by which the axis is longer at either end; beyond them likelihoods stay as they are there
 */
function direct(
  one: Ray,
  { season, fieldInSeason, shifts }: FarmState,
  j: number,
  spread: number,
  pad: number,
): number {
  const axis = { ...needs, from: needs.from - pad * needs.step, count: needs.count + 2 * pad };
  const likelihoods = new EnvironmentLikelihood(axis.count, spread);
  const values = evidence.map((of) => {
    const { logs, bends } = likelihoods.along(environmentSums(of, axis, 0.9), one);
    return logs.map((log, i) => Math.exp(log) / Math.sqrt(bends[i]!));
  });
  const within = (place: number): number => Math.min(Math.max(place + pad, 0), axis.count - 1);
  const over = (sd: number, of: (by: number) => number): number =>
    normalKernel(sd, needs.step).reduce(
      (sum, weight, d) => sum + weight * (d === 0 ? of(0) : of(d) + of(-d)),
      0,
    );
  const smooth = values.map((ofField) =>
    ofField.map((_, at) => over(fieldInSeason, (by) => ofField[within(at - pad + by)]!)),
  );
  const at = (e: number, place: number): number =>
    cubic((whole) => smooth[e]![within(whole)]!, place + (shifts.get(evidence[e]!.field) ?? 0) / needs.step);
  const inSeasons = [[0], [1, 2]].map((fields) =>
    over(season, (by) => fields.reduce((product, e) => product * at(e, j + by), 1)),
  );
  return inSeasons[0]! * inSeasons[1]!;
}

/** The axis is as much longer as seasons, at three sds, and lasting shifts may move a need. */
const padOf = (states: readonly FarmState[]): number =>
  Math.max(...states.map(({ season }) => Math.ceil((3 * season) / needs.step))) +
  Math.ceil(Math.max(0, ...states.flatMap(({ shifts }) => [...shifts.values()].map(Math.abs))) / needs.step);

const expectDirect = (grid: CurveGrid, spread: number): void => {
  const { rays: found } = gridLikelihood(evidence, grid, 0.9, spread, Infinity);
  expect(found.map((one) => one.ray)).toEqual(rays);
  for (const { ray: one, log, values } of found) {
    expect(values).toHaveLength(grid.states.length * 5);
    values.forEach((value, i) => {
      const wanted = direct(one, grid.states[Math.floor(i / 5)]!, i % 5, spread, padOf(grid.states));
      expect((value * Math.exp(log)) / wanted).toBeCloseTo(1, 8);
    });
  }
};

describe("the likelihood of curves over seasons and fields", () => {
  it("is the product over environments where nothing shifts the need", () => {
    expectDirect(gridOf([state({})]), 0);
    expectDirect(gridOf([state({})]), 0.25);
  });

  it("is averaged over the shift of each season", () => {
    expectDirect(gridOf([state({}), state({ season: 0.06 }), state({ season: 0.14 })]), 0.25);
  });

  it("is averaged over the shift of a field within a season", () => {
    expectDirect(
      gridOf([
        state({ season: 0.14, fieldInSeason: 0.12 }),
        state({ season: 0.05 }),
        state({ season: 0.05, fieldInSeason: 0.12 }),
      ]),
      0.25,
    );
  });

  it("reads each field where it lasts, whole steps and parts of one further", () => {
    const hill = (shift: number, place: number, fieldInSeason = 0): FarmState =>
      state({
        season: 0.06,
        fieldInSeason,
        place,
        shifts: new Map([
          ["Hill", shift],
          ["Flat", -shift],
        ]),
      });
    expectDirect(gridOf([hill(0.2, 0), hill(-0.1, 1), hill(0.025, 2)]), 0.25);
    expectDirect(gridOf([hill(-0.05, 0, 0.12), hill(0.3, 1), hill(0.3, 1, 0.12)]), 0.25);
  });

  it("takes every second step of a wide season", () => {
    // Of 0.3 on steps of 0.1: weights at 0, 2, … 10 steps, cut at three sds.
    const { rays: found } = gridLikelihood(evidence, gridOf([state({ season: 0.3 })]), 0.9, 0, Infinity);
    for (const { ray: one, log, values } of found)
      values.forEach((value, j) => {
        const wanted = direct(one, state({ season: 0.3 }), j, 0, 10);
        expect((value * Math.exp(log)) / wanted).toBeCloseTo(1, 1);
      });
  });

  it("is that of a flat curve by the scatter about the means of blocks alone", () => {
    const { logNoResponse } = gridLikelihood(evidence, gridOf([state({})]), 0.9, 0.25);
    const wanted = evidence.reduce((sum, { degrees, total, error: { degrees: behind, ss } }) => {
      return sum - ((0.9 * (degrees + behind)) / 2) * Math.log(1 + total / ss);
    }, 0);
    expect(logNoResponse).toBeCloseTo(wanted, 10);
  });
});

describe("rays that cannot matter", () => {
  const states = [state({}), state({ season: 0.14 })];
  /** Logarithm of the largest value of each ray. */
  const mostsOf = (): number[] =>
    gridLikelihood(evidence, gridOf(states), 0.9, 0, Infinity).rays.map(
      ({ log, values }) => log + Math.log(Math.max(...values)),
    );

  it("are left out, with places on others that cannot reach the limit", () => {
    const mosts = mostsOf();
    const best = Math.max(...mosts);
    // Reached are the likelihood, prior and share of the ten cells of a ray: 0.2 ÷ 10 of the best.
    const few = gridLikelihood(evidence, gridOf(states), 0.9, 0, 0).rays;
    expect(few.length).toBeLessThan(5);
    expect(few.map((one) => one.ray)).toContain(rays[mosts.indexOf(best)]);
    for (const [at, one] of rays.entries()) {
      const kept = few.some(({ ray: own }) => own === one);
      // With a prior of 0.2 all round, a ray is left out where it falls short by more than a factor of ten.
      if (mosts[at]! > best - 2) expect(kept).toBe(true);
      if (mosts[at]! < best - 4) expect(kept).toBe(false);
    }
  });

  it("are kept for even priors where the stated one is against them", () => {
    const mosts = mostsOf();
    const against = rays.map((one, at) => ({
      ...one,
      logPrior: at === mosts.indexOf(Math.max(...mosts)) ? -50 : one.logPrior,
    }));
    const found = gridLikelihood(evidence, gridOf(states, { rays: against }), 0.9, 0).rays;
    expect(found.map((one) => one.ray)).toContain(against[mosts.indexOf(Math.max(...mosts))]);
  });
});

describe("seasons that say much", () => {
  /** Steps are close beside what strips say, as on the grids that are laid for them: bounds look at every second place. */
  const longer = { from: Math.log(170), step: 0.05, count: 24 };
  const states = [state({}), state({ season: 0.14 }), state({ season: 0.07, fieldInSeason: 0.12, place: 1 })];
  const cellsInAll = 3 * 24;
  /** Yields fall at either side of a need, by the square of the distance in logs. */
  const seasonAbout = (season: number, need: number) =>
    evidenceOf(
      season,
      "Hill",
      [180, 225, 270, 315, 360, 405].map((rate) => 4000 * (1 - 0.2 * Math.log(rate / need) ** 2)),
    );
  const logsOf = (
    some: readonly ReturnType<typeof evidenceOf>[],
    ss: number,
    limit: number,
    ofStates: FarmState[] = states,
  ): (number[] | null)[] => {
    const { rays: found } = gridLikelihood(
      some.map((one) => ({ ...one, error: { degrees: 10, ss } })),
      gridOf(ofStates, { needs: longer }),
      1,
      0,
      limit,
    );
    return rays.map((one) => {
      const own = found.find(({ ray: walked }) => walked === one);
      return own === undefined ? null : [...own.values].map((value) => own.log + Math.log(value));
    });
  };

  it("leave out nothing that could matter, and most of what could not", () => {
    const some = [240, 300, 270, 320, 260].map((need, i) => seasonAbout(2020 + i, need));
    const whole = logsOf(some, 0.002, Infinity);
    // The least that a ray reaches at its best place: its cells could all be as good.
    const reached = Math.max(...whole.map((logs) => Math.max(...logs!))) + Math.log(0.2 / cellsInAll);
    for (const limit of [1, 4]) {
      const found = logsOf(some, 0.002, limit);
      let [kept, left] = [0, 0];
      whole.forEach((logs, at) =>
        logs!.forEach((log, cell) => {
          const own = found[at]?.[cell] ?? -Infinity;
          if (own === -Infinity) left++;
          else kept++;
          if (log + Math.log(0.2) < reached - limit + 1) return;
          // What was left out beside it was less than e^−limit of the best.
          expect(own).toBeGreaterThan(log - 0.1);
          expect(own).toBeLessThan(log + 1e-9);
        }),
      );
      expect(left).toBeGreaterThan(kept);
    }
  });

  it("multiply without losing what they say where they contradict each other", () => {
    // Twelve seasons, every other one of which wants a third of the seed of the others.
    const some = Array.from({ length: 12 }, (_, i) => seasonAbout(2010 + i, i % 2 === 0 ? 170 : 480));
    const all = logsOf(some, 5e-5, Infinity, [state({})]);
    const [one, other] = some.slice(0, 2).map((season) => logsOf([season], 5e-5, Infinity, [state({})]));
    all.forEach((logs, at) => {
      const wanted = logs!.map((_, cell) => 6 * (one![at]![cell]! + other![at]![cell]!));
      const best = Math.max(...wanted);
      logs!.forEach((log, cell) => {
        if (wanted[cell]! > best - 20) expect(log).toBeCloseTo(wanted[cell]!, 6);
      });
    });
  });
});
