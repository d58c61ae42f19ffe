/** Joins common to all field-seasons against lme4, whose joins were searched numerically (`joins.R`). */
import { describe, expect, it } from "vitest";
import { fitSeasons } from "../../../src/model/seasons/fit-seasons.ts";
import { fitPooledForm } from "../../../src/model/pooled/fit-pooled-form.ts";
import { layOutTrial } from "../../../src/model/pooled/trial-layout.ts";
import { defaultSettings, type FormName } from "../../../src/vocabulary/settings.ts";
import { makeTrial } from "../../make-trial.ts";
import nitrogen from "../mixed-models/engelstad-nitro.json" with { type: "json" };
import oats from "../mixed-models/yates-oats.json" with { type: "json" };
import expected from "./case.json" with { type: "json" };

const rowsOf = ({ columns, rows }: { columns: string[]; rows: (string | number)[][] }) =>
  rows.map((row) => Object.fromEntries(columns.map((column, i) => [column, row[i]!])));

const trials = {
  "engelstad-nitro": makeTrial(
    rowsOf(nitrogen).map(({ year, site, rate, yield: grain }) => ({
      season: Number(year),
      field: String(site),
      rateSeedsPerM2: Number(rate),
      yieldKgPerHa: Number(grain),
    })),
  ),
  "yates-oats": makeTrial(
    rowsOf(oats).map(({ block, variety, rate, yield: grain }) => ({
      block: String(block),
      variety: String(variety),
      rateSeedsPerM2: Number(rate),
      yieldKgPerHa: Number(grain),
    })),
  ),
};

describe.each(expected.cases)("$form of $set, pooled", ({ set, form, joins, minusTwoLogLikelihood }) => {
  const trial = trials[set as keyof typeof trials];
  const fits = fitSeasons(trial, defaultSettings).fits;
  const fitted = () => {
    const layout = layOutTrial(fits)!;
    return { layout, found: fitPooledForm(layout, form as FormName, "own", "ML") };
  };

  it("has the likelihood of the best joins", () => {
    const { found } = fitted();
    expect(Math.abs(found.fit.minusTwoLogLikelihood - minusTwoLogLikelihood)).toBeLessThan(1e-5);
    expect(found.converged).toBe(true);
  });

  it("has these joins", () => {
    const { layout, found } = fitted();
    const own = found.joins.map((u) => layout.centreSeedsPerM2 + layout.scaleSeedsPerM2 * u!);
    expect(own.length).toBe(joins.length);
    joins.forEach((join, i) =>
      expect(Math.abs(own[i]! - join) / (2 * layout.scaleSeedsPerM2)).toBeLessThan(1e-3),
    );
  });
});
