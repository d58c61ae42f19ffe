/** Coefficients in u = (rate − 280) ÷ 120 as those of the rate, for two varieties whose estimates are known with any covariance. */
import { Matrix } from "ml-matrix";
import { describe, expect, it } from "vitest";
import { fitPooledForm } from "../../../../src/model/pooled/fit-pooled-form.ts";
import { pooledFormFits, slopeEstimateOf } from "../../../../src/model/pooled/pooled-estimates.ts";
import { findVarianceUncertainty, testContrast } from "../../../../src/model/pooled/satterthwaite.ts";
import { layOutTrial } from "../../../../src/model/pooled/trial-layout.ts";
import type { Coefficients, StandardErrors } from "../../../../src/vocabulary/result.ts";
import type { FormName } from "../../../../src/vocabulary/settings.ts";

const layout = {
  varieties: ["Alder", "Birch"],
  centreSeedsPerM2: 280,
  scaleSeedsPerM2: 120,
  meanKgPerHa: 4000,
} as never;
/** Levels in columns 0 and 1, then two of Alder's response and two of Birch's. */
const columnCount = 6;
const some = new Matrix(
  Array.from({ length: 6 }, (_, i) => Array.from({ length: 6 }, (_x, j) => Math.sin(1 + 2 * i + 3 * j))),
);
/** Any covariance: what is symmetric and has roots. */
const covariance = some.mmul(some.transpose()).add(Matrix.eye(6));

interface Made {
  estimates?: readonly number[];
  widths?: number[];
  joins?: (number | null)[];
  droppedColumns?: number[];
  residualVariance?: number;
}
const made = (
  form: FormName,
  {
    estimates = [100, -50, 30, -40, 20, -70],
    widths = [2, 2],
    joins = [0.4, 0.7],
    droppedColumns = [],
    residualVariance = 1,
  }: Made = {},
) =>
  ({
    form,
    units: [
      { varieties: [0], rates: [] },
      { varieties: [1], rates: [] },
    ],
    columns: { first: [2, 4], widths },
    joins,
    model: { columnCount, droppedColumns },
    fit: {
      estimates: Float64Array.from(estimates),
      covariance: Float64Array.from(covariance.to1DArray()),
      residualVariance,
    },
  }) as never;

/** Yield of Birch at a rate, as the columns of a form have it. */
function inU(form: FormName, rate: number, [, level, , , first, second]: readonly number[]): number {
  const u = (rate - 280) / 120;
  const fall = Math.max(0, 0.7 - u);
  const response = {
    none: 0,
    linear: first! * u,
    quadratic: first! * u + second! * u * u,
    "linear-plateau": -first! * fall,
    "quadratic-plateau": -first! * fall * fall,
  }[form];
  return 4000 + level! + response;
}
/** The same from coefficients of the rate. */
function inRates({ intercept, linear, quadratic, join, plateau }: Coefficients, rate: number): number {
  return join !== null && rate >= join
    ? plateau!
    : intercept! + (linear ?? 0) * rate + (quadratic ?? 0) * rate * rate;
}

const forms = ["none", "linear", "quadratic", "linear-plateau", "quadratic-plateau"] as const;
const ofBirch = (form: FormName, more: Made = {}) => pooledFormFits(layout, made(form, more), null)[1];

describe("coefficients of the rate", () => {
  it.each(forms)("give the yields that those of u give: %s", (form) => {
    const estimates = [100, -50, 30, -40, 20, -70];
    const found = ofBirch(form, { estimates })!;
    expect([found.form, found.joinProfile]).toEqual([form, null]);
    for (const rate of [0, 100, 250, 300, 363, 365, 500])
      expect(inRates(found.coefficients, rate)).toBeCloseTo(inU(form, rate, estimates), 8);
    const { coefficients } = found;
    const has = Object.entries(coefficients).flatMap(([name, value]) => (value === null ? [] : [name]));
    expect(has.sort()).toEqual(
      {
        none: ["intercept"],
        linear: ["intercept", "linear"],
        quadratic: ["intercept", "linear", "quadratic"],
        "linear-plateau": ["intercept", "join", "linear", "plateau"],
        "quadratic-plateau": ["intercept", "join", "linear", "plateau", "quadratic"],
      }[form],
    );
    if (coefficients.join !== null) expect(coefficients.join).toBeCloseTo(280 + 0.7 * 120, 9);
  });

  it.each(forms)("are known as well as what they are sums of: %s", (form) => {
    // Coefficients are sums of estimates: their weights are what one more of each estimate changes.
    const none = [0, 0, 0, 0, 0, 0];
    const of = (estimates: readonly number[]): Coefficients => ofBirch(form, { estimates })!.coefficients;
    const { standardErrors } = ofBirch(form)!;
    for (const name of ["intercept", "linear", "quadratic", "plateau"] as const) {
      const before = of(none)[name];
      if (before === null) {
        expect(standardErrors[name]).toBeNull();
        continue;
      }
      const weights = Matrix.rowVector(
        none.map((_, i) => of(none.map((_x, j) => (i === j ? 1 : 0)))[name]! - before),
      );
      const variance = weights.mmul(covariance).mmul(weights.transpose()).get(0, 0);
      expect(standardErrors[name]! / Math.sqrt(variance)).toBeCloseTo(1, 8);
    }
    expect((standardErrors as StandardErrors & { join?: null }).join ?? null).toBeNull();
    const exact = ofBirch(form, { residualVariance: 0 })!.standardErrors;
    expect(Object.values(exact).every((one) => one === null)).toBe(true);
  });

  it("are none where a variety has too few rates, no join or a column that others say", () => {
    expect(ofBirch("quadratic", { widths: [2, 1] })).toBeNull();
    expect(ofBirch("linear", { widths: [2, 1] })).not.toBeNull();
    expect(ofBirch("linear", { widths: [2, 0] })).toBeNull();
    expect(ofBirch("none", { widths: [2, 0] })).not.toBeNull();
    expect(ofBirch("linear-plateau", { joins: [0.4, null] })).toBeNull();
    expect(ofBirch("linear", { joins: [0.4, null] })).not.toBeNull();
    expect(ofBirch("quadratic", { droppedColumns: [5] })).toBeNull();
    expect(ofBirch("linear", { droppedColumns: [5] })).not.toBeNull();
    expect(ofBirch("linear", { droppedColumns: [4] })).toBeNull();
    expect(ofBirch("none", { droppedColumns: [1] })).toBeNull();
    expect(ofBirch("quadratic", { droppedColumns: [2, 3] })).not.toBeNull();
  });
});

describe("the slope of a quadratic", () => {
  const change = some.add(some.transpose());
  const uncertainty = { covariance: [[0.4]], slopes: [Float64Array.from(change.to1DArray())] };
  const slopeOf = (more: Made = {}, variety = 1) =>
    slopeEstimateOf(layout, made("quadratic", more), uncertainty, variety);

  /** Variance of the slope b/120 + 2c (rate − 280)/120² at a rate. */
  const directly = (matrix: Matrix, rate: number): number => {
    const weights = [1 / 120, (2 * (rate - 280)) / 120 ** 2];
    return [4, 5].reduce(
      (sum, a, i) =>
        sum + [4, 5].reduce((all, b, j) => all + weights[i]! * weights[j]! * matrix.get(a, b), 0),
      0,
    );
  };

  it("is that of the curve, and known as well at every rate", () => {
    const { linear, quadratic, variance, varianceSlopes, uncertainty: known } = slopeOf()!;
    expect(known).toBe(uncertainty.covariance);
    expect(varianceSlopes).toHaveLength(1);
    for (const rate of [0, 150, 280, 420]) {
      const u = (rate - 280) / 120;
      expect(linear + 2 * quadratic * rate).toBeCloseTo((20 + 2 * -70 * u) / 120, 10);
      // As the result says it: linear + 4x·covariance + 4x²·quadratic.
      const at = (one: typeof variance): number =>
        one.linear + 4 * rate * one.covariance + 4 * rate * rate * one.quadratic;
      expect(at(variance)).toBeCloseTo(directly(covariance, rate), 10);
      expect(at(varianceSlopes[0]!)).toBeCloseTo(directly(change, rate), 10);
    }
  });

  it("is none where a variety has no quadratic, or no variance that a number can hold", () => {
    expect(slopeOf({ widths: [2, 1] })).toBeNull();
    expect(slopeOf({ droppedColumns: [4] })).toBeNull();
    expect(slopeOf({ droppedColumns: [5] })).toBeNull();
    expect(slopeOf({ droppedColumns: [2, 3] })).not.toBeNull();
    const near = { ...(layout as object), scaleSeedsPerM2: 1e-90 } as never;
    expect(slopeEstimateOf(near, made("quadratic"), uncertainty, 1)).toBeNull();
  });
});

describe("what the likelihood says of a join", () => {
  /** Two fields that rise to 300 and then no more, with a scatter of a few kg/ha. */
  const cells = ["2024", "2025"].map((environment, field) => ({
    variety: "Alder",
    environment,
    withinCellSs: 0,
    cells: ["1", "2"].flatMap((block, b) =>
      [150, 225, 300, 375, 450].map((rateSeedsPerM2, k) => ({
        block,
        rateSeedsPerM2,
        strips: 1,
        meanYieldKgPerHa:
          4000 +
          50 * field +
          9 * b +
          2 * Math.min(0, rateSeedsPerM2 - 290) +
          7 * Math.sin(12.9898 * (1 + k + 5 * b + 10 * field)),
      })),
    ),
  }));

  it("goes with the fit, and its degrees with the rise below the join", () => {
    const trial = layOutTrial(cells)!;
    const fit = fitPooledForm(trial, "linear-plateau", "own", "REML");
    const uncertainty = findVarianceUncertainty(fit.model, fit.fit);
    const [found] = pooledFormFits(trial, fit, uncertainty);
    const { degree, ends, products, squares, below, rss, residualVariance, df } = found!.joinProfile!;
    expect(degree).toBe(1);
    expect(Math.abs(found!.coefficients.join! - 290)).toBeLessThan(15);
    expect(residualVariance).toBe(fit.fit.residualVariance);
    // Twenty strips, less a level and a rise.
    expect(rss).toBeCloseTo(18 * residualVariance, 9);
    expect(df).toBe(testContrast(fit.fit, uncertainty, [0, 1])!.df);
    expect(ends.length).toBeGreaterThan(3);
    expect([products.length, squares.length, below.length].every((length) => length > 0)).toBe(true);
    expect(pooledFormFits(trial, fit, null)[0]!.joinProfile).toBeNull();
    const line = fitPooledForm(trial, "linear", "own", "REML");
    expect(pooledFormFits(trial, line, uncertainty)[0]!.joinProfile).toBeNull();
  });
});
