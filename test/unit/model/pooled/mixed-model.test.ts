/** Mixed models small enough to be checked by hand. */
import { describe, expect, it } from "vitest";
import { gatherSums } from "../../../../src/model/pooled/gather-sums.ts";
import type { RandomTerm } from "../../../../src/model/pooled/gather-sums.ts";
import { fitMixedModel } from "../../../../src/model/pooled/fit-mixed-model.ts";
import { buildMixedModel } from "../../../../src/model/pooled/mixed-model.ts";

const intercepts = (name: string, levelOf: number[]): RandomTerm => ({
  name,
  levels: Math.max(...levelOf) + 1,
  reach: 1,
  levelOf: Int32Array.from(levelOf),
  columns: [Float64Array.from(levelOf, () => 1)],
});

/** X has one row a treatment. */
function fit(
  yields: number[],
  treatmentOf: number[],
  x: number[][],
  random: RandomTerm[],
  more: { counts?: number[]; within?: number[]; criterion?: "REML" | "ML" } = {},
) {
  const sums = gatherSums({
    yields: Float64Array.from(yields),
    counts: Float64Array.from(more.counts ?? yields.map(() => 1)),
    within: Float64Array.from(more.within ?? yields.map(() => 0)),
    treatmentOf: Int32Array.from(treatmentOf),
    treatments: x.length,
    random,
  });
  const width = x[0]!.length;
  const model = buildMixedModel(sums, {
    count: width,
    start: Int32Array.from({ length: x.length + 1 }, (_, i) => i * width),
    column: Int32Array.from(x.flatMap((row) => row.map((_, i) => i))),
    value: Float64Array.from(x.flat()),
  });
  return { sums, model, fit: fitMixedModel(model, more.criterion ?? "REML") };
}

describe("one-way layout with equal numbers", () => {
  // Groups 1, 3; 5, 9; 4, 8: means 2, 7, 6; MS between 14, MS within (2 + 8 + 8)/3 = 6.
  const yields = [1, 3, 5, 9, 4, 8];
  const groups = intercepts("group", [0, 0, 1, 1, 2, 2]);
  const one = [[1]];
  const everyone = yields.map(() => 0);

  it("has by REML the variances of the analysis of variance: 6 within, (14 − 6)/2 = 4 between", () => {
    const { fit: found } = fit(yields, everyone, one, [groups]);
    expect(found.residualVariance).toBeCloseTo(6, 4);
    expect(found.variances[0]!.covariance[0]).toBeCloseTo(4, 4);
    expect(found.estimates[0]).toBeCloseTo(5, 10);
    expect(found.covariance[0]).toBeCloseTo(14 / 6, 4);
  });

  it("has by ML a mean square between of SS/3 = 28/3: (28/3 − 6)/2 between", () => {
    const { fit: found } = fit(yields, everyone, one, [groups], { criterion: "ML" });
    expect(found.variances[0]!.covariance[0]).toBeCloseTo((28 / 3 - 6) / 2, 4);
  });

  it("finds a variance of exactly zero where groups differ less than strips do, and says so", () => {
    const { fit: found } = fit([1, 9, 2, 8, 3, 8], everyone, one, [groups]);
    expect(found.variances[0]).toMatchObject({ covariance: [0], atBoundary: true });
    expect(found.converged).toBe(true);
    // Then it is the variance of six numbers: mean 31/6, Σ = 223 − 31²/6.
    expect(found.residualVariance).toBeCloseTo((223 - 31 ** 2 / 6) / 5, 6);
  });

  it("is the same from means of strips with their scatter as from the strips", () => {
    const strips = fit([...yields, 2, 7], [...everyone, 0, 0], one, [
      intercepts("group", [0, 0, 1, 1, 2, 2, 0, 1]),
    ]);
    // 1, 3, 2 → mean 2, scatter 2; 5, 9, 7 → mean 7, scatter 8; 4, 8 → mean 6, scatter 8.
    const means = fit([2, 7, 6], [0, 0, 0], one, [intercepts("group", [0, 1, 2])], {
      counts: [3, 3, 2],
      within: [2, 8, 8],
    });
    expect(means.fit.minusTwoLogLikelihood).toBeCloseTo(strips.fit.minusTwoLogLikelihood, 8);
    expect(means.fit.residualVariance).toBeCloseTo(strips.fit.residualVariance, 5);
    expect(means.fit.estimates[0]).toBeCloseTo(strips.fit.estimates[0]!, 6);
  });
});

describe("groups of strips", () => {
  it("are the environments where effects are nested in them, and one where effects cross them", () => {
    const yields = [1, 2, 4, 3, 6, 5, 8, 9];
    const site = intercepts("site", [0, 0, 0, 0, 1, 1, 1, 1]);
    const inside = intercepts("block in site", [0, 0, 1, 1, 2, 2, 3, 3]);
    const year = intercepts("year", [0, 1, 0, 1, 0, 1, 0, 1]);
    const treatments = yields.map(() => 0);
    expect(fit(yields, treatments, [[1]], [site, inside]).sums.groups).toHaveLength(2);
    expect(fit(yields, treatments, [[1]], [site, year]).sums.groups).toHaveLength(1);
  });
});

describe("columns that others already say", () => {
  it("are dropped, named, and change nothing", () => {
    const yields = [1, 2, 4, 3, 7, 6];
    const group = [intercepts("group", [0, 1, 2, 0, 1, 2])];
    const treatments = [0, 0, 0, 1, 1, 1];
    const whole = fit(
      yields,
      treatments,
      [
        [1, 0],
        [1, 1],
      ],
      group,
    );
    const doubled = fit(
      yields,
      treatments,
      [
        [1, 0, 0],
        [1, 1, 2],
      ],
      group,
    );
    expect(doubled.model.droppedColumns).toEqual([2]);
    expect(doubled.fit.minusTwoLogLikelihood).toBeCloseTo(whole.fit.minusTwoLogLikelihood, 9);
    expect(doubled.fit.estimates[2]).toBe(0);
  });
});

describe("strips without scatter", () => {
  it("give the exact curve, no variance and no claim of convergence", () => {
    // y = 10·group + 3·x, exactly.
    const { fit: found } = fit(
      [3, 6, 13, 16, 23, 26],
      [0, 1, 0, 1, 0, 1],
      [
        [1, 1],
        [1, 2],
      ],
      [intercepts("group", [0, 0, 1, 1, 2, 2])],
    );
    expect(found.estimates[1]).toBeCloseTo(3, 8);
    expect(found.residualVariance).toBe(0);
    expect(found.converged).toBe(false);
    expect(found.reason).toContain("no scatter");
  });
});
