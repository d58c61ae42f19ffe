import { describe, expect, it } from "vitest";
import { addOptima, drivenByOutliers } from "../../../../src/decide/optima/season-optima.ts";
import { seasonCurves } from "../../../../src/decide/optima/season-curves.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";
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

/**
 * Seed at 0.03 a thousand and grain at 0.2 a kg: a seed/m² more must bring 1.5 kg/ha.
 *
 * Strips at 100 to 500 seeds/m² on y = 4000 − 0.02 (x − 300)² = 2200 + 12 x − 0.02 x², most profitable at
 * (12 − 1.5) ÷ 0.04 = 262.5. In t = (x − 300) ÷ 100 its slope at 350 has, for strips of variance 1, the variance
 * (1 ÷ Σt² + (2 × 0.5)² ÷ Σ(t² − 2)²) ÷ 100² = (1 ÷ 10 + 1 ÷ 14) ÷ 100², standard error 0.0041404.
 */
describe("the most profitable rate of the resistant slope", () => {
  const settings = { ...defaultSettings, grainPricePerKg: 0.2, seedPricePerThousand: 0.03 };
  const rates = [100, 200, 300, 400, 500];
  const hill: FittedForm = line({
    form: "quadratic",
    coefficients: { intercept: 2200, linear: 12, quadratic: -0.02, join: null, plateau: null },
  });
  const resistantOf = (
    slope: FittedVariety["resistantSlope"],
    forms: FittedForm[] = [line({}), hill],
  ): VarietyFit["resistant"] => {
    const cells = rates.map((rateSeedsPerM2) => ({
      block: "",
      rateSeedsPerM2,
      strips: 1,
      meanYieldKgPerHa: 4000 - 0.02 * (rateSeedsPerM2 - 300) ** 2,
    }));
    const fit = { ...fitWith(forms), ratesSeedsPerM2: rates, cells, resistantSlope: slope };
    return addOptima([fit], settings)[0]!.resistant;
  };
  /** A slope that meets 1.5 kg at the rate. */
  const meetsAt = (rate: number, residualSdKgPerHa: number) => ({
    atZero: 1.5 + 0.04 * rate,
    perRate: -0.04,
    residualSdKgPerHa,
  });

  it("is where the slope meets the price, kept to the tested rates", () => {
    const rateOf = (slope: FittedVariety["resistantSlope"]) => resistantOf(slope)?.economicOptimumSeedsPerM2;
    expect(rateOf(meetsAt(350, 1000))).toBeCloseTo(350, 9);
    expect(rateOf(meetsAt(750, 1000))).toBe(500);
    expect(rateOf(meetsAt(50, 1000))).toBe(100);
    expect(resistantOf(null)).toBeNull();
  });

  it("is at odds with the quadratic where that misses the price there by more than the strips' scatter lets it", () => {
    // At 350 the slope is −2, 3.5 below the price. t of 0.995 with 5 df is 4.03214 (printed tables: 4.032):
    // 4.03214 × 0.0041404 × sd reaches 3.5 at a sd of 209.6; with 1 df (63.6567) at 13.28.
    const differs = (sd: number, residualDf: number) =>
      resistantOf(meetsAt(350, sd), [line({}), { ...hill, residualDf }])?.differs;
    expect([differs(209, 5), differs(210, 5)]).toEqual([true, false]);
    expect([differs(13.2, 1), differs(13.4, 1)]).toEqual([true, false]);
    expect(differs(1, 0)).toBe(false);
  });

  it("is not held against a quadratic nearer than a twentieth of the tested range, 20, nor where there is none", () => {
    expect(resistantOf(meetsAt(262.5 + 19.9, 1))?.differs).toBe(false);
    expect(resistantOf(meetsAt(262.5 + 20.1, 1))?.differs).toBe(true);
    expect(resistantOf(meetsAt(262.5 - 20.1, 1))?.differs).toBe(true);
    expect(resistantOf(meetsAt(350, 1), [line({})])?.differs).toBe(false);
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
