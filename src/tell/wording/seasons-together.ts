/** What all seasons say together: do varieties differ, how much do seasons, what the best rate moves with. */
import type { SeasonCovariate } from "../../vocabulary/pooled-result.ts";
import type { Result } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import { dayInWords, fieldSeasons, fixed, pValue } from "../../numbers/written-numbers.ts";

/** The answer to "do my varieties need different rates?", in words a grower uses. */
export function varietiesDiffer(result: Result): string {
  if (result.varieties.length < 2) return "There is one variety; nothing to compare.";
  switch (result.varietyByRate?.verdict) {
    case "differ":
      return "Yes: the varieties answer differently to the seeding rate, by more than strips differ by chance. Give each its own rate.";
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

interface CovariateWords {
  name: string;
  /** Where a variety meets such a value: "at 52 bu/ac". */
  at: (value: number, measures: Measures) => string;
}

const covariateWords: Record<SeasonCovariate["covariate"], CovariateWords> = {
  "yield-level": {
    name: "Yield level",
    at: (level, { grainYield }) => `at ${grainYield.text(level, yieldDoubt * level)}`,
  },
  water: { name: "Water", at: (depth, { water }) => `with ${water.text(depth)}` },
  "seeding-day": { name: "Seeding date", at: (day, { style }) => `seeded by ${dayInWords(day, style)}` },
};

/** Nobody foresees a yield closer than within a fifth: levels are told in round numbers. */
const yieldDoubt = 0.2;

/** What the best rate moves with: the estimate and its interval, and advice only where the strips support it. */
export function covariateSentence(covariate: SeasonCovariate, measures: Measures): string {
  const { name, at } = covariateWords[covariate.covariate];
  const { optimumChange: change, low, high, mean } = covariate;
  const seen = `over ${fieldSeasons(covariate.environments)}`;
  if (change === null) return `${name}: no change of the best rate is shown ${seen}.`;
  const { rate } = measures;
  const width = high - low;
  const doubt = (change.upper - change.lower) * width;
  const moreOrLess = (moved: number): string =>
    `${rate.text(Math.abs(moved), doubt)} ${moved < 0 ? "less" : "more"}`;
  const found = `${moreOrLess(change.estimate * width)} ${at(high, measures)} than ${at(low, measures)}`;
  const likely = `likely ${rate.range(...rising(change.lower * width, change.upper * width))}`;
  if (!covariate.supported)
    return `${name}: no change of the best rate is shown ${seen} (${found}; ${likely}).`;
  const side = (value: number): string =>
    `${moreOrLess(change.estimate * (value - mean))} ${at(value, measures)}`;
  return `${name}: the best rate was ${found} (${likely}). Beside the rate advised, that is about ${side(low)} and ${side(high)}.`;
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

/** Whether a trend across the field was taken off, and why; "" where no position was given. */
export function trendSentence({ positionTrend }: Result, { grainYield, style }: Measures): string {
  if (positionTrend === null) return "";
  const { chosen, descriptions, scatterWith, scatterWithout } = positionTrend;
  const aiccOf = (trend: string): number | null =>
    descriptions.find((one) => one.trend === trend)?.aicc ?? null;
  const others = descriptions.flatMap(({ trend, aicc }) => (trend === "none" || aicc === null ? [] : [aicc]));
  const [plain, trended] = [aiccOf("none"), chosen === "none" ? Math.min(...others) : aiccOf(chosen)];
  const reason =
    plain === null || trended === null || !Number.isFinite(trended)
      ? ""
      : ` (AICc ${fixed(Math.abs(plain - trended), 1, style)} lower ${chosen === "none" ? "without one" : "with it"})`;
  return chosen === "none"
    ? `No trend across the field was found${reason}.`
    : `A trend across the field was found and taken off${reason}: strips then scatter by ${grainYield.text(scatterWith)} instead of ${grainYield.text(scatterWithout)}.`;
}
