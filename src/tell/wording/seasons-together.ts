/** What all seasons show together: whether varieties differ, how much seasons differ, and what changes the best rate. */
import type { SeasonCovariate } from "../../vocabulary/pooled-result.ts";
import type { Result } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import { rangeName } from "./optimum.ts";
import { countWord, dayInWords, siteYears, fixed, pValue } from "../../numbers/written-numbers.ts";

/** The answer to "do my varieties need different rates?", in words a grower uses. */
export function varietiesDiffer(result: Result): string {
  if (result.varieties.length < 2) return "There is only one variety, so there is nothing to compare.";
  switch (result.varietyByRate?.verdict) {
    case "differ":
      return "Yes: the varieties respond differently to the seeding rate, by more than chance differences between strips. Give each its own rate.";
    case "alike":
      return "Hardly: one response curve for all varieties fits these strips as well as one for each. Much the same rate will suit all of them; what differs is their seed price and today's rate.";
    case "not-shown":
      return "Not shown: the strips prove neither that the varieties need different rates nor that one rate suits all. Each variety gets its own answer, which also uses the other varieties' strips as far as the varieties are alike.";
    case undefined:
      return "The strips do not allow a comparison: no two varieties were tested at enough rates.";
  }
}

/** The test behind it, for those who want to check. */
export function varietyByRateTest(result: Result, measures: Measures): string {
  const test = result.varietyByRate;
  if (test === null) return "";
  const { style } = measures;
  const f =
    test.f === null
      ? ""
      : `F ${fixed(test.f.f, 2, style)} with ${fixed(test.f.numeratorDf, 0, style)} and ${fixed(test.f.denominatorDf, 1, style)} degrees of freedom, p ${pValue(test.f.p, style)}; `;
  const { likelihoodRatio: ratio, aiccCommonLessOwn: aicc } = test;
  const fit =
    aicc === null
      ? ""
      : ` By AICc (fit corrected for the number of parameters, lower is better), a response for each variety is ${fixed(Math.abs(aicc), 1, style)} ${aicc >= 0 ? "better" : "worse"} than one for all.`;
  return `Test of variety × rate: ${f}likelihood ratio ${fixed(ratio.chiSquare, 1, style)} with ${ratio.df} degrees of freedom, p ${pValue(ratio.p, style)}.${fit}`;
}

/** How much a variety's best rate changes from site-year to site-year; "" where that is not known. */
export function seasonSpreadSentence(result: Result, variety: string, measures: Measures): string {
  const found = result.seasons.find((one) => one.variety === variety && one.of === "economic");
  const summary = found?.summary?.reml;
  if (found === undefined || summary === undefined) return "";
  const spread = summary.tauSeedsPerM2;
  const grown = result.fits.filter((fit) => fit.variety === variety).length;
  const shown = found.optima.length;
  const over =
    shown === grown
      ? `Over ${siteYears(shown)} the best rate`
      : `Over the ${countWord(shown, measures.style)} of ${siteYears(grown)} that show a best rate of their own, it`;
  if (measures.rate.value(spread) < measures.rate.finest / 2)
    return `${over} changed by no more than chance.`;
  return `${over} typically went ${measures.rate.text(spread, spread * 4)} up or down from one to the next.`;
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

/** Nobody foresees a yield to better than a fifth: levels are given in round numbers. */
const yieldDoubt = 0.2;

/**
 * What changes the best rate: the estimate with its interval, and advice only where the strips support it.
 *
 * @param level of the interval
 */
export function covariateSentence(covariate: SeasonCovariate, level: number, measures: Measures): string {
  const { name, at } = covariateWords[covariate.covariate];
  const { optimumChange: change, low, high } = covariate;
  const seen = `over ${siteYears(covariate.environments)}`;
  if (change === null) return `${name}: the best rate shows no clear change with it ${seen}.`;
  const width = high - low;
  const found = `${moreOrLess(change.estimate * width, covariate, change, measures)} ${at(high, measures)} than ${at(low, measures)}`;
  const range = `${rangeName(level, measures)} ${measures.rate.range(...rising(change.lower * width, change.upper * width))}`;
  if (!covariate.supported)
    return `${name}: the best rate shows no clear change with it ${seen} (${found}; ${range}).`;
  return `${name}: the best rate was ${found} (${range}). Compared with the rate advised, that is about ${atEnds(covariate, change, measures)}.`;
}

type OptimumChange = NonNullable<SeasonCovariate["optimumChange"]>;

/** "0.36 million seeds/ac less", as exact as the change is known over the middle half of the environments. */
function moreOrLess(
  moved: number,
  { low, high }: Pick<SeasonCovariate, "low" | "high">,
  { lower, upper }: OptimumChange,
  { rate }: Measures,
): string {
  return `${rate.text(Math.abs(moved), (upper - lower) * (high - low))} ${moved < 0 ? "less" : "more"}`;
}

/** Either end of the middle half of the environments against their mean, which the advice is for. */
function atEnds(covariate: SeasonCovariate, change: OptimumChange, measures: Measures): string {
  const { low, high, mean } = covariate;
  const { at } = covariateWords[covariate.covariate];
  const side = (value: number): string =>
    `${moreOrLess(change.estimate * (value - mean), covariate, change, measures)} ${at(value, measures)}`;
  return `${side(low)} and ${side(high)}`;
}

/** The line under the table on dry and wet seasons; "" where water was not noted often enough. */
export function dryOrWetLine(
  { seasonCovariates }: Pick<Result, "seasonCovariates">,
  measures: Measures,
): string {
  const water = seasonCovariates.find(({ covariate }) => covariate === "water");
  if (water === undefined) return "";
  const { optimumChange: change, supported, environments } = water;
  return !supported || change === null
    ? `And in a dry or wet season? The best rate shows no clear change with water over ${siteYears(environments)}.`
    : `And in a dry or wet season? Compared with the rate advised, about ${atEnds(water, change, measures)}. You know that before seeding only where you irrigate.`;
}

const rising = (a: number, b: number): [number, number] => (a < b ? [a, b] : [b, a]);

/** How much a variety's answer uses the others' strips; "" with one variety. */
export function leaningSentence(result: Result, variety: string, measures: Measures): string {
  const belief = result.beliefs.find((one) => one.variety === variety);
  if (belief === undefined || result.varieties.length < 2) return "";
  if (belief.leaning < 0.05)
    return "Its rate comes from its own strips; the other varieties add almost nothing.";
  return `About ${measures.share(belief.leaning)} of what is known about its rate comes from the other varieties' strips.`;
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
      : ` (AICc, a measure of fit, is ${fixed(Math.abs(plain - trended), 1, style)} lower ${chosen === "none" ? "without one" : "with it"})`;
  return chosen === "none"
    ? `No trend across the field was found${reason}.`
    : `A trend across the field was found and removed${reason}: the standard deviation between strips is then ${grainYield.text(scatterWith)} instead of ${grainYield.text(scatterWithout)}.`;
}
