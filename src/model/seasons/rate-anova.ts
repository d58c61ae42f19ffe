/** Analysis of variance of one variety in one environment: blocks, then rates as a factor, split into line, bend and rest. */
import { fUpperTail } from "../../maths/distributions.ts";
import { roundingSs, type GroupedPoints } from "../../maths/grouped-points.ts";
import { averageDifferenceVariance, fitTwoWay } from "../../maths/two-way.ts";
import { leastSignificantDifference } from "./least-significant-difference.ts";
import type { AnovaTerm, FittedForm, RateAnova } from "../../vocabulary/result.ts";
import type { FormName, Settings } from "../../vocabulary/settings.ts";

/** Above so many rates (every strip its own) a table of rate means and their differences says nothing. */
const mostRatesCompared = 50;

/**
 * Sums of squares of blocks (unadjusted), rates (adjusted for blocks) and error, with F, CV and LSD.
 *
 * The rate sum of squares is split in order: linear, quadratic, the rest (lack of fit). The least significant
 * difference is given only after a significant F; where the strips are not balanced it is that of the average pair.
 *
 * @param forms  fitted to the same points; the split needs `linear` and `quadratic`
 * @returns null with one rate only, or without error degrees of freedom
 * Source: Gomez & Gomez (1984), Statistical Procedures for Agricultural Research, 2nd ed., chs. 2 and 5; LSD after a
 * significant F as advised by Univ. of Nebraska CropWatch. Reference check: test/reference/rate-anova
 */
export function rateAnova(
  points: GroupedPoints,
  forms: readonly FittedForm[],
  settings: Pick<Settings, "testLevel">,
): RateAnova | null {
  const rates = points.starts.length - 1;
  const { rss, levelDf, errorDf, adjustedMeans } = fitTwoWay(points);
  if (levelDf < 1 || errorDf < 1) return null;
  const errorSs = rss <= roundingSs(points) ? 0 : rss;
  const errorMs = errorSs / errorDf;
  const term = (df: number, ss: number): AnovaTerm => {
    const f = errorMs > 0 ? Math.max(0, ss) / df / errorMs : null;
    return { df, ss: Math.max(0, ss), f, p: f === null ? null : fUpperTail(f, df, errorDf) };
  };
  const rate = term(levelDf, points.groupedSs - errorSs);
  const rssOf = (name: FormName): number | null => forms.find((fit) => fit.form === name)?.rss ?? null;
  const [line, bend] = [rssOf("linear"), rssOf("quadratic")];
  const significant = rate.p !== null && rate.p < settings.testLevel;
  const compared = rates <= mostRatesCompared;
  return {
    blockDf: points.groups - 1,
    blockSs: points.totalSs - points.groupedSs,
    rateDf: levelDf,
    rateSs: rate.ss,
    errorDf,
    errorSs,
    totalSs: points.totalSs,
    f: rate.f,
    p: rate.p,
    linear: line === null ? null : term(1, points.groupedSs - line),
    quadratic: line === null || bend === null ? null : term(1, line - bend),
    lackOfFit: bend === null || levelDf < 3 ? null : term(levelDf - 2, bend - errorSs),
    grandMeanKgPerHa: points.mean,
    cvPct: points.mean > 0 ? (100 * Math.sqrt(errorMs)) / points.mean : null,
    lsdKgPerHa:
      significant && compared && adjustedMeans !== null
        ? leastSignificantDifference(errorMs * averageDifferenceVariance(points), errorDf, settings.testLevel)
        : null,
    rates: compared ? rateMeans(points, adjustedMeans) : [],
  };
}

function rateMeans(points: GroupedPoints, adjusted: Float64Array | null): RateAnova["rates"] {
  return Array.from({ length: points.starts.length - 1 }, (_, k) => {
    let [strips, sum] = [0, 0];
    for (let i = points.starts[k]!; i < points.starts[k + 1]!; i++) {
      strips += points.weight[i]!;
      sum += points.weight[i]! * (points.y[i]! + points.groupMean[points.group[i]!]!);
    }
    return {
      rateSeedsPerM2: points.x[points.starts[k]!]!,
      strips,
      meanYieldKgPerHa: sum / strips,
      adjustedMeanKgPerHa: adjusted?.[k] ?? null,
    };
  });
}
