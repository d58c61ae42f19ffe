/** All seasons of three varieties pooled, step by step from parts that their own cases check. */
import { describe, expect, it } from "vitest";
import {
  fewRatesToPool,
  nothingToPool,
  poolingUnsettled,
  scatterUnlike,
} from "../../../../src/messages/pooling.ts";
import { fitPooledForm, type PooledForm } from "../../../../src/model/pooled/fit-pooled-form.ts";
import { leanSlopes } from "../../../../src/model/pooled/lean-slopes.ts";
import { poolSeasons } from "../../../../src/model/pooled/pool-seasons.ts";
import { pooledFormFits, slopeEstimateOf } from "../../../../src/model/pooled/pooled-estimates.ts";
import { findVarianceUncertainty } from "../../../../src/model/pooled/satterthwaite.ts";
import { layOutTrial } from "../../../../src/model/pooled/trial-layout.ts";
import { unlikeScatter } from "../../../../src/model/pooled/unlike-scatter.ts";
import { testVarietyByRate } from "../../../../src/model/pooled/variety-by-rate.ts";
import { fitSeasons } from "../../../../src/model/seasons/fit-seasons.ts";
import { defaultSettings, type FormName, type Settings } from "../../../../src/vocabulary/settings.ts";
import { makeTrial } from "../../../make-trial.ts";

/** Strips in two blocks; each field and season, and each block, has a level of its own. */
const stripsOf = (
  variety: string,
  season: number,
  rates: readonly number[],
  { need = 330, scatter = 30, loss = 0.15 } = {},
) =>
  rates.flatMap((rateSeedsPerM2, i) =>
    ["1", "2"].map((block, b) => ({
      variety,
      season,
      field: "Hill",
      block,
      rateSeedsPerM2,
      yieldKgPerHa:
        (3600 + 200 * (season - 2023) + 80 * b) * (1 - loss * ((rateSeedsPerM2 / need - 1) / 0.4) ** 2) +
        scatter * Math.sin(7 * i + 3 * b + 5 * season + variety.length),
    })),
  );
const trial = makeTrial([
  ...stripsOf("Alder", 2023, [180, 260, 340, 420]),
  ...stripsOf("Alder", 2024, [180, 260, 340, 420]),
  ...stripsOf("Birch", 2023, [200, 300, 400], { need: 280 }),
  ...stripsOf("Birch", 2024, [200, 300, 400], { need: 300 }),
  ...stripsOf("Cedar", 2024, [220, 380]),
]);
const settingsOf = (forms: FormName[]): Settings => ({ ...defaultSettings, forms });
const fitsOf = (of: typeof trial) => fitSeasons(of, defaultSettings).fits;
const pool = (of: typeof trial, forms: FormName[]) => poolSeasons(of, fitsOf(of), settingsOf(forms));

describe("seasons pooled", () => {
  it("say of each variety where it was, at which rates, and its response in each form", () => {
    const { pooled, findings } = pool(trial, ["none", "quadratic", "linear-plateau"]);
    expect(pooled.map(({ variety, environments, strips }) => [variety, environments, strips])).toEqual([
      ["Alder", 2, 16],
      ["Birch", 2, 12],
      ["Cedar", 1, 4],
    ]);
    expect(pooled.map(({ testedSeedsPerM2 }) => testedSeedsPerM2)).toEqual([
      [180, 420],
      [200, 400],
      [220, 380],
    ]);
    const layout = layOutTrial(fitsOf(trial))!;
    const ml = (form: FormName): PooledForm => fitPooledForm(layout, form, "own", "ML");
    const reml = (form: FormName): PooledForm => {
      const { fit, joins } = ml(form);
      return fitPooledForm(layout, form, "own", "REML", { theta: fit.theta, curve: fit.curve, joins });
    };
    const quadratic = reml("quadratic");
    const uncertainty = findVarianceUncertainty(quadratic.model, quadratic.fit);
    const joined = reml("linear-plateau");
    const forms = [
      // The quadratic comes first, since the others begin from it.
      pooledFormFits(layout, quadratic, uncertainty),
      pooledFormFits(layout, reml("none"), null),
      pooledFormFits(layout, joined, findVarianceUncertainty(joined.model, joined.fit)),
    ];
    const leaning = leanSlopes(layout, quadratic, uncertainty);
    pooled.forEach((one, v) => {
      const slope = slopeEstimateOf(layout, quadratic, uncertainty, v);
      if (slope === null) expect(one.slope).toBeNull();
      else
        for (const [key, value] of Object.entries(slope))
          if (typeof value === "number")
            expect((one.slope as unknown as Record<string, number>)[key]! / value).toBeCloseTo(1, 3);
      const wanted = forms.flatMap((of) => of[v] ?? []);
      expect(one.forms.map(({ form }) => form)).toEqual(wanted.map(({ form }) => form));
      one.forms.forEach((found, i) => {
        const { coefficients, standardErrors, joinProfile } = wanted[i]!;
        for (const [key, value] of Object.entries(coefficients))
          if (typeof value === "number")
            expect((found.coefficients as unknown as Record<string, number>)[key]! / value).toBeCloseTo(1, 3);
        for (const [key, value] of Object.entries(standardErrors)) {
          const error = (found.standardErrors as unknown as Record<string, number | null>)[key];
          if (value === null) expect(error).toBeNull();
          else if (value > 0) expect(error! / value).toBeCloseTo(1, 2);
        }
        expect(found.joinProfile === null).toBe(joinProfile === null);
      });
      const leant = leaning!.varieties[v]!;
      if (leant === null) expect(one.leaning).toBeNull();
      else expect(one.leaning!.slopeShare).toBeCloseTo(leant.slopeShare, 3);
    });
    expect(pooled[0]!.forms.at(-1)!.joinProfile).not.toBeNull();
    expect(pooled[0]!.leaning).not.toBeNull();
    // Cedar has two rates.
    expect(findings).toEqual([fewRatesToPool("Cedar", 2)]);
  });

  it("compare forms by their likelihoods, own and common", () => {
    const { pooling, varietyByRate } = pool(trial, ["none", "quadratic", "linear-plateau"]);
    const layout = layOutTrial(fitsOf(trial))!;
    const of = [
      ["none", "own"],
      ["quadratic", "own"],
      ["linear-plateau", "own"],
      ["quadratic", "common"],
      ["linear-plateau", "common"],
    ] as const;
    const { forms, variances, ...rest } = pooling!;
    const keyOf = ({ form, sharing }: { form: string; sharing: string }): string => `${form} ${sharing}`;
    expect(forms.map(keyOf)).toEqual([
      "quadratic own",
      "none own",
      "linear-plateau own",
      "quadratic common",
      "linear-plateau common",
    ]);
    const wanted = of.map(([form, sharing]) => fitPooledForm(layout, form, sharing, "ML"));
    const aiccs = wanted.map(({ fit, parameters: k }) => {
      const n = 32;
      return fit.minusTwoLogLikelihood + 2 * k + (2 * k * (k + 1)) / (n - k - 1);
    });
    const weights = aiccs.map((aicc) => Math.exp((Math.min(...aiccs) - aicc) / 2));
    const total = weights.reduce((a, b) => a + b, 0);
    for (const told of forms) {
      const i = of.findIndex(([form, sharing]) => keyOf({ form, sharing }) === keyOf(told));
      expect(told.minusTwoLogLikelihood).toBeCloseTo(wanted[i]!.fit.minusTwoLogLikelihood, 3);
      expect([told.parameters, told.converged]).toEqual([wanted[i]!.parameters, true]);
      expect(told.aicc).toBeCloseTo(aiccs[i]!, 3);
      expect(told.weight).toBeCloseTo(weights[i]! / total, 4);
    }
    expect(rest).toEqual({
      strips: 32,
      environments: 2,
      environmentsOfTrial: 2,
      centreSeedsPerM2: (16 * 300 + 12 * 300 + 4 * 300) / 32,
      scaleSeedsPerM2: 120,
      converged: true,
    });
    const quadratic = fitPooledForm(layout, "quadratic", "own", "REML");
    expect(variances.map(({ term, levels }) => [term, levels])).toEqual([
      ["environment", 2],
      ["block", 4],
      ["variety-in-environment", 5],
      ["whole-plot", 10],
      ["slope-by-environment", 2],
      ["slope-by-variety-in-environment", 5],
      ["strip", 32],
    ]);
    variances.forEach(({ standardDeviation, zero }, t) => {
      const variance = quadratic.fit.variances[t]?.covariance[0] ?? quadratic.fit.residualVariance;
      expect(Math.abs(standardDeviation - Math.sqrt(variance))).toBeLessThan(0.5);
      expect(zero).toBe(standardDeviation === 0);
    });
    // As `variety-by-rate` has it from the same fits.
    const ml = (sharing: "own" | "common") =>
      new Map(wanted.filter((one) => one.sharing === sharing).map((one) => [one.form, one]));
    const uncertainty = findVarianceUncertainty(quadratic.model, quadratic.fit);
    const direct = testVarietyByRate(
      quadratic,
      uncertainty,
      { own: ml("own"), common: ml("common") },
      forms,
      leanSlopes(layout, quadratic, uncertainty),
      settingsOf(["none", "quadratic", "linear-plateau"]),
    )!;
    expect(varietyByRate!.verdict).toBe(direct.verdict);
    expect(varietyByRate!.likelihoodRatio.chiSquare).toBeCloseTo(direct.likelihoodRatio.chiSquare, 2);
    expect(varietyByRate!.likelihoodRatio.df).toBe(direct.likelihoodRatio.df);
  });

  it("tell only the forms that are asked for, and compare no varieties where there is one", () => {
    const one = makeTrial(stripsOf("Alder", 2023, [180, 260, 340, 420]));
    const { pooling, pooled, varietyByRate, seasonCovariates, positionTrend, findings } = pool(one, [
      "linear",
    ]);
    expect(pooling!.forms.map(({ form, sharing, weight }) => [form, sharing, weight])).toEqual([
      ["linear", "own", 1],
    ]);
    expect(pooled[0]!.forms.map(({ form }) => form)).toEqual(["linear"]);
    expect(pooled[0]!.leaning).toBeNull();
    expect([varietyByRate, seasonCovariates, positionTrend, findings]).toEqual([null, [], null, []]);
  });
});

describe("what is said of a pooled model", () => {
  it("is that there is nothing to pool, or nothing at all", () => {
    const single = makeTrial([...stripsOf("Alder", 2023, [180]), ...stripsOf("Birch", 2023, [200])]);
    const nothing = {
      pooled: [],
      pooling: null,
      varietyByRate: null,
      seasonCovariates: [],
      positionTrend: null,
    };
    expect(pool(single, ["quadratic"])).toEqual({ ...nothing, findings: [nothingToPool()] });
    expect(poolSeasons(single, [], settingsOf(["quadratic"]))).toEqual({ ...nothing, findings: [] });
  });

  it("is that strips scatter much more in one field than in another", () => {
    const unlike = makeTrial([
      ...stripsOf("Alder", 2023, [180, 260, 340, 420, 480], { scatter: 10 }),
      ...stripsOf("Alder", 2024, [180, 260, 340, 420, 480], { scatter: 300 }),
    ]);
    const { findings } = pool(unlike, ["quadratic"]);
    const { least, most } = unlikeScatter(fitsOf(unlike))!;
    expect([least.environment, most.environment]).toEqual(["2023 Hill", "2024 Hill"]);
    const times = most.sdKgPerHa / least.sdKgPerHa;
    expect(times).toBeGreaterThan(10);
    expect(findings).toEqual([scatterUnlike("2023 Hill", "2024 Hill", times)]);
  });

  it("is which forms did not settle, and that there is no likelihood without scatter", () => {
    const exact = makeTrial(stripsOf("Alder", 2023, [180, 260, 340, 420], { scatter: 0, loss: 0 }));
    const { findings, pooling } = pool(exact, ["none", "quadratic"]);
    const reason = "the curves go through every strip, so there is no scatter to judge by";
    expect(findings).toEqual([poolingUnsettled("quadratic", reason), poolingUnsettled("none", reason)]);
    expect(pooling!.converged).toBe(false);
    expect(pooling!.forms.map((form) => form.minusTwoLogLikelihood)).toEqual([null, null]);
    expect(pooling!.variances.at(-1)).toMatchObject({ term: "strip", standardDeviation: 0, zero: true });
  });
});
