/** How well each rise, loss and need explains one farm's strips of a variety. */
import { placesOn } from "../../maths/log-axis.ts";
import { bell, normalise } from "../../maths/normal-weights.ts";
import type { SharedFarm } from "../../vocabulary/region.ts";
import { usualNeed, type Settings } from "../../vocabulary/settings.ts";
import { coarseGrid, seasonSpreads, type CurveGrid, type Ray } from "../beliefs/curve-grid.ts";
import { gridLikelihood, type GridLikelihood } from "../beliefs/grid-likelihood.ts";
import { errorBeliefs } from "../beliefs/strip-error.ts";
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
  const evidence = farm.sums.map(toRateEvidence);
  const errors = errorBeliefs(evidence, priors);
  const varieties = [...new Set(evidence.map((one) => one.variety))].sort();
  return varieties.map((variety) => {
    const at = evidence.flatMap((one, i) => (one.variety === variety ? [i] : []));
    const likelihood = gridLikelihood(
      at.map((i) => evidence[i]!),
      at.map((i) => errors[i]!),
      grid,
      1,
      priors.strengthSpread,
    );
    return { variety, likelihood };
  });
}

/** The same with declines and seasons integrated out, sorted by variety. */
export function farmLikelihoods(
  farm: SharedFarm,
  grid: CurveGrid,
  { crop, priors }: Pick<Settings, "crop" | "priors">,
): FarmLikelihood[] {
  const middle = Math.log(usualNeed(crop, priors));
  const needs = normalise(placesOn(grid.needs).map((log) => bell(log - middle, priors.needSdLog)));
  const spreads = normalise(seasonSpreads.map((sd) => bell(sd, priors.seasonSpread)));
  const shares = sharesOfRays(grid, priors.flat);
  return curveLikelihoods(farm, grid, priors).map(({ variety, likelihood }) => ({
    variety,
    ...integrateOut(likelihood, grid, spreads, shares),
    ...integrateOutAllButFalls(likelihood, grid, spreads, needs),
  }));
}

/** Of each ray, its share of the prior of all with its rise and its loss. */
function sharesOfRays(grid: CurveGrid, flat: boolean): number[] {
  const weights = grid.rays.map((_, ray) => Math.exp(logPriorOf(grid, ray, flat)));
  const totals = new Map<string, number>();
  const keyOf = ({ shape, lossAt }: Ray): string => `${shape} ${lossAt}`;
  grid.rays.forEach((ray, r) => totals.set(keyOf(ray), (totals.get(keyOf(ray)) ?? 0) + weights[r]!));
  return grid.rays.map((ray, r) => weights[r]! / totals.get(keyOf(ray))!);
}

function integrateOut(
  { rays, logNoResponse }: GridLikelihood,
  grid: CurveGrid,
  spreads: readonly number[],
  shares: readonly number[],
): Omit<ResponseLikelihood, "variety"> {
  const logScale = rays.reduce((most, { log }) => Math.max(most, log), logNoResponse);
  const needs = grid.needs.count;
  const losses = grid.patches[0]!.losses.count;
  const sums = new Float64Array(riseShapes.length * losses * needs);
  for (const { ray, log, values } of rays) {
    const weight = shares[ray]! * Math.exp(log - logScale);
    const { shape, lossAt } = grid.rays[ray]!;
    const first = (shape * losses + lossAt) * needs;
    let at = 0;
    for (const spread of spreads)
      for (let j = 0; j < needs; j++) sums[first + j]! += weight * spread * values[at++]!;
  }
  const noResponse = Math.exp(logNoResponse - logScale);
  const most = sums.reduce((a, b) => Math.max(a, b), noResponse);
  return {
    values: Float32Array.from(sums, (value) => value / most),
    noResponse: noResponse / most,
  };
}

/** Of the rises that may fall at all, on a scale of their own. */
function integrateOutAllButFalls(
  { rays, logNoResponse }: GridLikelihood,
  grid: CurveGrid,
  spreads: readonly number[],
  needs: readonly number[],
): Pick<FarmLikelihood, "never" | "falls"> {
  const logScale = rays.reduce((most, { log }) => Math.max(most, log), logNoResponse);
  const sums = { never: 0, falls: 0 };
  const priors = { never: 0, falls: 0 };
  for (const { shape, decline, logPrior } of grid.rays)
    if (riseShapes[shape]!.falls) priors[decline === 0 ? "never" : "falls"] += Math.exp(logPrior);
  for (const { ray, log, values } of rays) {
    const { shape, decline, logPrior } = grid.rays[ray]!;
    if (!riseShapes[shape]!.falls) continue;
    let explained = 0;
    let at = 0;
    for (const spread of spreads)
      for (let j = 0; j < needs.length; j++) explained += spread * needs[j]! * values[at++]!;
    sums[decline === 0 ? "never" : "falls"] += Math.exp(log - logScale + logPrior) * explained;
  }
  return { never: sums.never / priors.never, falls: sums.falls / priors.falls };
}
