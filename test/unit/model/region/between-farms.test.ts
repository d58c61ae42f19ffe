import { describe, expect, it } from "vitest";
import { logOn, type LogAxis } from "../../../../src/maths/log-axis.ts";
import { normalKernel } from "../../../../src/maths/normal-kernel.ts";
import { oddSdLog, oddVarietyShare } from "../../../../src/model/beliefs/lean-on-region.ts";
import { compareFarms, type VarietyOverFarms } from "../../../../src/model/region/between-farms.ts";
import type { ResponseLikelihood } from "../../../../src/model/region/farm-likelihoods.ts";
import type { ResponseGrid } from "../../../../src/model/region/response-grid.ts";

const axis: LogAxis = { from: Math.log(200), step: 0.06, count: 15 };
const J = axis.count;
const places = Array.from({ length: J }, (_, j) => j);
const prior = { logNeed: logOn(axis, 7), sd: 0.3 };

/** Two rises and two losses; farms differ in the loss under each. */
const grid: ResponseGrid = {
  noResponseChance: 0.1,
  responses: [
    { rise: 0, logLoss: -3, lossOnFarmSdLog: 0.4, prior: 0.5, lossesOnFarm: [0.8, 0.2] },
    { rise: 0, logLoss: -2, lossOnFarmSdLog: 0.4, prior: 0.2, lossesOnFarm: [0.3, 0.7] },
    { rise: 1, logLoss: -2, lossOnFarmSdLog: 0.4, prior: 0.3, lossesOnFarm: [0.4, 0.6] },
  ],
};

const bell = (x: number, sd: number): number => Math.exp(-0.5 * (x / sd) ** 2);
/** What a farm says where it sees a slow rise at a lower need than a sudden one, and prefers the higher loss. */
const farm = (
  variety: string,
  middle: number,
  sd: number,
  { slow = 0.6, none = 0.2 } = {},
): ResponseLikelihood => ({
  variety,
  values: Float32Array.from([
    ...places.map((j) => 0.7 * bell(j - middle, sd)),
    ...places.map((j) => bell(j - middle, sd)),
    ...places.map((j) => slow * 0.7 * bell(j - middle + 3, sd)),
    ...places.map((j) => slow * bell(j - middle + 3, sd)),
  ]),
  noResponse: none,
});

const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);
const meanPlace = ({ weights }: Pick<VarietyOverFarms, "weights">): number =>
  sum([...weights].map((weight, i) => weight * (i % J)));

/**
 * The same model summed directly over every response and need of the varieties, every offset of every farm and every pair of
 * sds: no messages, nothing picked beforehand. Sds and their prior are written out here as `between-farms.ts` states them.
 */
function summedDirectly(farms: readonly (readonly ResponseLikelihood[])[]): Float64Array[] {
  const names = [...new Set(farms.flat().map(({ variety }) => variety))].sort();
  const clamp = (j: number): number => Math.min(Math.max(j, 0), J - 1);
  const R = grid.responses.length;
  const states = Array.from({ length: (R + 1) * J }, (_, i) => ({ r: Math.floor(i / J), j: i % J }));
  const priorOf = ({ r, j }: (typeof states)[number]): number =>
    bell(logOn(axis, j) - prior.logNeed, prior.sd) *
    (r === R ? grid.noResponseChance : (1 - grid.noResponseChance) * grid.responses[r]!.prior);
  const likelihood = ({ values, noResponse }: ResponseLikelihood, r: number, j: number): number => {
    if (r === R) return noResponse;
    const { rise, lossesOnFarm } = grid.responses[r]!;
    return sum(lossesOnFarm.map((weight, l) => weight * values[(rise * 2 + l) * J + j]!));
  };
  const anyResponse = (one: ResponseLikelihood, j: number): number =>
    grid.noResponseChance * one.noResponse +
    (1 - grid.noResponseChance) *
      sum(grid.responses.map(({ prior: weight }, r) => weight * likelihood(one, r, j)));
  const sums = names.map(() => new Float64Array(states.length));
  for (const farmSd of [0.03, 0.07, 0.12, 0.2])
    for (const [onFarmSd, oddFarmShare] of [0.04, 0.08, 0.15, 0.25].flatMap((sd) => [
      [sd, 0.02] as const,
      [sd, 0.2] as const,
    ])) {
      const ofSds = bell(farmSd, 0.1) * bell(onFarmSd, 0.1);
      const [usualFarm, usual, odd] = [farmSd, onFarmSd, oddSdLog].map((sd) =>
        normalKernel(sd, axis.step),
      ) as [Float64Array, Float64Array, Float64Array];
      const steps = Array.from({ length: 41 }, (_, d) => d - 20);
      const smoothed = new Map(
        farms
          .flat()
          .map((one) => [
            one,
            Array.from({ length: R + 1 }, (_, r) =>
              places.map((j) =>
                sum(
                  steps.map(
                    (d) =>
                      (1 - oddVarietyShare) * (usual[Math.abs(d)] ?? 0) * likelihood(one, r, clamp(j + d)) +
                      oddVarietyShare * (odd[Math.abs(d)] ?? 0) * anyResponse(one, clamp(j + d)),
                  ),
                ),
              ),
            ),
          ]),
      );
      const explained = (
        all: readonly ResponseLikelihood[],
        of: readonly (typeof states)[number][],
      ): number => {
        let total = 0;
        for (const f of steps)
          total +=
            ((1 - oddFarmShare) * (usualFarm[Math.abs(f)] ?? 0) + oddFarmShare * (odd[Math.abs(f)] ?? 0)) *
            all.reduce((product, one) => {
              const { r, j } = of[names.indexOf(one.variety)]!;
              return product * smoothed.get(one)![r]![clamp(j + f)]!;
            }, 1);
        return total;
      };
      states.forEach((a, s) =>
        (names.length > 1 ? states : states.slice(0, 1)).forEach((b, t) => {
          const both = names.length > 1 ? [a, b] : [a];
          const weight =
            ofSds *
            both.reduce((all, one) => all * priorOf(one), 1) *
            farms.reduce((all, one) => all * explained(one, both), 1);
          sums[0]![s]! += weight;
          if (names.length > 1) sums[1]![t]! += weight;
        }),
      );
    }
  return sums.map((one) => one.map((value) => value / sum([...one])));
}

describe("needs and responses over farms", () => {
  it("are those of the direct sum where each farm has one variety", () => {
    const farms = [[farm("A", 6, 1.5)], [farm("A", 8, 1, { slow: 0.9 })], [farm("A", 11, 2)]];
    const [direct] = summedDirectly(farms);
    const [found] = compareFarms(farms, axis, grid, prior).varieties;
    expect(found!.responses).toEqual(grid.responses);
    // Sds that hold less than a thousandth of the weight are left out.
    found!.weights.forEach((weight, i) => expect(Math.abs(weight - direct![i]!)).toBeLessThan(1e-3));
    expect(Math.abs(meanPlace(found!) - meanPlace({ weights: direct! }))).toBeLessThan(0.005);
  });

  it("come within a tenth of a step of the direct sum where varieties meet on several farms", () => {
    const farms = [
      [farm("A", 6, 1.5), farm("B", 9, 1)],
      [farm("A", 7, 1, { slow: 1 }), farm("B", 11, 1.5)],
      [farm("A", 5, 2)],
    ];
    const direct = summedDirectly(farms);
    const { varieties } = compareFarms(farms, axis, grid, prior);
    varieties.forEach((one, v) => {
      expect(Math.abs(meanPlace(one) - meanPlace({ weights: direct[v]! }))).toBeLessThan(0.1);
      one.weights.forEach((weight, i) => expect(Math.abs(weight - direct[v]![i]!)).toBeLessThan(0.01));
    });
  });

  it("know the need better once farms agree on the rise: a rise that all share is no difference between farms", () => {
    const agreed = Array.from({ length: 8 }, () => [farm("A", 8, 0.7, { slow: 0.5 })]);
    const [one] = compareFarms(agreed.slice(0, 1), axis, grid, prior).varieties;
    const [all] = compareFarms(agreed, axis, grid, prior).varieties;
    const ofSlowRise = ({ weights }: VarietyOverFarms): number => sum([...weights.subarray(2 * J, 3 * J)]);
    expect(ofSlowRise(one!)).toBeGreaterThan(0.1);
    expect(ofSlowRise(all!)).toBeLessThan(0.01);
  });

  it("leave out the responses that farms together rule out, and share all belief among the others", () => {
    const agreed = Array.from({ length: 12 }, () => [farm("A", 8, 0.7, { slow: 0.2, none: 0.01 })]);
    const { varieties, unlike } = compareFarms(agreed, axis, grid, prior);
    expect(varieties[0]!.responses).toEqual(grid.responses.slice(0, 2));
    expect(varieties[0]!.weights).toHaveLength(3 * J);
    expect(sum([...varieties[0]!.weights])).toBeCloseTo(1, 10);
    // Sds of less than a hundredth are not told.
    expect(unlike.length).toBeLessThan(32);
    expect(sum(unlike.map(({ weight }) => weight))).toBeCloseTo(1, 10);
  });

  it("lean on each other more where farms are alike than where they are not", () => {
    const spread = (middles: number[]): number => {
      const { unlike } = compareFarms(
        middles.map((middle) => [farm("A", middle, 0.5)]),
        axis,
        grid,
        prior,
      );
      return sum(unlike.map((one) => one.weight * (one.farmSdLog + one.varietyOnFarmSdLog)));
    };
    expect(spread([7, 7, 7, 7, 7, 7])).toBeLessThan(0.08);
    // The logarithms of these needs have an sd of 3.4 steps of 0.06, or 0.20.
    expect(spread([3, 11, 5, 9, 4, 10])).toBeGreaterThan(0.12);
  });

  it("let one farm that is unlike all others move the rest by less than a normal spread would", () => {
    const alike = Array.from({ length: 9 }, () => [farm("A", 8, 0.7, { slow: 0 })]);
    const [found] = compareFarms([...alike, [farm("A", 2, 0.7, { slow: 0 })]], axis, grid, prior).varieties;
    // The plain mean of the ten farms lies at 7.4.
    expect(meanPlace(found!)).toBeGreaterThan(7.7);
  });
});
