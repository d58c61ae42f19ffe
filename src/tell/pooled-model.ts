/** The mixed model of all seasons as tables, for page and terminal alike. */
import type { PooledVariance, Pooling } from "../vocabulary/pooled-result.ts";
import type { NumberTable } from "./charts/chart.ts";
import { formWords } from "./wording/forms.ts";
import { plainNumber, type Measures } from "../numbers/measures.ts";
import { bareRate } from "./wording/optimum.ts";

/** How well each form fits all strips, with a response for each variety or one for all. */
export const supportTable = ({ forms }: Pooling, measures: Measures): NumberTable => ({
  caption: "How well each curve shape fits all seasons (maximum likelihood)",
  head: ["Form", "Response", "Parameters", "AICc", "Weight"],
  rows: forms.map(({ form, sharing, parameters, aicc, weight }) => [
    formWords[form],
    form === "none" ? "none" : sharing === "own" ? "one per variety" : "one for all",
    String(parameters),
    aicc === null ? "–" : plainNumber(aicc, 1, measures),
    weight === null ? "–" : plainNumber(weight, 2, measures),
  ]),
});

const sources: Record<PooledVariance["term"], string> = {
  environment: "field and season",
  block: "block in field and season",
  "variety-in-environment": "variety in field and season",
  "whole-plot": "variety in block",
  "slope-by-environment": "slope by field and season *",
  "slope-by-variety-in-environment": "slope by variety in field and season *",
  "straight-trend-by-environment": "trend across the field",
  "straight-trend-by-block": "trend across the block",
  "smooth-trend-by-environment": "smooth trend across the field",
  strip: "strip",
};

/** How much yield varies from field to field, block to block, strip to strip, and how much the slope of the rate does. */
export const scatterTable = ({ variances }: Pooling, { grainYield }: Measures): NumberTable => ({
  caption: "Sources of variation (mixed model)",
  head: ["Source of variation", "Levels", `Standard deviation (${grainYield.unit})`],
  rows: variances.map(({ term, levels, standardDeviation, zero }) => [
    sources[term],
    String(levels),
    zero ? "none seen" : grainYield.number(standardDeviation),
  ]),
});

/** The terms of both tables, explained where they stand. */
export const modelTerms =
  "AICc: fit corrected for the number of parameters, lower is better. Weight: how strongly the strips favour that shape, out of 1. Standard deviations are estimated by restricted maximum likelihood (REML), which allows for the curves having been fitted to the same strips.";

/** What the star in the table of variation means. */
export const slopeScale = ({ scaleSeedsPerM2 }: Pooling, measures: Measures): string =>
  `* for ${bareRate(scaleSeedsPerM2, measures)} ${measures.rateAxis} more`;
