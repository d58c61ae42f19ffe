/**
 * Mixed models of published trials against lme4 and lmerTest.
 *
 * Sources and licences stand in each JSON file beside this one. Tolerances: criterion 1e-5 absolute, fixed effects and
 * standard errors 1e-5 relative, variances 1e-3 relative (flat likelihood), Satterthwaite df 1e-3 relative.
 */
import { describe, expect, it } from "vitest";
import { optimumOfSlope, slopeDf } from "../../../src/decide/optima/pooled-optimum.ts";
import { chiSquareUpperTail } from "../../../src/maths/distributions.ts";
import { fitMixedModel } from "../../../src/model/pooled/fit-mixed-model.ts";
import type { MixedFit } from "../../../src/model/pooled/fit-mixed-model.ts";
import { inFieldUnits, varianceInFieldUnits } from "../../../src/model/pooled/pooled-estimates.ts";
import { findVarianceUncertainty, testContrast, testContrasts } from "../../../src/model/pooled/satterthwaite.ts";
import { curveDesign, layouts, loadSet, modelOf, randomTerm } from "./reference-models.ts";
import type { Layout } from "./reference-models.ts";

interface Component {
  group: string;
  term1: string | null;
  term2: string | null;
  vcov: number;
}
interface Joint {
  num_df: number;
  den_df: number;
  F: number;
  p: number;
}
interface Optimum {
  price_ratio: number;
  x_opt: number;
  is_maximum: boolean;
  delta_se: number;
  df_used: number;
  fieller: { type: string; lower?: number; upper?: number };
}
interface Expected {
  REML_criterion: number;
  rate_scaling: { center: number; scale: number };
  fixed: Record<string, { estimate: number; se: number; df_satterthwaite: number; p: number }>;
  variance_components: Component[];
  ML: { deviance: number; variance_components: Component[] };
  lrt_ml: Record<string, { chisq: number; df: number; p: number }>;
  variety_by_rate_joint?: { Satterthwaite: Joint };
  rate_joint?: { Satterthwaite: Joint };
  common_response_model?: Expected & { rate_joint_satterthwaite: Joint };
  optimum?: Optimum[];
  optimum_by_variety?: Record<string, Optimum[]>;
}

function expectRelative(actual: number, expected: number, tolerance: number, what: string): void {
  const error = Math.abs(actual - expected) / Math.max(1e-9, Math.abs(expected));
  expect(error, `${what}: ${actual} against ${expected}`).toBeLessThan(tolerance);
}

function expectVariances(fit: MixedFit, random: Layout[], components: Component[]): void {
  const residual = components.find((component) => component.group === "Residual")!.vcov;
  expectRelative(fit.residualVariance, residual, 1e-3, "residual variance");
  random.forEach(({ group, coefficients }, t) => {
    const names = { intercept: ["(Intercept)"], slope: ["u"], both: ["(Intercept)", "u"] }[coefficients];
    const { covariance, atBoundary } = fit.variances[t]!;
    names.forEach((first, i) =>
      names.forEach((second, j) => {
        if (i > j) return;
        // Terms of one group come as "env.variety" and "env.variety.1" told apart by their coefficient.
        const found = components.find(
          (component) =>
            component.group.replace(/\.\d+$/, "").replaceAll(".", ":") === group &&
            component.term1 === first &&
            component.term2 === (i === j ? null : second),
        )!;
        const actual = covariance[i * names.length + j]!;
        if (i === j && found.vcov < 1e-6 * residual) {
          expect(actual).toBe(0);
          expect(atBoundary).toBe(true);
        } else expectRelative(actual, found.vcov, 1e-3, `variance of ${group} ${first} ${second}`);
      }),
    );
  });
}

const sets = Object.entries(layouts).flatMap(([set, models]) => Object.keys(models).map((model) => ({ set, model })));

describe.each(sets)("$set, $model", ({ set, model }) => {
  const loaded = loadSet(set);
  if (loaded === null) {
    it.skip(`skipped: ${set} lives in the reference folder, which is not here (set STRIPCURVE_REFERENCE)`);
    return;
  }
  const { levelsOf, random } = layouts[set]![model]!;
  const expected = (loaded.expected as unknown as Record<string, Expected>)[model]!;
  const { rows } = loaded;
  const { levels, u, modelWith } = curveDesign(rows, levelsOf, expected.rate_scaling, random);
  const levelOf = rows.map((row) => (levelsOf === null ? 0 : levels.indexOf(String(row[levelsOf]!))));
  const count = levels.length;
  // Own curves: columns intercept, u, u² of each level in turn.
  const own = modelWith((i) => {
    const row = new Array<number>(3 * count).fill(0);
    row.splice(3 * levelOf[i]!, 3, 1, u[i]!, u[i]! ** 2);
    return row;
  });
  const reml = fitMixedModel(own, "REML");
  const ml = fitMixedModel(own, "ML");
  const uncertainty = findVarianceUncertainty(own, reml);
  const unit = (weights: Record<number, number>): number[] =>
    Array.from({ length: 3 * count }, (_, i) => weights[i] ?? 0);

  it("finds the criteria", () => {
    expect(reml.converged && ml.converged).toBe(true);
    expect(Math.abs(reml.minusTwoLogLikelihood - expected.REML_criterion)).toBeLessThan(1e-5);
    expect(Math.abs(ml.minusTwoLogLikelihood - expected.ML.deviance)).toBeLessThan(1e-5);
  });

  it("finds the variances, zero where they are zero", () => {
    expectVariances(reml, random, expected.variance_components);
    expectVariances(ml, random, expected.ML.variance_components);
  });

  it("finds fixed effects, standard errors and Satterthwaite df", () => {
    for (const [name, value] of Object.entries(expected.fixed)) {
      const part = name.endsWith("u2") ? 2 : name.endsWith("u") && !levels.some((l) => name === `${levelsOf}${l}`) ? 1 : 0;
      const level = levels.findIndex((l) => name.startsWith(`${levelsOf}${l}`));
      // The expected values are differences from the first level.
      const contrast = level > 0 ? unit({ [3 * level + part]: 1, [part]: -1 }) : unit({ [part]: 1 });
      const test = testContrast(reml, uncertainty, contrast)!;
      expectRelative(test.standardError, value.se, 1e-5, `se of ${name}`);
      expect(Math.abs(test.estimate - value.estimate)).toBeLessThan(
        1e-5 * Math.max(Math.abs(value.estimate), value.se),
      );
      expectRelative(test.df, value.df_satterthwaite, 1e-3, `df of ${name}`);
      expectRelative(test.p, value.p, 1e-3, `p of ${name}`);
    }
  });

  it("tests whether curves differ", () => {
    const differences = [1, 2].flatMap((part) =>
      levels.slice(1).map((_, i) => unit({ [3 * (i + 1) + part]: 1, [part]: -1 })),
    );
    const joint = expected.variety_by_rate_joint?.Satterthwaite ?? expected.rate_joint!.Satterthwaite;
    const test = testContrasts(
      reml,
      uncertainty,
      levelsOf === null ? [unit({ 1: 1 }), unit({ 2: 1 })] : differences,
    )!;
    expect(test.numeratorDf).toBe(joint.num_df);
    expectRelative(test.f, joint.F, 1e-4, "F");
    expectRelative(test.denominatorDf, joint.den_df, 1e-3, "denominator df");
    expectRelative(test.p, joint.p, 1e-2, "p");
  });

  it("compares nested curves by likelihood ratio", () => {
    const one = new Array<number>(count).fill(0);
    const shift = (i: number): number[] => one.map((_, level) => (level === levelOf[i]! ? 1 : 0));
    const reduced: Record<string, (i: number) => number[]> = {
      common_response: (i) => [...shift(i), u[i]!, u[i]! ** 2],
      no_response: (i) => shift(i),
      common_response_no_variety: (i) => [1, u[i]!, u[i]! ** 2],
      rate_none: () => [1],
      rate_linear_only: (i) => [1, u[i]!],
    };
    for (const [name, { chisq, df, p }] of Object.entries(expected.lrt_ml)) {
      const smaller = fitMixedModel(modelWith(reduced[name]!), "ML");
      const statistic = smaller.minusTwoLogLikelihood - ml.minusTwoLogLikelihood;
      expect(Math.abs(statistic - chisq), name).toBeLessThan(2e-5);
      expect(ml.parameters - smaller.parameters).toBe(df);
      expectRelative(chiSquareUpperTail(statistic, df), p, 1e-3, `p of ${name}`);
    }
  });

  it("finds the df of the marginal response at the optimum", () => {
    const optima = expected.optimum_by_variety ?? { all: expected.optimum! };
    for (const [name, list] of Object.entries(optima)) {
      const level = levels.indexOf(name);
      const { center, scale } = expected.rate_scaling;
      for (const { x_opt, delta_se, df_used } of list) {
        const at = (x_opt - center) / scale;
        const test = testContrast(reml, uncertainty, unit({ [3 * level + 1]: 1, [3 * level + 2]: 2 * at }))!;
        expectRelative(test.df, df_used, 1e-3, `df of ${name} at ${x_opt}`);
        const curve = reml.estimates[3 * level + 2]!;
        expectRelative((scale * test.standardError) / Math.abs(2 * curve), delta_se, 1e-4, "delta se");
      }
    }
  });

  it("gives the optimum Fieller's interval", () => {
    const optima = expected.optimum_by_variety ?? { all: expected.optimum! };
    const { center: centreSeedsPerM2, scale: scaleSeedsPerM2 } = expected.rate_scaling;
    const scaling = { centreSeedsPerM2, scaleSeedsPerM2 };
    for (const [name, list] of Object.entries(optima)) {
      const [b, c] = [3 * levels.indexOf(name) + 1, 3 * levels.indexOf(name) + 2];
      const part = (matrix: Float64Array) =>
        varianceInFieldUnits(scaling, {
          linear: matrix[b * 3 * count + b]!,
          covariance: matrix[b * 3 * count + c]!,
          quadratic: matrix[c * 3 * count + c]!,
        });
      const slope = {
        ...inFieldUnits(scaling, reml.estimates[b]!, reml.estimates[c]!),
        variance: part(reml.covariance),
        varianceSlopes: uncertainty.slopes.map(part),
        uncertainty: uncertainty.covariance,
      };
      for (const { price_ratio, x_opt, is_maximum, df_used, fieller } of list) {
        // Any rate counts as tested here: the expected ends are those of the curve alone.
        const optimum = optimumOfSlope(slope, [-1e12, 1e12], price_ratio, 0.95);
        if (!is_maximum) {
          expect(optimum.kind).toBe("at-edge");
          continue;
        }
        if (optimum.kind !== "found") throw new Error(`no optimum of ${name}`);
        expectRelative(optimum.rateSeedsPerM2, x_opt, 1e-5, `optimum of ${name}`);
        expectRelative(slopeDf(slope, x_opt)!, df_used, 1e-3, "df");
        if (fieller.type !== "finite") expect([optimum.lower, optimum.upper]).toEqual([null, null]);
        else {
          expectRelative(optimum.lower!, fieller.lower!, 1e-4, "lower end");
          expectRelative(optimum.upper!, fieller.upper!, 1e-4, "upper end");
        }
      }
    }
  });

  const common = expected.common_response_model;
  if (common === undefined) return;
  it("fits the common curve", () => {
    const prepared = modelWith((i) => [
      ...levels.map((_, level) => (level === levelOf[i]! ? 1 : 0)),
      u[i]!,
      u[i]! ** 2,
    ]);
    const fit = fitMixedModel(prepared, "REML");
    expect(Math.abs(fit.minusTwoLogLikelihood - common.REML_criterion)).toBeLessThan(1e-5);
    expectVariances(fit, random, common.variance_components);
    const weights = (column: number): number[] =>
      Array.from({ length: count + 2 }, (_, i) => (i === column ? 1 : 0));
    const test = testContrasts(fit, findVarianceUncertainty(prepared, fit), [
      weights(count),
      weights(count + 1),
    ])!;
    expectRelative(test.f, common.rate_joint_satterthwaite.F, 1e-4, "F");
    expectRelative(test.denominatorDf, common.rate_joint_satterthwaite.den_df, 1e-3, "denominator df");
  });
});

/** Balanced trials without a variance at zero: the F tests of the mixed model are those of the printed ANOVA. */
describe.each([
  {
    set: "yates_oats",
    random: [["block"], ["block", "variety"]],
    strata: { variety: "block:variety", r: "Within", "variety:r": "Within" },
  },
  {
    set: "gomez_stripplot",
    random: [["block"], ["block", "variety"], ["block", "rate"]],
    strata: { variety: "block:variety", r: "block:r", "variety:r": "Within" },
  },
])("analysis of variance of $set", ({ set, random, strata }) => {
  const { rows, anova } = loadSet(set)!;
  const varieties = [...new Set(rows.map((row) => row.variety))];
  const rates = [...new Set(rows.map((row) => row.rate))];
  const cells = varieties.length * rates.length;
  const cellOf = (v: number, r: number): number => v * rates.length + r;
  const model = modelOf(
    rows,
    rows.map((row) => {
      const cell = cellOf(varieties.indexOf(row.variety), rates.indexOf(row.rate));
      return Array.from({ length: cells }, (_, i) => (i === cell ? 1 : 0));
    }),
    random.map((by) => randomTerm(rows, { group: by.join(), by, coefficients: "intercept" }, [])),
  );
  const fit = fitMixedModel(model, "REML");
  const uncertainty = findVarianceUncertainty(model, fit);
  const cellWeights = (weight: (v: number, r: number) => number): number[] =>
    varieties.flatMap((_, v) => rates.map((_, r) => weight(v, r)));
  const from = (chosen: number, i: number): number => Number(i === chosen) - Number(i === 0);
  const contrasts: Record<string, number[][]> = {
    variety: varieties.slice(1).map((_, i) => cellWeights((v) => from(i + 1, v))),
    r: rates.slice(1).map((_, i) => cellWeights((_, r) => from(i + 1, r))),
    "variety:r": varieties
      .slice(1)
      .flatMap((_, i) => rates.slice(1).map((_, j) => cellWeights((v, r) => from(i + 1, v) * from(j + 1, r)))),
  };
  it.each(Object.entries(strata))("F of %s", (source, stratum) => {
    const printed = (anova as unknown as Record<string, Record<string, { df: number; F: number; p: number }>>)[
      stratum
    ]!;
    const test = testContrasts(fit, uncertainty, contrasts[source]!)!;
    expect(test.numeratorDf).toBe(printed[source]!.df);
    expectRelative(test.denominatorDf, printed["Residuals"]!.df, 1e-3, "denominator df");
    expectRelative(test.f, printed[source]!.F, 1e-4, "F");
    expectRelative(test.p, printed[source]!.p, 1e-3, "p");
  });
});
