/** What all seasons say together: do varieties differ, how much do seasons, what the best rate moves with. */
import type { SeasonCovariate } from "../../pooled-result.ts";
import type { Result } from "../../result.ts";
import type { Measures } from "./measures.ts";
import { fieldSeasons, fixed, pValue } from "./numbers.ts";

/** The answer to "do my varieties need different rates?", in words a grower uses. */
export function varietiesDiffer(result: Result): string {
  if (result.varieties.length < 2) return "There is one variety; nothing to compare.";
  switch (result.varietyByRate?.verdict) {
    case "differ":
      return "Yes: on this farm the varieties answer differently to the seeding rate, by more than strips differ by chance. Give each its own rate.";
    case "alike":
      return "Hardly: one common response tells these strips as well as one for each variety. Much the same rate will do for all of them; what differs is their seed price and today's rate.";
    case "not-shown":
      return "Not shown: the strips neither prove that the varieties need different rates nor that one rate will do. Each variety is told on its own, and leans on the others as far as they are alike.";
    case undefined:
      return "The strips do not allow a comparison: no two varieties were tested at enough rates.";
  }
}

/** The test behind it, for who wants to check. */
export function varietyByRateTest(result: Result, measures: Measures): string {
  const test = result.varietyByRate;
  if (test === null) return "";
  const { style } = measures;
  const f =
    test.f === null
      ? ""
      : `F ${fixed(test.f.f, 2, style)} with ${fixed(test.f.numeratorDf, 0, style)} and ${fixed(test.f.denominatorDf, 1, style)} degrees of freedom, p ${pValue(test.f.p, style)}; `;
  const aicc =
    test.aiccCommonLessOwn === null
      ? ""
      : `; AICc of one common response less that of own responses ${fixed(test.aiccCommonLessOwn, 1, style)}`;
  return `Variety × rate: ${f}likelihood ratio ${fixed(test.likelihoodRatio.chiSquare, 1, style)} with ${test.likelihoodRatio.df} df, p ${pValue(test.likelihoodRatio.p, style)}${aicc}.`;
}

/** How much the best rate of a variety moves from field-season to field-season; "" where that is not known. */
export function seasonSpreadSentence(result: Result, variety: string, measures: Measures): string {
  const found = result.seasons.find((one) => one.variety === variety && one.of === "economic");
  const summary = found?.summary?.reml;
  if (found === undefined || summary === undefined) return "";
  const spread = summary.tauSeedsPerM2;
  const count = fieldSeasons(found.optima.length);
  if (measures.rate.value(spread) < measures.rate.finest / 2)
    return `Over ${count} the best rate did not move by more than strips differ by chance.`;
  return `Over ${count} the best rate moved by about ${measures.rate.text(spread, spread * 4)} up or down from one to the next.`;
}

const covariateWords: Record<SeasonCovariate["covariate"], { higher: string; one: string }> = {
  "yield-level": { higher: "in better years and fields", one: "higher yield level" },
  water: { higher: "with more water", one: "more water" },
  "seeding-day": { higher: "when seeded later", one: "later seeding" },
};

/** What the best rate moves with; only what the strips support is advised. */
export function covariateSentence(covariate: SeasonCovariate, measures: Measures): string {
  const words = covariateWords[covariate.covariate];
  const change = covariate.optimumChange;
  if (!covariate.supported || change === null)
    return `${words.one.charAt(0).toUpperCase()}${words.one.slice(1)}: no change of the best rate is shown over ${fieldSeasons(covariate.environments)}.`;
  const width = covariate.high - covariate.low;
  const moved = change.estimate * width;
  const sign = moved > 0 ? "higher" : "lower";
  return `The best rate was ${sign} ${words.higher}: by about ${measures.rate.text(Math.abs(moved), (change.upper - change.lower) * width)} between the ordinary low and the ordinary high (likely ${measures.rate.range(...rising(change.lower * width, change.upper * width))}).`;
}

const rising = (a: number, b: number): [number, number] => (a < b ? [a, b] : [b, a]);

/** How far a variety leaned on the others, as a sentence; "" with one variety. */
export function leaningSentence(result: Result, variety: string, measures: Measures): string {
  const belief = result.beliefs.find((one) => one.variety === variety);
  if (belief === undefined || result.varieties.length < 2) return "";
  if (belief.leaning < 0.05)
    return "It is judged by its own strips; the other varieties change next to nothing.";
  return `About ${measures.share(belief.leaning)} of what is believed of its rate comes from the other varieties.`;
}
