/** Prior times likelihood, summed over the curves of a grid. */
import { logOn } from "../../maths/log-axis.ts";
import { normalKernel } from "../../maths/normal-kernel.ts";
import type { CurveGrid, FarmState, Ray } from "./curve-grid.ts";
import { fall, riseShapes, shoulders } from "../forms/believable-curve.ts";
import type { GridLikelihood } from "./grid-likelihood.ts";

/** Sums over the rays of prior × likelihood, [state][need], before the prior of need and state. */
export interface Gathered {
  /** Rays weighed evenly instead of by the stated priors. */
  flat: boolean;
  /** Logarithm of the common divisor of all sums. */
  logScale: number;
  byNeed: Float64Array;
  noResponse: number;
  /** The same sums times loss by shape, and times decline by shoulder. */
  losses: Float64Array[];
  declines: Float64Array[];
}

/** Prior of state and need, and of no response. */
export interface NeedPrior {
  /** [state][need]. */
  weights: Float64Array;
  noResponseChance: number;
}

/** @param timesPrior  factors on a ray's stated prior weight, for a prior other than the grid's */
export function gather(
  likelihood: GridLikelihood,
  grid: CurveGrid,
  flat: boolean,
  timesPrior: (ray: Ray) => number = () => 1,
): Gathered {
  const { rays, logNoResponse } = likelihood;
  const block = grid.states.length * grid.needs.count;
  const { logs, logScale } = weighRays(likelihood, flat, timesPrior);
  const gathered: Gathered = {
    flat,
    logScale,
    byNeed: new Float64Array(block),
    noResponse: Math.exp(logNoResponse - logScale),
    losses: riseShapes.map(() => new Float64Array(block)),
    declines: shoulders.map(() => new Float64Array(block)),
  };
  rays.forEach(({ ray, values }, i) => {
    const factor = Math.exp(logs[i]! - logScale);
    const { shape, loss, decline, shoulder } = ray;
    addTimes(gathered.byNeed, values, factor);
    addTimes(gathered.losses[shape]!, values, factor * loss);
    if (decline > 0) addTimes(gathered.declines[shoulders.indexOf(shoulder)]!, values, factor * decline);
  });
  return gathered;
}

/** Logarithms of prior × likelihood of the rays, and the largest of these and of no response. */
function weighRays(
  { rays, logNoResponse }: GridLikelihood,
  flat: boolean,
  timesPrior: (ray: Ray) => number,
): { logs: number[]; logScale: number } {
  const logs = rays.map(({ ray, log }) => log + logPriorOf(ray, flat) + Math.log(timesPrior(ray)));
  return { logs, logScale: logs.reduce((most, log) => Math.max(most, log), logNoResponse) };
}

/** Logarithm of a ray's prior weight; `flat`: every loss equally. */
export const logPriorOf = ({ logPrior, logFlatPrior }: Ray, flat: boolean): number =>
  flat ? logFlatPrior : logPrior;

function addTimes(into: Float64Array, values: Float64Array, factor: number): void {
  if (factor === 0) return;
  for (let c = 0; c < into.length; c++) into[c]! += factor * values[c]!;
}

/** The sums of prior × likelihood by loss, over all needs and states with their prior; and of no response. */
export function gatherLosses(
  likelihood: GridLikelihood,
  weights: Float64Array,
  timesPrior: (ray: Ray) => number,
): { losses: Map<number, number>; noResponse: number } {
  const { logs, logScale } = weighRays(likelihood, false, timesPrior);
  const { rays, logNoResponse } = likelihood;
  const losses = new Map<number, number>();
  rays.forEach(({ ray: { loss }, values }, i) => {
    let sum = 0;
    for (let c = 0; c < values.length; c++) sum += values[c]! * weights[c]!;
    losses.set(loss, (losses.get(loss) ?? 0) + Math.exp(logs[i]! - logScale) * sum);
  });
  return { losses, noResponse: Math.exp(logNoResponse - logScale) };
}

/** The factor that turns sums of responding curves into shares of all weight, and the share of no response. */
export function wholeWeight(
  { byNeed, noResponse }: Gathered,
  { weights, noResponseChance }: NeedPrior,
): { factor: number; noResponse: number } {
  const respond = (1 - noResponseChance) * byNeed.reduce((sum, value, c) => sum + value * weights[c]!, 0);
  const none = noResponseChance * noResponse;
  return { factor: (1 - noResponseChance) / (respond + none), noResponse: none / (respond + none) };
}

/**
 * The expected curve over coming seasons, as shares of the mean yield at each rate, under any belief on a grid.
 *
 * @returns a function to call for each prior to try; curves over the needs of coming seasons are worked out once
 */
export function expecting(
  grid: CurveGrid,
  rates: readonly number[],
): (gathered: Gathered, prior: NeedPrior) => Float64Array {
  const { step, count: needs } = grid.needs;
  const kernels = grid.states.map((state) => comingNeeds(state, step));
  const pad = Math.max(...kernels.map((kernel) => (kernel.length - 1) / 2));
  /** [coming need][rate]. */
  const tabulated = (curve: (u: number) => number): Float64Array => {
    const table = new Float64Array((needs + 2 * pad) * rates.length);
    for (let c = 0, at = 0; c < needs + 2 * pad; c++) {
      const need = Math.exp(logOn(grid.needs, c - pad));
      for (let x = 0; x < rates.length; x++) table[at++] = curve(rates[x]! / need);
    }
    return table;
  };
  const rises = riseShapes.map(({ rise }) => tabulated(rise));
  const falls = shoulders.map((shoulder) => tabulated((u) => fall(u, shoulder)));
  return (gathered, prior) => {
    const { factor } = wholeWeight(gathered, prior);
    const expected = new Float64Array(rates.length);
    const add = (sums: Float64Array, curves: Float64Array): void => {
      const byComingNeed = new Float64Array(needs + 2 * pad);
      kernels.forEach((kernel, t) => {
        for (let j = 0; j < needs; j++) {
          const weight = sums[t * needs + j]! * prior.weights[t * needs + j]! * factor;
          if (weight === 0) continue;
          const first = pad + j - (kernel.length - 1) / 2;
          for (let d = 0; d < kernel.length; d++) byComingNeed[first + d]! += weight * kernel[d]!;
        }
      });
      byComingNeed.forEach((weight, c) => {
        if (weight === 0) return;
        for (let x = 0; x < rates.length; x++) expected[x]! += weight * curves[c * rates.length + x]!;
      });
    };
    gathered.losses.forEach((sums, s) => add(sums, rises[s]!));
    gathered.declines.forEach((sums, h) => add(sums, falls[h]!));
    return expected;
  };
}

/**
 * How the need of a coming season on one of the farm's fields is spread around the farm's, in steps: weights around the
 * middle one.
 */
function comingNeeds({ season, fieldInSeason, shifts }: FarmState, step: number): Float64Array {
  const half = normalKernel(Math.hypot(season, fieldInSeason), step);
  const fields = shifts.size === 0 ? [0] : [...shifts.values()];
  const reach = half.length + Math.ceil(Math.max(...fields.map(Math.abs)) / step);
  const weights = new Float64Array(2 * reach + 1);
  for (const shift of fields) {
    const place = reach + shift / step;
    const [at, part] = [Math.floor(place), place - Math.floor(place)];
    for (let d = 1 - half.length; d < half.length; d++) {
      const weight = half[Math.abs(d)]! / fields.length;
      weights[at + d]! += (1 - part) * weight;
      if (part > 0) weights[at + d + 1]! += part * weight;
    }
  }
  return weights;
}

/** Half the sum of absolute differences between what two priors leave believable of the need, 0 to 1. */
export function movedBy(byNeed: Float64Array, a: Float64Array, b: Float64Array, needs: number): number {
  const ofNeed = (prior: Float64Array): Float64Array => {
    const sums = new Float64Array(needs);
    byNeed.forEach((value, c) => (sums[c % needs]! += value * prior[c]!));
    const total = sums.reduce((sum, value) => sum + value, 0);
    return sums.map((value) => value / total);
  };
  const other = ofNeed(b);
  return ofNeed(a).reduce((sum, value, j) => sum + Math.abs(value - other[j]!) / 2, 0);
}
