/** Season by season: optima with delta variance, and their summaries, against R. Source and licence in the JSON file. */
import { describe, expect, it } from "vitest";
import { seasonOptimum } from "../../../src/decide/optima/season-spread.ts";
import { analyzeTogether } from "../../../src/maths/meta-analysis.ts";
import type { RandomMean } from "../../../src/maths/meta-analysis.ts";
import set from "./engelstad-nitro.json" with { type: "json" };

function expectRelative(actual: number, expected: number, tolerance: number, what: string): void {
  const error = Math.abs(actual - expected) / Math.max(1e-12, Math.abs(expected));
  expect(error, `${what}: ${actual} against ${expected}`).toBeLessThan(tolerance);
}

interface ExpectedMean {
  tau2: number;
  estimate: number;
  se: number;
  t_ci: number[];
  hartung_knapp_se: number;
  hartung_knapp_ci: number[];
  prediction_interval_t_k_minus_2: number[];
}

function expectMean(actual: RandomMean, expected: ExpectedMean): void {
  if (expected.tau2 === 0) expect(actual.tau).toBe(0);
  else expectRelative(actual.tau ** 2, expected.tau2, 1e-6, "tau²");
  expectRelative(actual.estimate, expected.estimate, 1e-7, "estimate");
  expectRelative(actual.standardError, expected.se, 1e-7, "se");
  expectRelative(actual.lower, expected.t_ci[0]!, 1e-7, "lower");
  expectRelative(actual.upper, expected.t_ci[1]!, 1e-7, "upper");
  expectRelative(actual.hartungKnapp.standardError, expected.hartung_knapp_se, 1e-6, "Hartung–Knapp se");
  expectRelative(actual.hartungKnapp.lower, expected.hartung_knapp_ci[0]!, 1e-6, "Hartung–Knapp lower");
  expectRelative(actual.hartungKnapp.upper, expected.hartung_knapp_ci[1]!, 1e-6, "Hartung–Knapp upper");
  expectRelative(actual.prediction!.lower, expected.prediction_interval_t_k_minus_2[0]!, 1e-6, "new place");
  expectRelative(actual.prediction!.upper, expected.prediction_interval_t_k_minus_2[1]!, 1e-6, "new place");
}

describe.each(set.expected)("optima of maize nitrogen at price ratio $price_ratio", (expected) => {
  it("has the optimum of each environment with its delta variance", () => {
    expected.groups.forEach((group, i) => {
      const cells = set.rows
        .filter(([environment]) => environment === group)
        .map(([, rate, yields]) => ({
          block: "",
          rateSeedsPerM2: Number(rate),
          strips: 1,
          meanYieldKgPerHa: Number(yields),
        }))
        .sort((a, b) => a.rateSeedsPerM2 - b.rateSeedsPerM2);
      const found = seasonOptimum({ cells, withinCellSs: 0 }, expected.price_ratio);
      if (found.kind !== "found") throw new Error(`no optimum in ${group}`);
      expectRelative(found.rateSeedsPerM2, expected.y[i]!, 1e-8, `optimum in ${group}`);
      expectRelative(found.standardError ** 2, expected.v[i]!, 1e-8, `variance in ${group}`);
    });
  });
});

const all = [
  ...set.expected.map((expected) => ({ name: set.name, expected })),
  ...Object.entries(set.more).flatMap(([name, list]) => list.map((expected) => ({ name, expected }))),
];

describe.each(all)("summary of $name at price ratio $expected.price_ratio", ({ expected }) => {
  const analyzed = () => analyzeTogether(expected.y, expected.v, 0.95);
  it("by one common value", () => {
    const found = analyzed();
    expect(found.count).toBe(expected.y.length);
    expectRelative(found.fixed.estimate, expected.fixed.estimate, 1e-8, "estimate");
    expectRelative(found.fixed.standardError, expected.fixed.se, 1e-8, "se");
    expectRelative(found.q, expected.Q, 1e-8, "Q");
    expect(found.qDf).toBe(expected.Q_df);
    expectRelative(found.qP, expected.Q_p, 1e-6, "p of Q");
    expectRelative(found.iSquaredPct + 1, expected.I2_percent + 1, 1e-8, "I²");
  });
  it("by DerSimonian & Laird", () => expectMean(analyzed().dersimonianLaird, expected.dersimonian_laird));
  it("by REML", () => expectMean(analyzed().reml, expected.reml));
});
