/** Messages of the pooled model of all seasons. */
import type { Finding } from "../vocabulary/trial.ts";
import { fixed, plainStyle } from "../numbers/written-numbers.ts";
import { finding } from "./finding.ts";

const numberText = (count: number): string => fixed(count, 0, plainStyle);

export const nothingToPool = (): Finding =>
  finding(
    "note",
    "nothing-to-pool",
    "No variety was sown at two or more rates in one environment, so there is no response to pool. Sow at least three rates of a variety side by side.",
  );

export const fewRatesToPool = (variety: string, rates: number): Finding =>
  finding(
    "note",
    "few-rates-to-pool",
    `Variety ${variety} was sown at ${rates === 1 ? "one rate" : `${rates} rates`} in all: ${rates === 1 ? "it has a level but no response" : "it has a straight response but no curve"} in the pooled model. Three or more rates are needed for a curve.`,
  );

export const someEnvironmentsTogether = (used: number, all: number): Finding =>
  finding(
    "note",
    "some-environments-together",
    `Next season's rates and the pooled model use ${used} of ${all} environments, spread evenly over the seasons; the rest would hardly change them. Single fits, stand, lodging and protein use all.`,
  );

export const someVarietiesPooled = (used: number, all: number): Finding =>
  finding(
    "note",
    "some-varieties-pooled",
    `The pooled model uses ${used} of ${all} varieties, chosen evenly by name, and says nothing about the others. Next season's rates use the strips of all.`,
  );

export const trendNotSought = (strips: number, most: number): Finding =>
  finding(
    "note",
    "trend-not-sought",
    `A trend across the field is looked for only in up to ${numberText(most)} strips; here there are ${numberText(strips)}. Blocks alone account for better and poorer ground.`,
    { column: "position" },
  );

/** @param change  from the first position to the last, as a share of the mean yield */
export const trendTakenOff = (environment: string, change: number): Finding =>
  finding(
    "note",
    "trend-taken-off",
    `${environment}: from the first position to the last, yield ${change < 0 ? "falls" : "rises"} by about ${fixed(100 * Math.abs(change), 0, plainStyle)}% whatever the rate. Next season's rates allow for that.`,
    { column: "position" },
  );

/** @param times  how many times the standard deviation of the strips in the one is that in the other */
export const scatterUnlike = (least: string, most: string, times: number): Finding =>
  finding(
    "doubt",
    "scatter-unlike",
    `By chance, strips of ${most} differ ${fixed(times, times < 10 ? 1 : 0, plainStyle)} times as much as those of ${least}, but the mixed model assumes the same scatter everywhere: do not rely on its standard errors and tests. The advised rate gives each field and season the weight its own strips deserve.`,
  );

export const poolingUnsettled = (form: string, reason: string): Finding =>
  finding(
    "doubt",
    "pooling-unsettled",
    `The pooled ${form} form could not be fitted reliably${reason === "" ? "" : `: ${reason}`}. Do not rely on its numbers.`,
  );
