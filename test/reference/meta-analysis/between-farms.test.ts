/**
 * Needs over farms against a random-effects mean by REML in R, on a normal approximation: each environment of the published
 * sets stands for a farm whose strips say of the need what a normal distribution with its optimum and variance does.
 */
import { describe, expect, it } from "vitest";
import { placesOn, type LogAxis } from "../../../src/maths/log-axis.ts";
import { bell } from "../../../src/maths/normal-weights.ts";
import { compareFarms } from "../../../src/model/region/between-farms.ts";
import set from "./engelstad-nitro.json" with { type: "json" };

/** Sd between farms that a set is scaled to: sds of log need are looked for about there. */
const tau = 0.12;
const grid = {
  noResponseChance: 1e-12,
  responses: [{ rise: 0, logLoss: -2, lossOnFarmSdLog: 0.3, prior: 1, lossesOnFarm: [1] }],
};

const cases = [
  { name: "Engelstad & Parks 1971, highest yield", ...set.expected[0]! },
  { name: "Hernandez & Mulla 2008, most profitable", ...set.more.hernandez_nitrogen[1]! },
  { name: "Hernandez & Mulla 2008, highest yield", ...set.more.hernandez_nitrogen[0]! },
];

describe("needs over farms against REML", () => {
  it.each(cases)("$name", ({ y, v, reml }) => {
    const scale = tau / Math.sqrt(reml.tau2);
    const axis: LogAxis = { from: scale * reml.estimate - 1.2, step: 0.03, count: 81 };
    const farms = y.map((optimum, i) => [
      {
        variety: "A",
        values: Float32Array.from(placesOn(axis), (log) => bell(log - scale * optimum, scale * Math.sqrt(v[i]!))),
        noResponse: 0,
      },
    ]);
    const { varieties, unlike } = compareFarms(farms, axis, grid, { logNeed: scale * reml.estimate, sd: 3 });
    const needs = varieties[0]!.weights.subarray(0, axis.count);
    const places = placesOn(axis);
    const mean = needs.reduce((sum, weight, j) => sum + weight * places[j]!, 0);
    const sd = Math.sqrt(needs.reduce((sum, weight, j) => sum + weight * (places[j]! - mean) ** 2, 0));
    const between = unlike.reduce((sum, one) => sum + one.weight * Math.hypot(one.farmSdLog, one.varietyOnFarmSdLog), 0);
    // Sds on a grid, a half-normal prior and heavy tails stand against one best tau: near, not equal.
    expect(Math.abs(mean - scale * reml.estimate)).toBeLessThan(0.5 * scale * reml.se);
    expect(sd / (scale * reml.se)).toBeGreaterThan(0.9);
    expect(sd / (scale * reml.se)).toBeLessThan(1.25);
    expect(between / tau).toBeGreaterThan(0.75);
    expect(between / tau).toBeLessThan(1.1);
  });
});
