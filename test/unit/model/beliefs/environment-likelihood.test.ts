/** Sums of one environment with every curve, and its likelihoods, by formula. */
import { describe, expect, it } from "vitest";
import type { Ray } from "../../../../src/model/beliefs/curve-grid.ts";
import {
  EnvironmentLikelihood,
  environmentSums,
  type EnvironmentSums,
} from "../../../../src/model/beliefs/environment-likelihood.ts";
import type { RateEvidence } from "../../../../src/model/beliefs/rate-evidence.ts";
import { fall, riseShapes, shoulders } from "../../../../src/model/forms/believable-curve.ts";
import { residualBySums } from "./sums-by-hand.ts";
import { rayOf as ray } from "./curves-by-hand.ts";

const evidence: RateEvidence = {
  variety: "Alder",
  environment: "2024 Hill",
  field: "Hill",
  season: 2024,
  meanYieldKgPerHa: 4000,
  strips: 12,
  rates: Float64Array.of(180, 300, 450),
  counts: Float64Array.of(4, 4, 4),
  // Four blocks with all three rates: 4 (1 − ⅓) with itself, −4 ÷ 3 with another.
  weight: Float64Array.of(8 / 3, -4 / 3, -4 / 3, -4 / 3, 8 / 3, -4 / 3, -4 / 3, -4 / 3, 8 / 3),
  cross: Float64Array.of(-0.11, 0.07, 0.04),
  total: 0.014,
  degrees: 8,
  across: null,
};
const axis = { from: Math.log(200), step: 0.2, count: 5 };
const needs = [0, 1, 2, 3, 4].map((j) => 200 * Math.exp(0.2 * j));
/** Ten degrees behind an error of 3%. */
const error = { degrees: 10, ss: 0.009 };
/** Worked out anew in each test. */
const sumsThere = () => environmentSums({ ...evidence, error }, axis, 0.8);

const rays = [
  ray(0, 0.05),
  ray(1, 0.2, 0.1, 0),
  ray(3, 0.1, 0.3, 0.2),
  ray(5, 0.3, 0.05, 0.5),
  ray(4, 0.02),
  ray(1, 0.5, 0.4, 0.5),
];
const curveOf =
  ({ shape, loss, decline, shoulder }: Ray, need: number) =>
  (rate: number): number =>
    loss * riseShapes[shape]!.rise(rate / need) + decline * fall(rate / need, shoulder);
const squaresOf = (one: Ray, need: number, strength = 1): number =>
  residualBySums(evidence, (rate) => strength * curveOf(one, need)(rate));
/** Half of 0.8 × (10 + 8) degrees; the likelihood is (1 + squares ÷ 0.009)^−7.2. */
const power = 7.2;

describe("sums of an environment with every curve", () => {
  it("say how many degrees of freedom are behind them, as far as strips count", () => {
    const sums = sumsThere();
    expect(sums.field).toBe("Hill");
    expect([sums.total, sums.scale]).toEqual([0.014, 1 / 0.009]);
    expect(sums.power).toBeCloseTo(power, 12);
  });

  it("make the sum of squares about any curve of the axis", () => {
    const sums = sumsThere();
    riseShapes.forEach((_, shape) =>
      shoulders.forEach((shoulder, h) =>
        needs.forEach((need, j) => {
          const [loss, decline] = [0.3, 0.2];
          const rise = shape * 5 + j;
          const falls = h * 5 + j;
          const both = (shape * 3 + h) * 5 + j;
          const squares =
            sums.total -
            2 * (loss * sums.riseCross[rise]! + decline * sums.fallCross[falls]!) +
            loss ** 2 * sums.riseRise[rise]! +
            decline ** 2 * sums.fallFall[falls]! +
            2 * loss * decline * sums.riseFall[both]!;
          expect(squares).toBeCloseTo(squaresOf(ray(shape, loss, decline, shoulder), need), 10);
          // Each by itself, too.
          const rises = sums.total - 2 * loss * sums.riseCross[rise]! + loss ** 2 * sums.riseRise[rise]!;
          expect(rises).toBeCloseTo(squaresOf(ray(shape, loss), need), 10);
        }),
      ),
    );
    expect([sums.riseRise.length, sums.fallFall.length, sums.riseFall.length]).toEqual([30, 15, 90]);
  });
});

describe("the likelihood along a ray", () => {
  it("is Student's t where strengths do not vary", () => {
    const sums = sumsThere();
    const likelihood = new EnvironmentLikelihood(5, 0);
    for (const one of rays) {
      const { logs, bends } = likelihood.along(sums, one);
      needs.forEach((need, j) => {
        expect(logs[j]).toBeCloseTo(-power * Math.log(1 + squaresOf(one, need) / 0.009), 10);
        expect(bends[j]).toBe(1);
      });
    }
  });

  /** −log of likelihood and prior of a strength, without constants, and its slopes. */
  const lessLikely = (one: Ray, need: number, spread: number) => (strength: number) =>
    power * Math.log(1 + squaresOf(one, need, strength) / 0.009) + (strength - 1) ** 2 / (2 * spread ** 2);

  it.each([0.4, 0.6])("is averaged over the strength by Laplace's method, with a spread of %s", (spread) => {
    const sums = sumsThere();
    const likelihood = new EnvironmentLikelihood(5, spread);
    for (const one of rays) {
      const { logs, bends } = likelihood.along(sums, one);
      needs.forEach((need, j) => {
        const of = lessLikely(one, need, spread);
        // The lowest of strengths a hundredth apart, then of those a thousandth apart; the bend there by differences.
        let best = 1;
        for (let g = -1; g < 3; g += 0.01) if (of(g) < of(best)) best = g;
        for (let g = best - 0.01, to = best + 0.01; g < to; g += 0.001) if (of(g) < of(best)) best = g;
        const bend = (spread ** 2 * (of(best + 1e-3) + of(best - 1e-3) - 2 * of(best))) / 1e-6;
        expect(logs[j]).toBeCloseTo(-of(best), 3);
        expect(bends[j]! / bend).toBeCloseTo(1, 2);
      });
    }
  });

  it("comes near the integral over strengths where strips say much", () => {
    const sums = sumsThere();
    const spread = 0.2;
    const one = ray(1, 0.06);
    const { logs, bends } = new EnvironmentLikelihood(5, spread).along(sums, one);
    needs.forEach((need, j) => {
      const of = lessLikely(one, need, spread);
      let sum = 0;
      for (let g = -1; g < 3; g += 0.001) sum += 0.001 * Math.exp(-of(g));
      const integral = sum / (spread * Math.sqrt(2 * Math.PI));
      expect(Math.exp(logs[j]!) / Math.sqrt(bends[j]!) / integral).toBeCloseTo(1, 1);
    });
  });

  it("is worked out from one place to another alone", () => {
    const sums = sumsThere();
    const likelihood = new EnvironmentLikelihood(5, 0.2);
    const before = [...likelihood.along(sums, rays[0]!).logs];
    const other = [...new EnvironmentLikelihood(5, 0.2).along(sums, rays[2]!).logs];
    const { logs } = likelihood.along(sums, rays[2]!, { first: 1, last: 3 });
    expect([...logs]).toEqual([before[0], other[1], other[2], other[3], before[4]]);
  });

  it.each([
    ["as the bend says", 5, 0.7, 1],
    ["bounded, where another is nearly as likely", 2, 0.6, 20],
  ])("keeps the average about one strength %s", (_, power, spread, perSquare) => {
    const sums = sumsThere();
    // A curve through all means at a strength of 6: squares of 0.04 (6 − strength)².
    const torn: EnvironmentSums = {
      ...sums,
      total: 36 * 0.04,
      riseCross: new Float64Array(30).fill(6 * 0.04),
      riseRise: new Float64Array(30).fill(0.04),
      power,
      scale: perSquare / 0.04,
    };
    const { bends } = new EnvironmentLikelihood(5, spread).along(torn, ray(0, 1));
    // Three turns from the best fit: strength and scatter there, each from the other.
    const known = 2 * power * perSquare * spread ** 2;
    let [here, off] = [1, 0];
    for (let turn = 0; turn < 3; turn++) {
      off = (here + known * 6) / (here + known) - 6;
      here = 1 + perSquare * off ** 2;
    }
    // 0.39 and −2.6; no less than 0.2 is taken.
    const free = 1 + known / here - ((known / here) * off) ** 2 / (power * spread ** 2);
    expect(free < 0.2).toBe(power === 2);
    expect(bends[0]).toBeCloseTo(Math.max(0.2, free), 10);
  });
});

describe("the most that an environment can say for a ray", () => {
  it("is its likelihood at the best of every second place, where strengths do not vary", () => {
    const sums = sumsThere();
    const likelihood = new EnvironmentLikelihood(5, 0);
    for (const one of rays) {
      const logs = [0, 2, 4].map((j) => -power * Math.log(1 + squaresOf(one, needs[j]!) / 0.009));
      expect(likelihood.most(sums, one)).toBeCloseTo(Math.max(...logs), 10);
    }
  });

  it("lets the strength go where scatter about the best one and the prior weigh least", () => {
    const sums = sumsThere();
    const spread = 0.3;
    const likelihood = new EnvironmentLikelihood(5, spread);
    for (const one of rays) {
      const places = [0, 2, 4].map((j) => {
        const at = (strength: number): number => 1 + squaresOf(one, needs[j]!, strength) / 0.009;
        // A parabola in the strength: its bend from three places, and its lowest point.
        const bend = (at(2) + at(0) - 2 * at(1)) / 2;
        const fitted = 1 - (at(2) - at(0)) / 4 / bend;
        const lowest = Math.max(1, at(fitted));
        const prior = lowest / (2 * power * spread ** 2);
        const strength = (bend * fitted + prior) / (bend + prior);
        const value = lowest + bend * (strength - fitted) ** 2 + prior * (strength - 1) ** 2;
        return { value, wider: 1 + bend / prior };
      });
      const { value, wider } = places.reduce((best, place) => (place.value < best.value ? place : best));
      expect(likelihood.most(sums, one)).toBeCloseTo(-power * Math.log(value) - 0.5 * Math.log(wider), 8);
    }
  });
});

it("a curve that does not bend at the rates says the same at any strength", () => {
  const sums = sumsThere();
  // A decline whose shoulder begins beyond all rates, without a rise.
  const none = ray(0, 0, 0.2, 0.5);
  const { logs, bends } = new EnvironmentLikelihood(5, 0.3).along(sums, none);
  const level = -power * Math.log(1 + 0.014 / 0.009);
  expect(logs[4]).toBeCloseTo(level, 12);
  expect(bends[4]).toBe(1);
  const flat = ray(0, 0);
  expect(new EnvironmentLikelihood(5, 0.3).most(sums, flat)).toBeCloseTo(level, 12);
  const perfect: EnvironmentSums = { ...sums, total: -1e-18 };
  expect(new EnvironmentLikelihood(5, 0.3).along(perfect, flat).logs[0]).toBeCloseTo(0, 12);
  expect(new EnvironmentLikelihood(5, 0.3).most(perfect, flat)).toBeCloseTo(0, 12);
});
