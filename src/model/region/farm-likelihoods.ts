/** How well each rise, loss and need explains one farm's strips of a variety. */
import { gather, groupBy } from "../../maths/group-by.ts";
import { placesOn } from "../../maths/log-axis.ts";
import { bell, normalise } from "../../maths/normal-weights.ts";
import type { SharedFarm } from "../../vocabulary/region.ts";
import { usualNeed, type Settings } from "../../vocabulary/settings.ts";
import { coarseGrid, kindOfFall, seasonSpreads, type CurveGrid, type Ray } from "../beliefs/curve-grid.ts";
import type { GridLikelihood } from "../beliefs/grid-likelihood.ts";
import { likelihoodOf } from "../beliefs/shared-misfit.ts";
import { withErrors } from "../beliefs/strip-error.ts";
import { logPriorOf } from "../beliefs/weigh-curves.ts";
import { riseShapes } from "../forms/believable-curve.ts";
import { toRateEvidence } from "./farm-evidence.ts";

/** What a farm's strips say of a variety's response and need, the largest 1. */
export interface ResponseLikelihood {
  variety: string;
  /** Likelihood of rise, loss and need, [rise][loss][need]; declines and seasons integrated out. */
  values: Float32Array;
  noResponse: number;
}

/** All that the region model looks at. */
export interface FarmLikelihood extends ResponseLikelihood {
  /** How well curves explain the strips that never fall, and those that fall beyond a shoulder; all else integrated out. */
  never: number;
  falls: number;
}

/** The grid that all farms of a region are weighed on; its axis of need lies about the crop's usual rate. */
export function regionGrid({ crop, priors }: Pick<Settings, "crop" | "priors">): CurveGrid {
  const usual = usualNeed(crop, priors);
  return coarseGrid(priors, [usual, usual]);
}

/** What a farm's strips of a variety say of every curve of the grid. */
export interface CurveLikelihood {
  variety: string;
  likelihood: GridLikelihood;
}

/** One entry for each variety of the farm, sorted by variety. */
export function curveLikelihoods(
  farm: SharedFarm,
  grid: CurveGrid,
  priors: Settings["priors"],
): CurveLikelihood[] {
  const evidence = withErrors(farm.sums.map(toRateEvidence), priors);
  return groupBy(evidence, ({ variety }) => variety).map(([variety, mine]) => ({
    variety,
    likelihood: likelihoodOf(mine, grid, priors),
  }));
}

/**
 * The same with declines and seasons integrated out, sorted by variety.
 *
 * @returns to be asked for each farm: what is believed beforehand is worked out once
 */
export function farmLikelihoods(
  grid: CurveGrid,
  settings: Pick<Settings, "crop" | "priors">,
): (farm: SharedFarm) => FarmLikelihood[] {
  const before = believedBefore(grid, settings);
  return (farm) =>
    curveLikelihoods(farm, grid, settings.priors).map(({ variety, likelihood }) => ({
      variety,
      ...integrateOut(likelihood, grid, before),
    }));
}

/** What is believed before any strip. */
interface Before {
  spreads: readonly number[];
  needs: readonly number[];
  /** Of each ray, its share of the prior of all with its rise and its loss. */
  shares: ReadonlyMap<Ray, number>;
  /** Prior of all curves that never fall, and of those that do, among the rises that may fall at all. */
  never: number;
  falls: number;
}

function believedBefore(grid: CurveGrid, { crop, priors }: Pick<Settings, "crop" | "priors">): Before {
  const middle = Math.log(usualNeed(crop, priors));
  return {
    needs: normalise(placesOn(grid.needs).map((log) => bell(log - middle, priors.needSdLog))),
    spreads: normalise(seasonSpreads.map((sd) => bell(sd, priors.seasonSpread))),
    shares: sharesOfRays(grid, priors.flat),
    ...priorsOfFalls(grid),
  };
}

function sharesOfRays({ rays }: CurveGrid, flat: boolean): Map<Ray, number> {
  const alike = gather(
    rays.map((ray) => ({ ray, weight: Math.exp(logPriorOf(ray, flat)) })),
    ({ ray: { shape, lossAt } }) => `${shape} ${lossAt}`,
  );
  return new Map(
    [...alike.values()].flatMap((same) => {
      const total = same.reduce((sum, { weight }) => sum + weight, 0);
      return same.map(({ ray, weight }) => [ray, weight / total] as const);
    }),
  );
}

function priorsOfFalls({ rays }: CurveGrid): Pick<Before, "never" | "falls"> {
  const priors = { never: 0, falls: 0 };
  for (const ray of rays) {
    const kind = kindOfFall(ray);
    if (kind !== null) priors[kind] += Math.exp(ray.logPrior);
  }
  return priors;
}

function integrateOut(
  { rays, logNoResponse }: GridLikelihood,
  grid: CurveGrid,
  { spreads, needs, shares, ...priors }: Before,
): Omit<FarmLikelihood, "variety"> {
  const logScale = rays.reduce((most, { log }) => Math.max(most, log), logNoResponse);
  const losses = grid.patches[0]!.losses.count;
  const sums = new Float64Array(riseShapes.length * losses * needs.length);
  const ofFalls = { never: 0, falls: 0 };
  for (const { ray, log, values } of rays) {
    const weight = shares.get(ray)! * Math.exp(log - logScale);
    const first = (ray.shape * losses + ray.lossAt) * needs.length;
    let explained = 0;
    let at = 0;
    for (const spread of spreads)
      for (let j = 0; j < needs.length; j++) {
        const value = values[at++]!;
        sums[first + j]! += weight * spread * value;
        explained += spread * needs[j]! * value;
      }
    const kind = kindOfFall(ray);
    if (kind !== null) ofFalls[kind] += Math.exp(log - logScale + ray.logPrior) * explained;
  }
  const noResponse = Math.exp(logNoResponse - logScale);
  const most = sums.reduce((a, b) => Math.max(a, b), noResponse);
  return {
    values: Float32Array.from(sums, (value) => value / most),
    noResponse: noResponse / most,
    never: ofFalls.never / priors.never,
    falls: ofFalls.falls / priors.falls,
  };
}
