import { describe, expect, it } from "vitest";
import { drivenByOutliers } from "../../../../src/decide/optima/season-optima.ts";
import { seasonCurves } from "../../../../src/decide/optima/season-curves.ts";
import type { FittedForm, FittedVariety, Optimum, VarietyFit } from "../../../../src/vocabulary/result.ts";

const line = (form: Partial<FittedForm>): FittedForm => ({
  form: "linear",
  rss: 100,
  residualDf: 5,
  rSquared: null,
  aicc: null,
  weight: null,
  residualSdKgPerHa: null,
  converged: true,
  coefficients: { intercept: 1000, linear: 1, quadratic: null, join: null, plateau: null },
  standardErrors: { intercept: null, linear: null, quadratic: null, join: null, plateau: null },
  ...form,
});
const fitWith = (forms: FittedForm[]): FittedVariety => ({
  variety: "Alder",
  environment: "2024",
  season: 2024,
  strips: 20,
  blocks: 4,
  ratesSeedsPerM2: [200, 300, 400],
  cells: [],
  withinCellSs: 0,
  forms,
  formsLeftOut: [],
  anova: null,
  resistantSlope: null,
});

describe("a quadratic that outlying strips may drive", () => {
  const found: Optimum = {
    kind: "found",
    rateSeedsPerM2: 300,
    lower: null,
    upper: null,
    reason: "no-ends",
  };
  const told = (
    resistant: VarietyFit["resistant"],
    optimum: Optimum = found,
    form = "quadratic" as const,
  ) => {
    const forms = [{ ...line({ form }), yieldOptimum: optimum, economicOptimum: optimum }];
    return drivenByOutliers([{ ...fitWith([]), forms, resistant, prices: null }]).map(
      ({ message }) => message,
    );
  };
  const resistantAt = (economicOptimumSeedsPerM2: number, differs = true) => ({
    economicOptimumSeedsPerM2,
    differs,
  });

  it("is said to lie lower or higher than the resistant fit", () => {
    expect(told(resistantAt(320))).toEqual([expect.stringContaining("clearly higher than the quadratic")]);
    expect(told(resistantAt(280))).toEqual([expect.stringContaining("clearly lower than the quadratic")]);
  });

  it("is not doubted where the two agree, where there is no resistant fit, or no optimum", () => {
    expect(told(resistantAt(320, false))).toEqual([]);
    expect(told(null)).toEqual([]);
    expect(told(resistantAt(320), { kind: "none", reason: "level" })).toEqual([]);
    expect(
      drivenByOutliers([{ ...fitWith([]), forms: [], resistant: resistantAt(320), prices: null }]),
    ).toEqual([]);
  });
});

describe("the drawn curve of a season", () => {
  const steep: FittedForm["coefficients"] = { ...line({}).coefficients, intercept: 2000, linear: 3 };
  const valuesOf = (forms: FittedForm[]): number[] =>
    seasonCurves([fitWith(forms)])[0]!.points.map(({ value }) => value);

  it("weighs the forms by their Akaike weights, those that have one", () => {
    // At 200: 0.25 × (1000 + 200) + 0.75 × (2000 + 600) = 2250; at 400: 0.25 × 1400 + 0.75 × 3200 = 2750.
    const values = valuesOf([
      line({ weight: 0.25 }),
      line({ weight: 0.75, coefficients: steep }),
      line({ weight: null, coefficients: { ...steep, intercept: 9000 } }),
    ]);
    expect(values).toHaveLength(31);
    expect([values[0], values[30]]).toEqual([2250, 2750]);
  });

  it("is that of the most bent form that leaves an error where none has a weight", () => {
    const [left, full] = [line({ residualDf: 1, coefficients: steep }), line({ residualDf: 0 })];
    expect(valuesOf([line({}), left, full])[0]).toBe(2600);
    // Where none does, the last.
    expect(valuesOf([{ ...left, residualDf: 0 }, full])[0]).toBe(1200);
  });

  it("is left out where nobody would look at more than 500", () => {
    const many = (count: number) => seasonCurves(Array.from({ length: count }, () => fitWith([line({})])));
    expect(many(500)).toHaveLength(500);
    expect(many(501)).toEqual([]);
  });
});
