/** What a region says of a farm's varieties: those without strips of their own, and how much it adds to the others. */
import { normalCdf } from "../../maths/distributions.ts";
import { logOn, type LogAxis } from "../../maths/log-axis.ts";
import type { Belief, RegionShare } from "../../vocabulary/result.ts";
import type { RegionNeeds, RegionVariety } from "../../vocabulary/region.ts";
import type { Priors, Settings } from "../../vocabulary/settings.ts";
import { firstBelief } from "./first-belief.ts";
import { needOnAnyFarm, priorsOnFarm, regionGrounds } from "./lean-on-region.ts";
import { recommendedFor } from "./recommended-rate.ts";
import { evenRates } from "./rate-table.ts";
import { averageOverSeasons } from "../forms/believable-curve.ts";
import { movedBy } from "./weigh-curves.ts";

/** What the farm's own strips of other varieties say of it. */
export interface FarmKnown {
  beliefs: readonly Belief[];
  yieldKgPerHa: number;
  errorShare: number;
  /** How much these strips leave believable of each of the region's grounds, in their order; null: nothing is known of them. */
  groundWeights: readonly number[] | null;
}

/**
 * One belief for each variety of the lots that the region knows and the farm has no strips of.
 *
 * The need is the region's, on a farm that lies in it where its other varieties put it; loss and the chance of no response
 * are the region's, decline and seasons as the priors state; the level is the mean yield of the farm's other varieties.
 */
export function beliefsOfRegion(region: RegionNeeds, settings: Settings, farm: FarmKnown): Belief[] {
  const own = new Set(farm.beliefs.map(({ variety }) => variety));
  const wanted = new Set(settings.lots.map(({ variety }) => variety).filter((variety) => !own.has(variety)));
  return region.varieties
    .filter(({ variety }) => wanted.has(variety))
    .map((one) => beliefOfRegion(one, region, settings, farm));
}

function beliefOfRegion(
  { variety, farms, testedSeedsPerM2, testedRates }: RegionVariety,
  region: RegionNeeds,
  settings: Settings,
  { yieldKgPerHa, errorShare, groundWeights }: FarmKnown,
): Belief {
  const need =
    groundWeights === null
      ? needOnAnyFarm(variety, region, settings.priors)
      : regionGrounds(region, settings.priors).flatMap(({ needOf }, g) =>
          needOf(variety).map((part) => ({ ...part, weight: groundWeights[g]! * part.weight })),
        );
  const priors = priorsOnFarm(settings.priors, variety, region);
  const curves = firstBelief({ ...settings, priors }, [], need, recommendedFor(variety, settings));
  const rates = evenRates(testedSeedsPerM2);
  const shares = new Float64Array(rates.length);
  for (const curve of curves)
    averageOverSeasons(curve, rates).forEach((share, x) => (shares[x]! += curve.weight * share));
  const level = shares.reduce((sum, share) => sum + share, 0) / shares.length;
  const expectedKgPerHa = Array.from(shares, (share) => yieldKgPerHa * (1 + share - level));
  return {
    variety,
    meanYieldKgPerHa: yieldKgPerHa,
    testedSeedsPerM2,
    testedRates,
    environments: 0,
    strips: 0,
    priorNeedSeedsPerM2: Math.exp(need.reduce((sum, one) => sum + one.weight * one.logNeed, 0)),
    errorShare,
    ratesSeedsPerM2: rates,
    expectedKgPerHa,
    movedPriors: [],
    curves,
    fields: [],
    fieldShifts: [],
    fieldStrengths: [],
    chanceFieldsDiffer: null,
    stripsAtRates: [],
    noResponseChance: priors.noResponseChance,
    leaning: 0,
    region: { farms, leaning: 1, farmsBelow: 0.5 },
  };
}

/**
 * How much a region adds, and where the farm lies in it.
 *
 * @param byNeed         likelihood of season spread and need, [spread][need]
 * @param withRegion     prior of the same, using the region and the farm's other varieties
 * @param withoutRegion  and on the farm's other varieties alone
 */
export function shareOfRegion(
  variety: string,
  region: RegionNeeds,
  priors: Priors,
  byNeed: Float64Array,
  withRegion: Float64Array,
  withoutRegion: Float64Array,
  needs: LogAxis,
): RegionShare | null {
  const known = region.varieties.find((one) => one.variety === variety);
  if (known === undefined) return null;
  const parts = needOnAnyFarm(variety, region, priors);
  const below = Float64Array.from({ length: needs.count }, (_, j) =>
    parts.reduce(
      (sum, { weight, logNeed, sd }) => sum + weight * normalCdf((logOn(needs, j) - logNeed) / sd),
      0,
    ),
  );
  let [sum, total] = [0, 0];
  byNeed.forEach((value, c) => {
    const weight = value * withRegion[c]!;
    sum += weight * below[c % needs.count]!;
    total += weight;
  });
  return {
    farms: known.farms,
    leaning: movedBy(byNeed, withoutRegion, withRegion, needs.count),
    farmsBelow: sum / total,
  };
}
