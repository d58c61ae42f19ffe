/**
 * A coarse grid first, then a finer one where the weight is.
 *
 * Few strips leave most of the grid believable, and coarse steps are enough. Many strips leave a corner smaller than a
 * step, so that the nearest curve of the grid would seem to be the only one. So strips that say much are first counted
 * as if they were few, then pass by pass as more, while each axis is laid again over what is still believable.
 */
import { layCloser, type LogAxis } from "../../maths/log-axis.ts";
import { sumOf } from "../../maths/sums.ts";
import type { Priors } from "../../vocabulary/settings.ts";
import { coarser, gridOf, type CurveGrid, type FarmState, type Patch } from "./curve-grid.ts";
import { gridLikelihood, usualLimit, type GridLikelihood } from "./grid-likelihood.ts";
import { likelihoodOf, shareOfEach } from "./shared-misfit.ts";
import { responseStrength, type EvidenceWithError } from "./strip-error.ts";
import { logPriorOf } from "./weigh-curves.ts";

/** The whole grid is fine enough for strips whose response has this log likelihood ratio to no response. */
const closeEnough = 10;
/** How much more strips may count in the next pass: about two and a half times as sharp. */
const nextPass = 6;
/**
 * Environments used while strips count in part: this many times as many as would count in full, and at least this many.
 */
const inPart = 2;
const fewestInPart = 24;
/** While strips count in part, more is left out. */
const limitInPart = 4.5;
/** Weight that may be left out at either end of an axis. */
const negligible = 1e-4;
/** Places of an axis that is laid again, and of one that stays as wide as it was. */
const places = {
  needs: { closer: 33, asWide: 37 },
  losses: { closer: 11, asWide: 11 },
  declines: { closer: 5, asWide: 5 },
};

export interface RefinedGrid {
  grid: CurveGrid;
  likelihood: GridLikelihood;
}

/** The grid that suits what one variety's strips leave believable, in all states of the farm. */
export interface LaidGrid {
  grid: CurveGrid;
  /** Log likelihood of the spreads of seasons, from some of the curves; none where strips say little. */
  spreads: { season: number; fieldInSeason: number; log: number }[];
}

/** @param whole  the grid that is laid again where one variety's strips ask for it */
export function layGrid(evidence: readonly EvidenceWithError[], whole: CurveGrid, priors: Priors): LaidGrid {
  const full = shareOfEach(evidence.length, priors);
  const part = partToBeginWith(evidence) / full;
  if (part >= 1) return { grid: whole, spreads: [] };
  // While strips count in part, the likeliest place of the fields and few losses and declines will do.
  const states = fewerStates(whole.states);
  let grid = coarser({ ...whole, states }, priors);
  const passes = Math.ceil(-Math.log(part) / Math.log(nextPass));
  for (let pass = 0; pass < passes; pass++) {
    const share = full * part ** (1 - pass / passes);
    grid = layGridCloser(grid, likelihoodInPart(evidence, grid, share, priors), priors);
  }
  const some = { ...grid, rays: grid.rays.filter((_, i) => i % fewerRays === 0) };
  // Strips that count in part would make small spreads seem likelier than they are.
  const logs = logsOfStates(some, likelihoodInPart(evidence, some, 1, priors));
  return {
    grid: { ...grid, states: whole.states },
    spreads: states.map(({ season, fieldInSeason }, t) => ({ season, fieldInSeason, log: full * logs[t]! })),
  };
}

/** The spreads of seasons are judged by every eighth ray. */
const fewerRays = 8;
/** Spreads that all varieties together make less likely than the likeliest by this much are left out: logarithm. */
const unbelievable = 20;

/** The states of the farm that are worth weighing in full. */
export function believableStates(
  states: readonly FarmState[],
  laid: readonly LaidGrid[],
): readonly FarmState[] {
  const logOf = ({ season, fieldInSeason }: FarmState): number =>
    laid.reduce((sum, { spreads }) => {
      const own = spreads.find((one) => one.season === season && one.fieldInSeason === fieldInSeason);
      return sum + (own?.log ?? 0);
    }, 0);
  const logs = states.map(logOf);
  const least = Math.max(...logs) - unbelievable;
  const kept = states.filter((_, t) => logs[t]! >= least);
  return kept.length === states.length ? states : kept;
}

/** The likelihood of all of one variety's strips on the grid that was laid for it. */
export function weighGrid(
  evidence: readonly EvidenceWithError[],
  { grid: laid }: LaidGrid,
  states: readonly FarmState[],
  priors: Priors,
): RefinedGrid {
  const grid = laid.states === states ? laid : { ...laid, states };
  return { grid, likelihood: likelihoodOf(evidence, grid, priors) };
}

function fewerStates(states: readonly FarmState[]): readonly FarmState[] {
  const places = new Set(states.map(({ place }) => place));
  // Of two fields the middle of three; of more the first.
  const middle = places.size === 3 ? 1 : 0;
  return states.filter(({ place }) => place === middle);
}

/** The share with which strips count at first, so that the whole grid is fine enough for them. */
export function partToBeginWith(evidence: readonly EvidenceWithError[]): number {
  const strength = evidence.reduce((sum, one) => sum + responseStrength(one), 0);
  return 1 / Math.max(1, strength / closeEnough);
}

/** As if the strips were fewer: fewer environments, evenly chosen, where there are many of them, each counting in part. */
export function likelihoodInPart(
  evidence: readonly EvidenceWithError[],
  grid: CurveGrid,
  share: number,
  { strengthSpread }: Priors,
): GridLikelihood {
  const all = evidence.length;
  const used = Math.min(all, Math.max(fewestInPart, Math.ceil(inPart * share * all)));
  const some = Array.from({ length: used }, (_, i) => evidence[Math.floor(((i + 0.5) * all) / used)]!);
  return gridLikelihood(
    some,
    grid,
    (share * all) / used,
    strengthSpread,
    share < 1 ? limitInPart : usualLimit,
  );
}

/** Lays every axis again over what the likelihood leaves of it, with stated and with even priors. */
function layGridCloser(grid: CurveGrid, likelihood: GridLikelihood, priors: Priors): CurveGrid {
  const stated = shareOut(grid, likelihood, false);
  const even = shareOut(grid, likelihood, true);
  const closer = (
    axis: LogAxis,
    a: Float64Array,
    b: Float64Array,
    { closer, asWide }: { closer: number; asWide: number },
  ): LogAxis => {
    const weights = a.map((weight, i) => Math.max(weight, b[i]!));
    const laid = layCloser(axis, weights, negligible, closer);
    return laid === axis ? inPlaces(axis, asWide) : laid;
  };
  const patches = grid.patches.flatMap((patch, p): Patch[] => {
    const [a, b] = [stated.patches[p]!, even.patches[p]!];
    if (a.weight < negligible && b.weight < negligible) return [];
    return [
      {
        ...patch,
        losses: closer(patch.losses, a.losses, b.losses, places.losses),
        declines: patch.declines && closer(patch.declines, a.declines, b.declines, places.declines),
      },
    ];
  });
  return gridOf(closer(grid.needs, stated.needs, even.needs, places.needs), patches, priors, grid.states);
}

/** Strips that say more need shorter steps, even where an axis stays as wide as it was. */
const inPlaces = (axis: LogAxis, count: number): LogAxis =>
  axis.count >= count ? axis : { from: axis.from, step: (axis.step * (axis.count - 1)) / (count - 1), count };

interface Shares {
  needs: Float64Array;
  patches: { weight: number; losses: Float64Array; declines: Float64Array }[];
}

/** All weight, 1, by place of each axis. */
function shareOut(grid: CurveGrid, { rays }: GridLikelihood, flat: boolean): Shares {
  const shares: Shares = {
    needs: new Float64Array(grid.needs.count),
    patches: grid.patches.map(({ losses, declines }) => ({
      weight: 0,
      losses: new Float64Array(losses.count),
      declines: new Float64Array(declines?.count ?? 1),
    })),
  };
  const logs = rays.map(({ ray, log }) => log + logPriorOf(ray, flat));
  const most = logs.reduce((a, b) => Math.max(a, b), -Infinity);
  const sums = rays.map(({ values }) => sumOf(values));
  const total = sums.reduce((sum, value, i) => sum + Math.exp(logs[i]! - most) * value, 0);
  rays.forEach(({ ray, values }, i) => {
    const factor = Math.exp(logs[i]! - most) / total;
    const { patch, lossAt, declineAt } = ray;
    const ofPatch = shares.patches[patch]!;
    const weight = factor * sums[i]!;
    ofPatch.weight += weight;
    ofPatch.losses[lossAt]! += weight;
    ofPatch.declines[declineAt]! += weight;
    addToNeeds(shares.needs, values, factor);
  });
  return shares;
}

/** Log likelihood of each state, over all curves and needs. */
function logsOfStates(grid: CurveGrid, { rays }: GridLikelihood): number[] {
  const logs = rays.map(({ ray, log }) => log + logPriorOf(ray, false));
  const most = logs.reduce((a, b) => Math.max(a, b), -Infinity);
  const needs = grid.needs.count;
  return grid.states.map((_, t) => {
    const sum = rays.reduce(
      (total, { values }, i) =>
        total + Math.exp(logs[i]! - most) * sumOf(values.subarray(t * needs, (t + 1) * needs)),
      0,
    );
    return most + Math.log(sum);
  });
}

/** @param values  [state][need] */
function addToNeeds(needs: Float64Array, values: Float64Array, factor: number): void {
  for (let c = 0; c < values.length;)
    for (let j = 0; j < needs.length; j++) needs[j]! += factor * values[c++]!;
}
