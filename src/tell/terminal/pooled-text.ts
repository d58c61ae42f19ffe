/** All seasons together, as tables: curves of each variety, whether varieties differ, what scatters how much. */
import type { PooledVariance } from "../../pooled-result.ts";
import type { Result } from "../../result.ts";
import { plainNumber, type Measures } from "../wording/measures.ts";
import { bareRate, optimumCell } from "../wording/optimum.ts";
import { varietiesDiffer, varietyByRateTest } from "../wording/seasons-together.ts";
import { indented, orDash, textTable, type TextColumn, type TextStyle } from "./text-table.ts";

const left = (heading: string): TextColumn => ({ heading });
const right = (heading: string): TextColumn => ({ heading, align: "right" });

function curvesText(result: Result, measures: Measures, style: TextStyle): string {
  const columns = [
    ...[left("variety"), right("field-seasons"), right("strips"), left("form")],
    ...[left("most grain"), left("most money")],
  ];
  const rows = result.pooled.flatMap(({ variety, environments, strips, forms, ...leaned }) => [
    ...forms.map((form, i) => [
      ...(i === 0 ? [variety, String(environments), String(strips)] : ["", "", ""]),
      form.form,
      optimumCell(form.yieldOptimum, measures),
      optimumCell(form.economicOptimum, measures),
    ]),
    ...(leaned.leanedYieldOptimum === null || leaned.leanedEconomicOptimum === null
      ? []
      : [
          [
            ...["", "", "", "quadratic, leaning on the others"],
            optimumCell(leaned.leanedYieldOptimum, measures),
            optimumCell(leaned.leanedEconomicOptimum, measures),
          ],
        ]),
  ]);
  return textTable(columns, rows, style);
}

function supportText(
  { forms }: NonNullable<Result["pooling"]>,
  measures: Measures,
  style: TextStyle,
): string {
  const columns = [
    ...[left("form"), left("responses of the varieties")],
    ...[right("parameters"), right("AICc"), right("weight")],
  ];
  const rows = forms.map(({ form, sharing, parameters, aicc, weight }) => [
    form,
    form === "none" ? "none" : sharing === "own" ? "each its own" : "one for all",
    String(parameters),
    orDash(aicc, (value) => plainNumber(value, 1, measures)),
    orDash(weight, (value) => plainNumber(value, 2, measures)),
  ]);
  return textTable(columns, rows, style);
}

const sources: Record<PooledVariance["term"], string> = {
  environment: "field and season",
  block: "block in field and season",
  "variety-in-environment": "variety in field and season",
  "whole-plot": "variety in block",
  "slope-by-environment": "slope by field and season",
  "slope-by-variety-in-environment": "slope by variety in field and season",
  "straight-trend-by-environment": "trend across the field",
  "straight-trend-by-block": "trend across the block",
  "smooth-trend-by-environment": "smooth trend across the field",
  strip: "strip",
};

function scatterText(pooling: NonNullable<Result["pooling"]>, measures: Measures, style: TextStyle): string {
  const { unit } = measures.grainYield;
  const columns = [left("source of scatter"), right("levels"), right(`standard deviation (${unit})`)];
  const rows = pooling.variances.map(({ term, levels, standardDeviation, zero }) => [
    term.startsWith("slope-") ? `${sources[term]} *` : sources[term],
    String(levels),
    zero ? "none seen" : measures.grainYield.number(standardDeviation),
  ]);
  const per = `* for ${bareRate(pooling.scaleSeedsPerM2, measures)} ${measures.rateAxis} more`;
  return `${textTable(columns, rows, style)}\n${per}`;
}

/** Sections on all seasons together; none where nothing could be pooled. */
export function pooledSections(result: Result, measures: Measures, style: TextStyle): string[] {
  const { pooling } = result;
  if (pooling === null) return [];
  const section = (heading: string, ...texts: string[]): string =>
    [style.heading(heading), ...texts.filter((text) => text !== "").map((text) => indented(text))].join("\n");
  return [
    section(
      `All seasons together: response curves, rates in ${measures.rateAxis}`,
      curvesText(result, measures, style),
    ),
    section("Support of the forms", supportText(pooling, measures, style)),
    section("Do varieties differ?", varietiesDiffer(result), varietyByRateTest(result, measures)),
    section("What differs how much", scatterText(pooling, measures, style)),
  ];
}
