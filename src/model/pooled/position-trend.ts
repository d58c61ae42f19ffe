/** Does yield drift across the field, apart from varieties, rates and blocks? */
import type { PositionTerm, PositionTrend } from "../../vocabulary/pooled-result.ts";
import type { FittedVariety } from "../../vocabulary/result.ts";
import { trendNotSought } from "../../messages/pooling.ts";
import type { Finding, Strip } from "../../vocabulary/trial.ts";
import { environmentId } from "../../vocabulary/environments.ts";
import { fewestPositions } from "../beliefs/field-trend.ts";
import { akaikeWeights, mixedAkaike } from "../seasons/compare-forms.ts";
import { fitPooledForm, type StartingPoint } from "./fit-pooled-form.ts";
import { evenly } from "../choose-environments.ts";
import { groupByVariety } from "../seasons/rate-cells.ts";
import { layOutTrial } from "./trial-layout.ts";
import type { LaidVariety } from "./trial-layout.ts";

/** With more strips than this no trend is looked for: each strip is a separate place in the model. */
const mostStrips = 60_000;

/**
 * Trends are compared on an evenly spaced sample of the environments with about so many strips: a clear trend shows in
 * these, too.
 */
const enoughStrips = 6_000;

/** A trend must improve the criterion by this much: chance alone easily makes one more variance look useful. */
const clearly = 2;

const trends: (PositionTerm | "none")[] = [
  "none",
  "straight-trend-by-environment",
  "straight-trend-by-block",
  "smooth-trend-by-environment",
];

/**
 * Compares no trend, straight ones and a smooth one by AICc, quadratic with own responses, maximum likelihood.
 *
 * @param fits    what is pooled
 * @param strips  all strips, with their positions
 * @returns the trend, null where too few positions are given or there are too many strips; the cells to pool, single
 *   strips where a trend was chosen, else the cells of the fits; and if none was chosen, their fit to begin from
 */
export function choosePositionTrend(
  fits: readonly FittedVariety[],
  strips: readonly Strip[],
): {
  trend: PositionTrend | null;
  cells: readonly LaidVariety[];
  start?: StartingPoint | undefined;
  findings: Finding[];
} {
  const pooled = new Set(fits.map(({ environment }) => environment));
  const inPooled = strips.filter((strip) => pooled.has(environmentId(strip)));
  const telling = environmentsWithPositions(inPooled);
  const without = { trend: null, cells: fits, findings: [] };
  if (telling.size === 0) return without;
  if (inPooled.length > mostStrips)
    return { ...without, findings: [trendNotSought(inPooled.length, mostStrips)] };
  const sample = sampleOf(inPooled, telling);
  const compared = compareTrends(stripsAlone(sample, telling));
  const [none] = compared;
  if (none === undefined || none.aicc === null) return without;
  let best = none;
  for (const one of compared)
    if (one.aicc !== null && one.aicc < Math.min(best.aicc!, none.aicc - clearly)) best = one;
  const weights = akaikeWeights(compared.map(({ aicc }) => aicc));
  return {
    trend: {
      ...countOf(sample.filter((strip) => strip.position !== null && telling.has(environmentId(strip)))),
      chosen: best.trend,
      descriptions: compared.map(({ trend, aicc }, i) => ({ trend, aicc, weight: weights[i]! })),
      scatterWithout: none.scatter,
      scatterWith: best.scatter,
    },
    cells: best.trend === "none" ? fits : stripsAlone(inPooled, telling),
    start: best.trend !== "none" ? undefined : sample === inPooled ? none.fit : { theta: none.fit.theta },
    findings: [],
  };
}

const countOf = (strips: readonly Strip[]): { strips: number; environments: number } => ({
  strips: strips.length,
  environments: new Set(strips.map(environmentId)).size,
});

interface ComparedTrend {
  trend: PositionTerm | "none";
  aicc: number | null;
  /** Residual sd [kg/ha]. */
  scatter: number;
  fit: StartingPoint;
}

/** No trend first, from whose variances the others start. */
function compareTrends(single: readonly LaidVariety[]): ComparedTrend[] {
  let start: StartingPoint | undefined;
  return trends.flatMap((trend) => {
    const layout = layOutTrial(single, trend);
    if (layout === null) return [];
    const fit = fitPooledForm(
      layout,
      "quadratic",
      "own",
      "ML",
      start && { theta: Float64Array.from([...start.theta, 0.5]) },
    );
    start ??= fit.fit;
    return [{ trend, aicc: mixedAkaike(fit), scatter: Math.sqrt(fit.fit.residualVariance), fit: fit.fit }];
  });
}

/** All strips if they are few; otherwise those of an even sample of environments with positions, large enough. */
function sampleOf(strips: readonly Strip[], telling: ReadonlySet<string>): readonly Strip[] {
  if (strips.length <= enoughStrips) return strips;
  const count = Math.ceil((enoughStrips / strips.length) * telling.size);
  const kept = new Set(evenly([...telling].sort(), count));
  return strips.filter((strip) => kept.has(environmentId(strip)));
}

/** Environments whose strips are at enough different positions to show a trend. */
function environmentsWithPositions(strips: readonly Strip[]): ReadonlySet<string> {
  const positions = new Map<string, Set<number>>();
  for (const strip of strips) {
    if (strip.position === null) continue;
    const environment = environmentId(strip);
    const known = positions.get(environment);
    if (known === undefined) positions.set(environment, new Set([strip.position]));
    else known.add(strip.position);
  }
  return new Set(
    [...positions].flatMap(([environment, places]) => (places.size >= fewestPositions ? [environment] : [])),
  );
}

/** Every strip as a cell, with its position in environments where positions can show a trend. */
const stripsAlone = (strips: readonly Strip[], telling: ReadonlySet<string>): LaidVariety[] =>
  groupByVariety(strips)
    .flat()
    .map(({ variety, environment, strips: own }) => ({
      variety,
      environment,
      withinCellSs: 0,
      cells: own.map((strip) => ({
        block: strip.block,
        rateSeedsPerM2: strip.rateSeedsPerM2,
        strips: 1,
        meanYieldKgPerHa: strip.yieldKgPerHa,
        position: telling.has(environment) ? strip.position : null,
      })),
    }));
