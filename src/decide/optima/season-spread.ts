/** The optimum season by season, from each environment's own quadratic, and how much it varies. */
import { tQuantile } from "../../maths/distributions.ts";
import type { Some } from "../../maths/group-by.ts";
import { analyzeTogether } from "../../maths/meta-analysis.ts";
import { rememberedWith } from "../../maths/remembered.ts";
import { fitsByVariety } from "../fits-by-variety.ts";
import { parabolaOf, pointsOf } from "./fit-points.ts";
import type { SeasonMean, SeasonOptima } from "../../vocabulary/pooled-result.ts";
import type { FittedVariety } from "../../vocabulary/result.ts";
import type { Settings } from "../../vocabulary/settings.ts";
import type { RandomMean } from "../../maths/meta-analysis.ts";
import { priceRatioOf } from "./price-ratio.ts";

/** Optimum of one environment's quadratic with its standard error by the delta method, or why it has none. */
export type SeasonOptimum =
  | { kind: "found"; rateSeedsPerM2: number; standardError: number; df: number }
  | { kind: "none"; reason: SeasonOptima["leftOut"][number]["reason"] };

/**
 * Where the slope of the quadratic, blocks taken off, equals the price ratio; it may be outside the tested rates.
 *
 * @param ratio  price of a seed ÷ price of grain [kg/ha per seed/m²]; 0 asks for the most yield
 * Reference check: test/reference/meta-analysis
 */
export function seasonOptimum(
  fit: Pick<FittedVariety, "cells" | "withinCellSs">,
  ratio: number,
): SeasonOptimum {
  const points = pointsOf(fit);
  const parabola = points.starts.length > 3 ? parabolaOf(points) : null;
  if (parabola === null) return { kind: "none", reason: "too-few-rates" };
  const { b, c, k, scale, centre, squaresB, squaresC } = parabola;
  if (!(c < 0)) return { kind: "none", reason: "bends-upward" };
  const df = points.observations - points.groups - 2;
  const rss = points.groupedSs - b * b * squaresB - c * c * squaresC;
  if (df < 1 || !(rss > 1e-12 * points.groupedSs)) return { kind: "none", reason: "error-unknown" };
  const variance = rss / df;
  const short = (ratio * scale - b) / c;
  const standardError =
    (scale / 2 / Math.abs(c)) * Math.sqrt(variance / squaresB + (short * short * variance) / squaresC);
  if (!(standardError > leastError && standardError < mostError))
    return { kind: "none", reason: "error-unknown" };
  return { kind: "found", rateSeedsPerM2: centre + (scale * (k + short)) / 2, standardError, df };
}

/** Standard errors outside these [seeds/m²] come from rounding, not from strips. */
const [leastError, mostError] = [1e-6, 1e9];

/** Per variety, highest yield and most profit: optima of the environments and their summary. */
export function spreadOfSeasons(fits: readonly FittedVariety[], settings: Settings): SeasonOptima[] {
  const level = settings.intervalLevels[1];
  return [...fitsByVariety(fits)].flatMap(([variety, own]) => [
    spreadForYield(own, level),
    spreadOf(own, "economic", priceRatioOf(variety, settings), level),
  ]);
}

/** It depends on no price, so it is kept for the next price. */
const spreadForYield = rememberedWith((own: Readonly<Some<FittedVariety>>, level: number) =>
  spreadOf(own, "yield", 0, level),
);

/** @param own  fits of one variety */
function spreadOf(
  own: Readonly<Some<FittedVariety>>,
  of: SeasonOptima["of"],
  ratio: number,
  level: number,
): SeasonOptima {
  const optima: SeasonOptima["optima"] = [];
  const leftOut: SeasonOptima["leftOut"] = [];
  for (const fit of own) {
    const { environment } = fit;
    const found = seasonOptimum(fit, ratio);
    if (found.kind === "none") leftOut.push({ environment, reason: found.reason });
    else {
      const { rateSeedsPerM2, standardError, df } = found;
      const half = tQuantile((1 + level) / 2, df) * standardError;
      optima.push({
        environment,
        rateSeedsPerM2,
        standardError,
        lower: rateSeedsPerM2 - half,
        upper: rateSeedsPerM2 + half,
      });
    }
  }
  const [{ variety }] = own;
  return { variety, of, optima, leftOut, summary: summarize(optima, level) };
}

function summarize(optima: SeasonOptima["optima"], level: number): SeasonOptima["summary"] {
  if (optima.length < 2) return null;
  const { fixed, q, qDf, qP, iSquaredPct, dersimonianLaird, reml } = analyzeTogether(
    optima.map(({ rateSeedsPerM2 }) => rateSeedsPerM2),
    optima.map(({ standardError }) => standardError ** 2),
    level,
  );
  return {
    fixed: { rateSeedsPerM2: fixed.estimate, standardError: fixed.standardError },
    q,
    qDf,
    qP,
    iSquaredPct,
    dersimonianLaird: asRates(dersimonianLaird),
    reml: asRates(reml),
  };
}

const asRates = ({ tau, estimate, ...others }: RandomMean): SeasonMean => ({
  tauSeedsPerM2: tau,
  rateSeedsPerM2: estimate,
  ...others,
});
