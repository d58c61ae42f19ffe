/** Fits of fourteen strips in three fields, by the whole covariance matrix. */
import { determinant, inverse, Matrix } from "ml-matrix";
import { describe, expect, it } from "vitest";
import { fitMixedModel, type MixedFit } from "../../../../src/model/pooled/fit-mixed-model.ts";
import { gatherSums } from "../../../../src/model/pooled/gather-sums.ts";
import type { Criterion } from "../../../../src/model/pooled/mixed-likelihood.ts";
import { buildMixedModel } from "../../../../src/model/pooled/mixed-model.ts";

const yields = [31, 52, 48, 70, 66, 12, 25, 57, 33, 80, 41, 76, 58, 95];
const rates = [-1, 0, 1, -1, 1, -1, 0, 1, 0, 1, -1, 0, 0, 1];
const fieldOf = [0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 2, 2, 2, 2];
const blockOf = [0, 0, 0, 1, 1, 2, 2, 2, 3, 3, 4, 4, 5, 5];
/** Two varieties, each with the three rates as treatments. */
const varietyOf = [0, 0, 1, 0, 1, 1, 0, 0, 1, 1, 0, 1, 0, 1];
const ones = yields.map(() => 1);

const term = (name: string, levelOf: number[], columns: number[][]) => ({
  name,
  levels: Math.max(...levelOf) + 1,
  reach: 1,
  levelOf: Int32Array.from(levelOf),
  columns: columns.map((column) => Float64Array.from(column)),
});

/** X of a treatment; the third column is what the first two say together. */
const xOf = (variety: number, rate: number): number[] => [1, variety, 2 + 3 * variety, rate, variety * rate];
const kept = [0, 1, 3, 4];

function laidOut(of: readonly number[] = yields, columnsOf = xOf) {
  const sums = gatherSums({
    yields: Float64Array.from(of),
    counts: Float64Array.from(of, () => 1),
    within: new Float64Array(of.length),
    treatmentOf: Int32Array.from(of, (_, i) => 3 * varietyOf[i]! + rates[i]! + 1),
    treatments: 6,
    random: [
      term("field", fieldOf.slice(0, of.length), [ones.slice(0, of.length), rates.slice(0, of.length)]),
      term("block", blockOf.slice(0, of.length), [ones.slice(0, of.length)]),
    ],
  });
  const x = [0, 1].flatMap((variety) => [-1, 0, 1].map((rate) => columnsOf(variety, rate)));
  const width = x[0]!.length;
  const fixed = {
    count: width,
    start: Int32Array.from({ length: 7 }, (_, i) => width * i),
    column: Int32Array.from(x.flatMap((row) => row.map((_, i) => i))),
    value: Float64Array.from(x.flat()),
  };
  return { sums, fixed, model: buildMixedModel(sums, fixed) };
}

/** −2 log likelihood, estimates and their covariance, with σ² where it is best at these relative sds. */
function byCovariance([a, b, c, d]: ArrayLike<number> & Iterable<number>, criterion: Criterion) {
  const v = new Matrix(
    rates.map((x, i) =>
      rates.map((y, j) => {
        const fields = fieldOf[i] === fieldOf[j] ? (a! + b! * x) * (a! + b! * y) + c! * x * c! * y : 0;
        return fields + (blockOf[i] === blockOf[j] ? d! ** 2 : 0) + (i === j ? 1 : 0);
      }),
    ),
  );
  const x = new Matrix(rates.map((rate, i) => kept.map((k) => xOf(varietyOf[i]!, rate)[k]!)));
  const y = Matrix.columnVector(yields);
  const weighted = x.transpose().mmul(inverse(v));
  const information = weighted.mmul(x);
  const estimates = inverse(information).mmul(weighted).mmul(y);
  const left = Matrix.sub(y, x.mmul(estimates));
  const squares = left.transpose().mmul(inverse(v)).mmul(left).get(0, 0);
  const df = criterion === "REML" ? 10 : 14;
  const variance = squares / df;
  return {
    variance,
    estimates,
    covariance: inverse(information).mul(variance),
    minusTwoLogLikelihood:
      df * Math.log(2 * Math.PI * variance) +
      df +
      Math.log(determinant(v)) +
      (criterion === "REML" ? Math.log(determinant(information)) : 0),
  };
}

const expectCovariance = (fit: MixedFit, criterion: Criterion): void => {
  const wanted = byCovariance(fit.theta, criterion);
  expect(fit.minusTwoLogLikelihood).toBeCloseTo(wanted.minusTwoLogLikelihood, 8);
  expect(fit.residualVariance / wanted.variance).toBeCloseTo(1, 8);
  kept.forEach((column, i) => {
    expect(fit.estimates[column]).toBeCloseTo(wanted.estimates.get(i, 0), 7);
    kept.forEach((other, j) =>
      expect(fit.covariance[5 * column + other]).toBeCloseTo(wanted.covariance.get(i, j), 6),
    );
  });
  // The third column has no estimate.
  expect(fit.estimates[2]).toBe(0);
  for (let i = 0; i < 5; i++) expect([fit.covariance[10 + i], fit.covariance[5 * i + 2]]).toEqual([0, 0]);
};

describe.each(["REML", "ML"] as const)("a mixed model fitted by %s", (criterion) => {
  it("has the estimates of the whole covariance matrix, where the likelihood is highest", () => {
    const { model } = laidOut();
    expect(model.droppedColumns).toEqual([2]);
    const fit = fitMixedModel(model, criterion);
    expect([fit.criterion, fit.converged, fit.reason]).toEqual([criterion, true, ""]);
    expectCovariance(fit, criterion);
    // Four columns, four relative sds and the strips.
    expect(fit.parameters).toBe(9);
    for (let i = 0; i < 4; i++)
      for (const step of [0.05, -0.05, 0.5]) {
        const moved = fit.theta.with(i, fit.theta[i]! + step);
        expect(byCovariance(moved, criterion).minusTwoLogLikelihood).toBeGreaterThan(
          fit.minusTwoLogLikelihood - 1e-9,
        );
      }
    // σ² times the triangle with itself: level, level with slope, slope.
    const [a, b, c, d] = fit.theta as unknown as [number, number, number, number];
    const [field, block] = fit.variances;
    const s = fit.residualVariance;
    [s * a ** 2, s * a * b, s * a * b, s * (b ** 2 + c ** 2)].forEach((one, i) =>
      expect(field!.covariance[i]! / s).toBeCloseTo(one / s, 9),
    );
    expect(block!.covariance[0]! / s).toBeCloseTo(d ** 2, 9);
    expect([field, block].map((one) => [one!.term, one!.levels, one!.atBoundary])).toEqual([
      ["field", 3, false],
      ["block", 6, false],
    ]);
    for (const at of [0, 2, 3]) expect(fit.theta[at]).toBeGreaterThanOrEqual(0);
  });

  it("is the same from other starts, below zero as well", () => {
    const first = fitMixedModel(laidOut().model, criterion);
    for (const theta of [[-2, 0.4, -1, -0.5], [0.1, 0, 0.1, 3], [...first.theta]]) {
      const again = fitMixedModel(laidOut().model, criterion, { theta: Float64Array.from(theta) });
      expect(again.minusTwoLogLikelihood).toBeCloseTo(first.minusTwoLogLikelihood, 6);
      expect(again.theta[0]).toBeGreaterThanOrEqual(0);
      expectCovariance(again, criterion);
    }
    const near = fitMixedModel(laidOut().model, criterion, { theta: first.theta, curve: first.curve });
    expect(near.evaluations).toBeLessThan(first.evaluations);
  });
});

describe("a model laid out", () => {
  it("has the products of its columns, and of the yields less their least-squares fit", () => {
    const { model, sums, fixed } = laidOut();
    expect([model.observations, model.columnCount, model.thetaCount, ...model.kept]).toEqual([
      14,
      5,
      4,
      ...kept,
    ]);
    const x = new Matrix(rates.map((rate, i) => kept.map((k) => xOf(varietyOf[i]!, rate)[k]!)));
    const y = Matrix.columnVector(yields);
    const products = x.transpose().mmul(x);
    const estimates = inverse(products).mmul(x.transpose()).mmul(y);
    const left = Matrix.sub(y, x.mmul(estimates));
    for (let i = 0; i < 4; i++) {
      expect(model.offset[i]).toBeCloseTo(estimates.get(i, 0), 9);
      for (let j = 0; j <= i; j++) expect(model.totals[5 * i + j]).toBeCloseTo(products.get(i, j), 9);
      expect(model.totals[20 + i]).toBeCloseTo(0, 9);
    }
    expect(model.totals[24]).toBeCloseTo(left.transpose().mmul(left).get(0, 0), 7);
    expect(model.squares).toBe(yields.reduce((sum, one) => sum + one ** 2, 0));
    // Laid out once more from the same sums it is the same.
    expect(buildMixedModel(sums, fixed)).toEqual(model);
  });

  it("is refused where X has another number of treatments", () => {
    const { sums, fixed } = laidOut();
    expect(() => buildMixedModel(sums, { ...fixed, start: fixed.start.slice(1) })).toThrow(
      "one row a treatment",
    );
  });

  it("finds a column that three others say together", () => {
    const { model } = laidOut(yields, (variety, rate) => [1, variety, rate, 4 - 2 * variety + 3 * rate]);
    expect(model.droppedColumns).toEqual([3]);
    expect(laidOut(yields, (variety, rate) => [1, variety, rate, rate ** 2]).model.droppedColumns).toEqual(
      [],
    );
  });
});

describe("strips without scatter", () => {
  it("are followed by the curves alone where these go through them", () => {
    const exact = rates.map((rate, i) => 10 + 5 * varietyOf[i]! + 3 * rate);
    const fit = fitMixedModel(laidOut(exact).model, "REML");
    expect(fit).toMatchObject({ converged: false, iterations: 0, evaluations: 1, minusTwoLogLikelihood: 0 });
    expect([...fit.theta]).toEqual([0, 0, 0, 0]);
    // Not −0, which JSON would not keep.
    expect([...fit.covariance].every((value) => Object.is(value, 0))).toBe(true);
    [10, 5, 0, 3, 0].forEach((one, i) => expect(fit.estimates[i]).toBeCloseTo(one, 8));
    expect(fit.variances.map(({ atBoundary }) => atBoundary)).toEqual([true, true]);
    // In other units, up to rounding.
    const times = fitMixedModel(laidOut(exact.map((one) => 12_345.678 * one)).model, "ML");
    expect([...times.theta]).toEqual([0, 0, 0, 0]);
    expect(times.estimates[3]! / 12_345.678).toBeCloseTo(3, 8);
  });

  it("are followed by fields and blocks where these do", () => {
    const exact = rates.map(
      (rate, i) => 10 + 7 * fieldOf[i]! ** 2 + 3 * rate * fieldOf[i]! - 4 * blockOf[i]!,
    );
    const fit = fitMixedModel(laidOut(exact).model, "REML");
    expect([fit.converged, fit.residualVariance]).toEqual([false, 0]);
    expect([...fit.theta]).toEqual([1e5, 0, 1e5, 1e5]);
    expect(fit.reason).toContain("no scatter");
  });

  it("are too few where no degree of freedom is left", () => {
    // Three strips at three rates, and a parabola.
    const three = laidOut(yields.slice(0, 3), (_, rate) => [1, rate, rate ** 2]).model;
    const fit = fitMixedModel(three, "REML");
    expect(fit.converged).toBe(false);
    expect(fit.residualVariance).toBe(0);
  });
});

it("fields that meet other treatments in their blocks are not taken for each other", () => {
  // Both fields have two blocks and both treatments; only in the second does a block have both.
  const sums = gatherSums({
    yields: Float64Array.of(1, 4, 2, 6, 5, 9),
    counts: new Float64Array(6).fill(1),
    within: new Float64Array(6),
    treatmentOf: Int32Array.of(0, 1, 0, 1, 1, 1),
    treatments: 2,
    random: [
      term("block", [0, 1, 2, 2, 3, 3], [ones.slice(0, 6)]),
      term("field", [0, 0, 1, 1, 1, 1], [ones.slice(0, 6)]),
    ],
  });
  const model = buildMixedModel(sums, {
    count: 2,
    start: Int32Array.of(0, 1, 2),
    column: Int32Array.of(0, 1),
    value: Float64Array.of(1, 1),
  });
  // Rows 0 and 1 are blocks, 2 the field, 3 and 4 the treatments and 5 the yields.
  expect(model.groups.map(({ pattern }) => [...pattern.rowOf])).toEqual([
    [0, 2, 3, 5, 1, 2, 4, 5, 2, 3, 4, 5],
    [0, 2, 3, 4, 5, 1, 2, 4, 5, 2, 3, 4, 5],
  ]);
});

describe("variances next to nothing", () => {
  /** Means of 20,000 strips each, whose strips scatter with a variance of 1. */
  const fitOf = (means: readonly number[]) => {
    const sums = gatherSums({
      yields: Float64Array.from(means),
      counts: new Float64Array(means.length).fill(2e4),
      within: new Float64Array(means.length).fill(2e4 - 1),
      treatmentOf: new Int32Array(means.length),
      treatments: 1,
      random: [term("field", [...means.keys()], [means.map(() => 1)])],
    });
    const fixed = {
      count: 1,
      start: Int32Array.of(0, 1),
      column: Int32Array.of(0),
      value: Float64Array.of(1),
    };
    return fitMixedModel(buildMixedModel(sums, fixed), "REML");
  };

  it("are kept where fields differ by more than their strips would", () => {
    // Between the means a variance of 13e-5, of which 5e-5 is that of a mean of 20,000 strips: 8e-5, or a theta of 0.0089.
    const { theta, variances, residualVariance } = fitOf([-Math.sqrt(13e-5), 0, Math.sqrt(13e-5)]);
    expect(residualVariance).toBeCloseTo(1, 3);
    expect(theta[0]).toBeCloseTo(Math.sqrt(8e-5), 4);
    expect(variances[0]!.covariance[0]! / 8e-5).toBeCloseTo(1, 3);
    expect(variances[0]!.atBoundary).toBe(false);
  });

  it("are 0 where they differ by less, that of a level as of a slope", () => {
    const { theta, variances } = fitOf([-0.0005, 0, 0.0005]);
    expect([theta[0], variances[0]!.atBoundary]).toEqual([0, true]);
    // Fields with slopes of their own, and the same level.
    const slopes = [-3, 0, 3].flatMap((slope, field) =>
      [-1, 0, 1, -1, 0, 1].map((u, i) => ({
        field,
        u,
        y: slope * u + [1, -1, 2, -1, 0, -1][(i + field) % 6]!,
      })),
    );
    const sums = gatherSums({
      yields: Float64Array.from(slopes, ({ y }) => y),
      counts: Float64Array.from(slopes, () => 1),
      within: new Float64Array(slopes.length),
      treatmentOf: Int32Array.from(slopes, ({ u }) => u + 1),
      treatments: 3,
      random: [
        term(
          "field",
          slopes.map(({ field }) => field),
          [slopes.map(() => 1)],
        ),
        term(
          "slope",
          slopes.map(({ field }) => field),
          [slopes.map(({ u }) => u)],
        ),
      ],
    });
    const line = {
      count: 2,
      start: Int32Array.of(0, 2, 4, 6),
      column: Int32Array.of(0, 1, 0, 1, 0, 1),
      value: Float64Array.of(1, -1, 1, 0, 1, 1),
    };
    const fit = fitMixedModel(buildMixedModel(sums, line), "REML");
    expect(fit.theta[0]).toBe(0);
    expect(fit.theta[1]).toBeGreaterThan(1);
    expect(fit.variances.map(({ atBoundary }) => atBoundary)).toEqual([true, false]);
  });
});
