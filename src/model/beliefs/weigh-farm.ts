/** All varieties of a farm weighed together: as the priors state, and under other priors to show what those matter. */
import { kept } from "../../maths/kept.ts";
import type { LogAxis } from "../../maths/log-axis.ts";
import type { RegionNeeds } from "../../vocabulary/region.ts";
import type { MovedPrior } from "../../vocabulary/result.ts";
import type { Priors, Settings } from "../../vocabulary/settings.ts";
import { farmGrounds, farmGroundWeights, type CommonGround } from "./common-ground.ts";
import type { FarmState, Ray } from "./curve-grid.ts";
import type { FieldPlaces } from "./field-places.ts";
import type { GridLikelihood } from "./grid-likelihood.ts";
import { needOnAnyFarm, regionGrounds, responseOdds, statedResponse } from "./lean-on-region.ts";
import { likelihoodInRegion } from "./likelihood-in-region.ts";
import {
  beforeStrips,
  explain,
  groundsAfter,
  leanOnOthers,
  needOnGrounds,
  standAlone,
  type NeedOnGrounds,
  type VarietyOnGrounds,
} from "./lean-varieties.ts";
import { recommendedFor, type Recommended } from "./recommended-rate.ts";
import type { RefinedGrid } from "./refine-grid.ts";
import { shareResponse, type SharedResponse } from "./share-response.ts";
import { gather, gatherLosses, type Gathered } from "./weigh-curves.ts";

/** One variety's strips on the grid that suits them, under the priors that the region leaves to its curves. */
export interface VarietyOnGrid extends RefinedGrid {
  variety: string;
  own: Priors;
}

/** The strips of a farm, each variety on a grid of its own. */
export interface FarmOnGrids {
  varieties: readonly VarietyOnGrid[];
  states: readonly FarmState[];
  /** Of the fields; null where they are not distinguished. */
  places: FieldPlaces | null;
  /** Axis of all needs that are looked at; those of the varieties lie inside. */
  needs: LogAxis;
  /** Where the priors have the need of a variety [seeds/m²]. */
  priorNeedSeedsPerM2: number;
}

/** What one variety's strips leave of the curves of the grid, under one prior of their losses. */
export interface Weighed {
  /** The likelihood that was gathered, with the region's say where it has one. */
  likelihood: GridLikelihood;
  gathered: Gathered;
  response: SharedResponse<Ray>;
}

/** What is believed of every variety: its curves, and beforehand its [state][need]. */
export interface FarmBelief {
  weighed: readonly Weighed[];
  needs: readonly Float64Array[];
}

export interface WeighedFarm {
  answer: FarmBelief;
  /** As the priors have the needs of each variety by itself. */
  aloneNeeds: readonly Float64Array[];
  /** The answer without the region; null without one. */
  withoutRegion: FarmBelief | null;
  /** How much each ground of the region is believed after the strips, in the order of `regionGrounds`; null without one. */
  regionGroundWeights: readonly number[] | null;
  /** The answers under other priors, worked out when asked for. */
  underOtherPriors: () => (FarmBelief & { prior: MovedPrior["prior"] })[];
}

/** How far the prior need is moved to show what it matters. */
const movedNeed = 0.8;

/** What is believed of all varieties after their strips, with the region where there is one, and what other priors would give. */
export function weighFarm(farm: FarmOnGrids, settings: Settings): WeighedFarm {
  const { priors, region } = settings;
  const { varieties, needs, priorNeedSeedsPerM2 } = farm;
  const recommended = (variety: string): Recommended | null => recommendedFor(variety, settings);
  const onFarm = leaningOn(farm, farmGrounds(needs), recommended);
  const farmWeights = (flat: boolean, about = priorNeedSeedsPerM2): number[] =>
    farmGroundWeights(needs, priors, flat, about);
  const ofRegion = region && regionGrounds(region, priors);
  const inRegion = region === null ? varieties : varieties.map((one) => underRegion(one, region, priors));
  const leaning = ofRegion === null ? onFarm : leaningOn(farm, ofRegion, recommended);
  const weightsOf = ofRegion === null ? farmWeights : () => ofRegion.map(({ weight }) => weight);
  const leaned = (
    weighed: readonly Weighed[],
    flat = priors.flat,
    about = priorNeedSeedsPerM2,
  ): FarmBelief => ({
    weighed,
    needs: leaning.leaned(weighed, weightsOf(flat, about), flat),
  });
  let evenly: Weighed[] | null = null;
  /** Asked for where a prior is flat, or moved to be: what was known after earlier seasons needs neither. */
  const even = (): Weighed[] => (evenly ??= varieties.map((one) => weigh(one, true, responseOf(one.own))));
  const alone = priors.flat ? even() : inRegion.map((one) => weigh(one, false, responseOf(one.own)));
  const aloneNeeds = leaning.alone(weightsOf(priors.flat), priors.flat);
  const answer = leaned(priors.flat ? even() : shareAmong(inRegion, alone, aloneNeeds, ({ own }) => own));
  const withoutRegion =
    region === null ? null : leanWithoutRegion(farm, priors, even, onFarm, farmWeights(priors.flat));
  const untold = (): FarmBelief => {
    const nothing = (): null => null;
    const grounds = ofRegion ?? farmGrounds(needs);
    const { weighed } = answer;
    const weights = weightsOf(priors.flat);
    return { weighed, needs: leaningOn(farm, grounds, nothing).leaned(weighed, weights, priors.flat) };
  };
  return {
    answer,
    aloneNeeds,
    withoutRegion,
    regionGroundWeights: ofRegion && leaning.grounds(answer.weighed, weightsOf(priors.flat), priors.flat),
    underOtherPriors: () => [
      { prior: "flat", ...leaned(even(), true) },
      { prior: "alone", weighed: alone, needs: aloneNeeds },
      { prior: "need-lower", ...leaned(answer.weighed, priors.flat, priorNeedSeedsPerM2 * movedNeed) },
      { prior: "need-higher", ...leaned(answer.weighed, priors.flat, priorNeedSeedsPerM2 / movedNeed) },
      ...(varieties.every(({ variety }) => recommended(variety) === null)
        ? []
        : [{ prior: "without-recommended", ...untold() } as const]),
      ...(withoutRegion === null ? [] : [{ prior: "without-region", ...withoutRegion } as const]),
    ],
  };
}

interface LeaningOn {
  alone: (groundWeights: readonly number[], flat: boolean) => Float64Array[];
  leaned: (weighed: readonly Weighed[], groundWeights: readonly number[], flat: boolean) => Float64Array[];
  /** How much each ground is believed after the strips. */
  grounds: (weighed: readonly Weighed[], groundWeights: readonly number[], flat: boolean) => number[];
}

/** The varieties on one set of grounds: what these make of strips does not depend on how much each is believed. */
function leaningOn(
  { varieties, states, places, needs }: FarmOnGrids,
  grounds: readonly CommonGround[],
  recommended: (variety: string) => Recommended | null,
): LeaningOn {
  const onGrounds = varieties.map(({ variety, grid }) =>
    needOnGrounds(variety, grid.needs, needs, grounds, recommended(variety)),
  );
  const explained = new Map<Weighed, Float64Array>();
  const explainedBy = (weighed: Weighed, own: NeedOnGrounds): Float64Array =>
    kept(explained, weighed, () => {
      const { gathered, response } = weighed;
      return explain({ ...gathered, noResponseChance: response.noResponseChance }, own, states.length);
    });
  const withStrips = (weighed: readonly Weighed[]): VarietyOnGrounds[] =>
    onGrounds.map((own, v) => ({ ...own, explained: explainedBy(weighed[v]!, own) }));
  return {
    alone: (weights, flat) => standAlone(onGrounds, beforeStrips(weights, states, flat)),
    leaned: (weighed, weights, flat) =>
      leanOnOthers(withStrips(weighed), beforeStrips(weights, states, flat), states, places),
    grounds: (weighed, weights, flat) =>
      groundsAfter(withStrips(weighed), beforeStrips(weights, states, flat), weights.length),
  };
}

function leanWithoutRegion(
  { varieties }: FarmOnGrids,
  priors: Priors,
  even: () => readonly Weighed[],
  onFarm: LeaningOn,
  weights: readonly number[],
): FarmBelief {
  const share = (): Weighed[] =>
    shareAmong(
      varieties,
      varieties.map((one) => weigh(one, false, responseWithoutRegion(one.own, priors))),
      onFarm.alone(weights, false),
      () => priors,
    );
  const weighed = priors.flat ? even() : share();
  return { weighed, needs: onFarm.leaned(weighed, weights, priors.flat) };
}

/** What the region makes of need and response together, taken into the likelihood of a variety that it knows. */
function underRegion(one: VarietyOnGrid, region: RegionNeeds, priors: Priors): VarietyOnGrid {
  const { variety, likelihood, grid, own } = one;
  if (own === priors) return one;
  const parts = needOnAnyFarm(variety, region, priors);
  return { ...one, likelihood: likelihoodInRegion(likelihood, grid, parts, own) };
}

const weigh = (
  { likelihood, grid }: VarietyOnGrid,
  flat: boolean,
  response: SharedResponse<Ray>,
): Weighed => ({
  likelihood,
  gathered: gather(likelihood, grid, flat, response.timesPrior),
  response,
});

/** The response as the priors have it. */
const responseOf = ({ noResponseChance }: Priors): SharedResponse<Ray> => ({
  noResponseChance,
  timesPrior: () => 1,
});

/** As the stated priors have it, where the grid lies under a region's. */
function responseWithoutRegion(own: Priors, stated: Priors): SharedResponse<Ray> {
  if (own === stated) return responseOf(stated);
  return {
    noResponseChance: stated.noResponseChance,
    timesPrior: responseOdds(statedResponse(stated), own),
  };
}

/**
 * How strongly yield answers, from the other varieties of the farm as well.
 *
 * @param needs  what is believed beforehand of state and need, for each variety by itself
 */
function shareAmong(
  varieties: readonly VarietyOnGrid[],
  alone: readonly Weighed[],
  needs: readonly Float64Array[],
  priorsOf: (one: VarietyOnGrid) => Priors,
): Weighed[] {
  const known = alone.map(({ response }, v) => ({ one: varieties[v]!, before: response.timesPrior }));
  const shared = shareResponse(
    known.map(({ one, before }, v) => ({
      ...gatherLosses(one.likelihood, needs[v]!, before),
      priors: priorsOf(one),
    })),
  );
  return known.map(({ one, before }, v) => {
    const { noResponseChance, timesPrior } = shared[v]!;
    return weigh(one, false, { noResponseChance, timesPrior: (ray) => before(ray) * timesPrior(ray) });
  });
}
