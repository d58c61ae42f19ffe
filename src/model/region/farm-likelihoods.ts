/** How well each need, and each loss, explains one farm's strips of a variety, all else integrated out: all that the region model looks at. */
import { placesOn } from "../../maths/log-axis.ts";
import { bell, normalise } from "../../maths/normal-weights.ts";
import type { SharedFarm } from "../../vocabulary/region.ts";
import { usualNeed, type Settings } from "../../vocabulary/settings.ts";
import { coarseGrid, seasonSpreads, type CurveGrid } from "../beliefs/curve-grid.ts";
import { gridLikelihood, type GridLikelihood } from "../beliefs/grid-likelihood.ts";
import { errorBeliefs } from "../beliefs/strip-error.ts";
import { gather } from "../beliefs/weigh-curves.ts";
import { toRateEvidence } from "./farm-evidence.ts";

/** Likelihood of each place of the region's axis of need, the largest 1. */
export interface NeedLikelihood {
  variety: string;
  values: Float64Array;
}

/** And of each place of the grid's axis of loss, and of no response, on a scale of their own. */
export interface FarmLikelihood extends NeedLikelihood {
  losses: Float64Array;
  noResponse: number;
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

/** The same with the curves' shapes integrated out, sorted by variety. */
export function needLikelihoods(
  farm: SharedFarm,
  grid: CurveGrid,
  { crop, priors }: Pick<Settings, "crop" | "priors">,
): FarmLikelihood[] {
  const spreads = normalise(seasonSpreads.map((sd) => bell(sd, priors.seasonSpread)));
  const middle = Math.log(usualNeed(crop, priors));
  const needs = normalise(placesOn(grid.needs).map((log) => bell(log - middle, priors.needSdLog)));
  const weights = Float64Array.from(
    { length: spreads.length * needs.length },
    (_, c) => spreads[Math.floor(c / needs.length)]! * needs[c % needs.length]!,
  );
  const prior = lossPrior(grid);
  return curveLikelihoods(farm, grid, priors).map(({ variety, likelihood }) => {
    const { byNeed, noResponse } = gather(likelihood, grid, priors.flat);
    const values = new Float64Array(grid.needs.count).fill(priors.noResponseChance * noResponse);
    spreads.forEach((weight, t) => {
      const share = (1 - priors.noResponseChance) * weight;
      for (let j = 0; j < values.length; j++) values[j]! += share * byNeed[t * values.length + j]!;
    });
    return { variety, values: scaledToOne(values), ...lossLikelihood(likelihood, grid, weights, prior) };
  });
}

/** What the grid believes of each loss beforehand, by place. */
function lossPrior({ rays, patches }: CurveGrid): Float64Array {
  const prior = new Float64Array(patches[0]!.losses.count);
  for (const { lossAt, logPrior } of rays) prior[lossAt]! += Math.exp(logPrior);
  return prior;
}

/**
 * @param weights  of [state][need] beforehand
 * @param prior    of each loss, as in `lossPrior`
 */
function lossLikelihood(
  { rays, logNoResponse }: GridLikelihood,
  grid: CurveGrid,
  weights: Float64Array,
  prior: Float64Array,
): { losses: Float64Array; noResponse: number } {
  const logScale = rays.reduce((most, { log }) => Math.max(most, log), logNoResponse);
  const losses = new Float64Array(prior.length);
  for (const { ray, log, values } of rays) {
    const { lossAt, logPrior } = grid.rays[ray]!;
    const explained = values.reduce((sum, value, c) => sum + value * weights[c]!, 0);
    losses[lossAt]! += Math.exp(log - logScale + logPrior) * explained;
  }
  return {
    losses: losses.map((value, l) => value / prior[l]!),
    noResponse: Math.exp(logNoResponse - logScale),
  };
}

function scaledToOne(values: Float64Array): Float64Array {
  const most = values.reduce((a, b) => Math.max(a, b), 0);
  return values.map((value) => value / most);
}
