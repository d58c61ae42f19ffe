/**
 * What the advice is compared with: the means of the tested rates, the pooled quadratic, and the seasons with each
 * other.
 *
 * The headline uses only the believable curves. Where other readings of the same strips differ from it by more than
 * their uncertainty, the answer says so and its evidence is lowered.
 */
import { fieldOf } from "../../vocabulary/environments.ts";
import { groupBy } from "../../maths/group-by.ts";
import { fitTwoWay } from "../../maths/two-way.ts";
import { indexOfLargest } from "../../maths/weighted-quantiles.ts";
import { ratePoints } from "../../model/forms/rate-points.ts";
import type {
  Belief,
  FormFit,
  NextRate,
  Optimum,
  RateAnova,
  Reason,
  VarietyFit,
} from "../../vocabulary/result.ts";
import { valueAt } from "./curve-table.ts";
import type { NetReturns } from "./net-return.ts";
import type { RateChoice } from "./next-rate.ts";

/** What is compared with the advice, from the fit of one site-year. */
export interface SiteYearReading extends Pick<
  VarietyFit,
  "environment" | "season" | "ground" | "rateFollows" | "cells" | "withinCellSs"
> {
  anova: Pick<RateAnova, "p"> | null;
  forms: readonly Pick<FormFit, "form" | "economicOptimum">[];
}

export interface OtherReadings {
  /** Of the variety. */
  fits: readonly SiteYearReading[];
  /** Most profitable rate by the pooled quadratic of the variety. */
  pooled: Optimum | null;
}

/** With more tested rates than this, the mean of one says little. */
const mostRates = 12;

/** Two means that differ by less than this many standard errors count as equally good. Our own choice. */
const asGood = 1;

/**
 * The same choice, with the reasons to doubt it first, and less evidence where there are some.
 *
 * @param flatZonePerHa  money per hectare within which two rates are as good as each other
 */
export function holdAgainstStrips(
  choice: RateChoice,
  belief: Belief,
  net: NetReturns,
  { fits, pooled }: OtherReadings,
  flatZonePerHa: number,
): RateChoice {
  const reasons = [
    ...disagreement(choice, belief, net, fits, pooled, flatZonePerHa),
    ...contradiction(fits),
    ...tiedToGround(fits),
  ];
  if (reasons.length === 0) return choice;
  const has = (code: Reason["code"]): boolean => reasons.some((reason) => reason.code === code);
  const tied = has("rate-follows-ground");
  const lower =
    has("readings-disagree") || has("seasons-contradict") ? oneWordLess[choice.evidence] : choice.evidence;
  return {
    ...choice,
    evidence: tied && lower !== "none" ? "weak" : lower,
    ...(tied ? { chanceOfGain: null } : {}),
    reasons: [...reasons, ...choice.reasons],
  };
}

/** "none" is kept for strips that show nothing. */
const oneWordLess: Record<NextRate["evidence"], NextRate["evidence"]> = {
  strong: "fair",
  fair: "weak",
  weak: "weak",
  none: "none",
};

function disagreement(
  { economicOptimum: headline, intervals }: RateChoice,
  belief: Belief,
  net: NetReturns,
  fits: readonly SiteYearReading[],
  pooled: Optimum | null,
  flatZonePerHa: number,
): Reason[] {
  if (headline.kind === "none") return [];
  const rate = headline.rateSeedsPerM2;
  const told = (otherSeedsPerM2: number, tested: boolean): Reason[] => [
    {
      code: "readings-disagree",
      numbers: { rateSeedsPerM2: rate, otherSeedsPerM2, otherIs: tested ? "tested-means" : "pooled-curve" },
    },
  ];
  const means = bestTested(belief, net, fits, flatZonePerHa);
  if (means !== null && (rate < means.lower || rate > means.upper)) return told(means.best, true);
  const wide = intervals[1];
  if (pooled?.kind !== "found" || wide === undefined) return [];
  const other = pooled.rateSeedsPerM2;
  const outside = rate < (pooled.lower ?? -Infinity) || rate > (pooled.upper ?? Infinity);
  return outside && (other < wide.lower || other > wide.upper) ? told(other, false) : [];
}

/**
 * The tested rate whose mean earned most, and the tested rates that the best one is then between: the neighbours of
 * those that earned as much, within the flat-zone sum and a standard error of the difference.
 *
 * @returns null with fewer than three or very many rates, or where blocks and rates fall into separate parts
 */
function bestTested(
  belief: Belief,
  { prices, rates: table }: NetReturns,
  fits: readonly SiteYearReading[],
  flatZonePerHa: number,
): { best: number; lower: number; upper: number } | null {
  const means = testedMeans(belief, fits);
  if (means === null) return null;
  const { rates, adjustedMeans, strips, variance } = means;
  const earned = rates.map(
    (rate, k) =>
      adjustedMeans[k]! * valueAt(table, prices.grainPerKg, rate) - valueAt(table, prices.costPerHa, rate),
  );
  const best = indexOfLargest(earned);
  const good = rates.flatMap((rate, k) => {
    const error = Math.sqrt(variance * (1 / strips[k]! + 1 / strips[best]!));
    const enough = flatZonePerHa + asGood * error * valueAt(table, prices.grainPerKg, rate);
    return earned[best]! - earned[k]! <= enough ? [k] : [];
  });
  return {
    best: rates[best]!,
    lower: rates[Math.max(0, good[0]! - 1)]!,
    upper: rates[Math.min(rates.length - 1, good.at(-1)! + 1)]!,
  };
}

/** The tested rates of a variety with their means, adjusted for blocks. */
interface TestedMeans {
  /** Sorted [seeds/m²]. */
  rates: readonly number[];
  adjustedMeans: ArrayLike<number>;
  strips: readonly number[];
  /** Of one strip [(kg/ha)²]. */
  variance: number;
}

type Tested = Pick<SiteYearReading, "cells" | "withinCellSs">;

const meansKnown = new WeakMap<Belief, { of: readonly Tested[]; means: TestedMeans | null }>();

/** They depend on no price, so they are kept for the next price. */
function testedMeans(belief: Belief, fits: readonly SiteYearReading[]): TestedMeans | null {
  const known = meansKnown.get(belief);
  const isKnown = ({ cells, withinCellSs }: Tested, i: number): boolean =>
    cells === known?.of[i]?.cells && withinCellSs === known.of[i].withinCellSs;
  if (known?.of.length === fits.length && fits.every(isKnown)) return known.means;
  const means = belief.testedRates < 3 ? null : meansOf(fits);
  meansKnown.set(belief, { of: fits, means });
  return means;
}

function meansOf(fits: readonly SiteYearReading[]): TestedMeans | null {
  const rates = [...new Set(fits.flatMap(({ cells }) => cells.map((cell) => cell.rateSeedsPerM2)))].sort(
    (a, b) => a - b,
  );
  if (rates.length < 3 || rates.length > mostRates) return null;
  const cells = fits
    .flatMap(({ environment, cells }) =>
      cells.map((cell) => ({ ...cell, block: JSON.stringify([environment, cell.block]) })),
    )
    .sort((a, b) => a.rateSeedsPerM2 - b.rateSeedsPerM2);
  const within = fits.reduce((sum, fit) => sum + fit.withinCellSs, 0);
  const { adjustedMeans, rss, errorDf } = fitTwoWay(ratePoints(cells, within));
  if (adjustedMeans === null || errorDf < 1) return null;
  const strips = rates.map(() => 0);
  for (const cell of cells) strips[rates.indexOf(cell.rateSeedsPerM2)]! += cell.strips;
  return { rates, adjustedMeans, strips, variance: rss / errorDf };
}

/**
 * Of a field's seasons whose best rates exclude each other, the two that are farthest apart: each responds clearly to
 * the rate, and they differ by more than seasons usually shift the need.
 */
function contradiction(fits: readonly SiteYearReading[]): Reason[] {
  const clear = fits.flatMap((fit) => {
    const p = fit.anova?.p ?? 1;
    const optimum = fit.forms.find(({ form }) => form === "quadratic")?.economicOptimum;
    if (p > clearAnswer || optimum === undefined || optimum.kind === "none") return [];
    const { rateSeedsPerM2: rate } = optimum;
    const [lower, upper] =
      optimum.kind === "found"
        ? [optimum.lower ?? -Infinity, optimum.upper ?? Infinity]
        : optimum.edge === "lowest"
          ? [-Infinity, rate]
          : [rate, Infinity];
    return [{ season: fit.season, field: fieldOf(fit), rate, lower, upper }];
  });
  let apart: [(typeof clear)[0], (typeof clear)[0]] | null = null;
  for (const [, ofField] of groupBy(clear, ({ field }) => field))
    for (const low of ofField)
      for (const high of ofField)
        if (
          low.upper < high.lower &&
          high.rate >= farApart * low.rate &&
          (apart === null || high.rate - low.rate > apart[1].rate - apart[0].rate)
        )
          apart = [low, high];
  if (apart === null) return [];
  const [low, high] = apart;
  return [
    {
      code: "seasons-contradict",
      numbers: {
        lowerSeason: low.season,
        lowerSeedsPerM2: low.rate,
        ...(low.lower === -Infinity && low.upper === low.rate ? { lowerOrLess: true } : {}),
        higherSeason: high.season,
        higherSeedsPerM2: high.rate,
        ...(high.upper === Infinity && high.lower === high.rate ? { higherOrMore: true } : {}),
      },
    },
  ];
}

/**
 * Two seasons whose needs are two standard deviations of 0.17 in the log to either side: the most that the priors
 * expect.
 */
const farApart = 1.6;

/** A season's best rate counts if the F test of the rate has at most this p. */
const clearAnswer = 0.05;

/** The strips do not show whether the rate or the ground made the difference. */
const tiedToGround = (fits: readonly SiteYearReading[]): Reason[] =>
  fits.length > 0 && fits.every(({ rateFollows }) => rateFollows !== undefined)
    ? [{ code: "rate-follows-ground", numbers: {} }]
    : [];
