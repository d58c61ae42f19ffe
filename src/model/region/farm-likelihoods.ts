/** How well each need, and each loss, explains one farm's strips of a variety, all else integrated out: all that the region model looks at. */
import { placesOn } from "../../maths/log-axis.ts";
import { bell, normalise } from "../../maths/normal-weights.ts";
import type { SharedFarm } from "../../vocabulary/region.ts";
import { usualNeed, type Settings } from "../../vocabulary/settings.ts";
import { coarseGrid, seasonSpreads, type CurveGrid } from "../beliefs/curve-grid.ts";
import { gridLikelihood, type GridLikelihood } from "../beliefs/grid-likelihood.ts";
import { errorBeliefs } from "../beliefs/strip-error.ts";
import { logPriorOf } from "../beliefs/weigh-curves.ts";
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
  const middle = Math.log(usualNeed(crop, priors));
  const before: Before = {
    spreads: normalise(seasonSpreads.map((sd) => bell(sd, priors.seasonSpread))),
    needs: normalise(placesOn(grid.needs).map((log) => bell(log - middle, priors.needSdLog))),
    losses: lossPrior(grid),
  };
  return curveLikelihoods(farm, grid, priors).map(({ variety, likelihood }) => ({
    variety,
    ...integrateOut(likelihood, grid, before, priors),
  }));
}

/** What is believed beforehand: weights of the spreads of seasons, of needs and of losses, by place. */
interface Before {
  spreads: readonly number[];
  needs: readonly number[];
  losses: Float64Array;
}

function lossPrior({ rays, patches }: CurveGrid): Float64Array {
  const prior = new Float64Array(patches[0]!.losses.count);
  for (const { lossAt, logPrior } of rays) prior[lossAt]! += Math.exp(logPrior);
  return prior;
}

/** Likelihoods of need with all else integrated out, and of loss with all else. */
function integrateOut(
  { rays, logNoResponse }: GridLikelihood,
  grid: CurveGrid,
  before: Before,
  { flat, noResponseChance }: Settings["priors"],
): Omit<FarmLikelihood, "variety"> {
  const logScale = rays.reduce((most, { log }) => Math.max(most, log), logNoResponse);
  const noResponse = Math.exp(logNoResponse - logScale);
  const values = new Float64Array(grid.needs.count);
  const losses = new Float64Array(before.losses.length);
  const ofRay = new Float64Array(values.length);
  for (const { ray, log, values: byState } of rays) {
    ofRay.fill(0);
    let at = 0;
    for (const spread of before.spreads)
      for (let j = 0; j < ofRay.length; j++) ofRay[j]! += spread * byState[at++]!;
    const weight = Math.exp(log - logScale + logPriorOf(grid, ray, flat));
    let explained = 0;
    for (let j = 0; j < ofRay.length; j++) {
      values[j]! += weight * ofRay[j]!;
      explained += before.needs[j]! * ofRay[j]!;
    }
    const { lossAt, logPrior } = grid.rays[ray]!;
    losses[lossAt]! += Math.exp(log - logScale + logPrior) * explained;
  }
  return {
    values: scaledToOne(
      values.map((value) => (1 - noResponseChance) * value + noResponseChance * noResponse),
    ),
    losses: losses.map((value, l) => value / before.losses[l]!),
    noResponse,
  };
}

function scaledToOne(values: Float64Array): Float64Array {
  const most = values.reduce((a, b) => Math.max(a, b), 0);
  return values.map((value) => value / most);
}
