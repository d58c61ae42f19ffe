/**
 * How well each curve of the grid explains the strips of one variety, with the shifts and strengths of its seasons
 * integrated out.
 */
import type { LogAxis } from "../../maths/log-axis.ts";
import { groupBy } from "../../maths/group-by.ts";
import { normalKernel, normalSmoother, type Smoother } from "../../maths/normal-kernel.ts";
import { largest, scaleDown, WithEnds, type Ends } from "./along-needs.ts";
import type { CurveGrid, FarmState, Ray } from "./curve-grid.ts";
import { EnvironmentLikelihood, environmentSums, type EnvironmentSums } from "./environment-likelihood.ts";
import type { EvidenceWithError } from "./strip-error.ts";

/** What is kept of a ray: its likelihood along the axis, [state][need], times e^`log`. */
export interface RayLikelihood {
  ray: Ray;
  log: number;
  values: Float64Array;
}

/** Rays and places on them that cannot reach e^−this of the best are left out. */
export const usualLimit = 5.5;

export interface GridLikelihood {
  /** Rays of some weight, in the order of the grid. */
  rays: RayLikelihood[];
  /** Logarithm of the likelihood of a flat curve. */
  logNoResponse: number;
}

/** Least likelihood of a need in one season: other seasons could still make it the likeliest, so it is never 0. */
const unreachable = 1e-40;
/** Rays that matter only under even priors are cut off sooner. */
const lessEven = 4;

/**
 * Student-t likelihood of each environment (error variance integrated out), averaged over how strongly yield answers there
 * and over the shift of its own, each field at its lasting place; multiplied over the fields of a season, averaged over the
 * shift that they share, and multiplied over seasons.
 *
 * @param strengthSpread  sd of how strongly yield answers in an environment, 1 on average
 * @param share  share with which strips count: the power of each environment's likelihood
 * @param limit  rays and places on them that cannot reach e^−this of the best are left out
 */
export function gridLikelihood(
  evidence: readonly EvidenceWithError[],
  grid: CurveGrid,
  share: number,
  strengthSpread: number,
  limit = usualLimit,
): GridLikelihood {
  const walk = new RayWalk(grid, strengthSpread);
  const sums = evidence.map((one) => environmentSums(one, walk.axis, share));
  // Those that say most come first, so that a poor ray is noticed early.
  const seasons = groupBy(sums, ({ season }) => String(season))
    .map(([, fields]) => fields)
    .sort((a, b) => mostSaid(b) - mostSaid(a));
  /** [ray][season]. */
  const mosts = new Float64Array(grid.rays.length * seasons.length);
  const bounds = Float64Array.from(grid.rays, (ray, r) => {
    let log = Math.max(ray.logPrior, ray.logFlatPrior - lessEven);
    seasons.forEach((fields, i) => {
      const most = fields.reduce((sum, one) => sum + walk.most(one, ray), 0);
      mosts[r * seasons.length + i] = most;
      log += most;
    });
    return log;
  });
  const order = [...grid.rays.entries()].sort(([a], [b]) => bounds[b]! - bounds[a]! || a - b);
  const cells = Math.log(grid.states.length * grid.needs.count);
  const found = grid.rays.map((): RayLikelihood | null => null);
  let reached = -Infinity;
  for (const [r, ray] of order) {
    const spare = bounds[r]! - (reached - limit);
    if (spare < 0) break;
    const at = r * seasons.length;
    const likelihood = walk.along(seasons, ray, mosts.subarray(at, at + seasons.length), spare);
    if (likelihood === null) continue;
    found[r] = likelihood;
    reached = Math.max(reached, likelihood.log + ray.logPrior - cells);
  }
  return {
    rays: found.filter((one) => one !== null),
    logNoResponse: sums.reduce(
      (log, { power, total, scale }) => log - power * Math.log(1 + total * scale),
      0,
    ),
  };
}

/** How much more likely than a flat one a curve through all means would be: logarithm, for the fields of a season. */
const mostSaid = (fields: readonly EnvironmentSums[]): number =>
  fields.reduce((sum, { power, total, scale }) => sum + power * Math.log(1 + total * scale), 0);

/** Walks along the rays of a grid with buffers of its own. */
class RayWalk {
  /**
   * The grid's axis of need, longer at both ends by what moves it: the need of a field in a season may be beyond it.
   */
  readonly axis: LogAxis;
  private readonly needs: number;
  private readonly stateCount: number;
  private readonly pad: number;
  /** How far beyond the farm's part of the axis the likelihood of a field is read. */
  private readonly shiftReach: number;
  private readonly kernelReach: number;
  private readonly places: Place[];
  private readonly likelihoods: EnvironmentLikelihood;
  /** Likelihood of one field as it is, and smoothed; both run on beyond the axis as at its ends. */
  private readonly plain: WithEnds;
  private readonly smoothed: WithEnds;
  /** Likelihoods of all environments, [state][need]. */
  private readonly product: Float64Array;

  constructor(grid: CurveGrid, strengthSpread: number) {
    const { from, step, count } = grid.needs;
    this.needs = count;
    this.stateCount = grid.states.length;
    const smoothers = grid.states.map(({ season }) => normalSmoother(season, step));
    const reach = Math.max(...smoothers.map((one) => one.reach));
    const shifts = grid.states.flatMap((state) => [...state.shifts.values()].map(Math.abs));
    this.pad = reach + Math.ceil(Math.max(0, ...shifts) / step);
    this.axis = { from: from - this.pad * step, step, count: count + 2 * this.pad };
    this.likelihoods = new EnvironmentLikelihood(this.axis.count, strengthSpread);
    this.places = placesOf(grid.states, this.axis);
    this.shiftReach = Math.ceil(Math.max(0, ...shifts) / step) + 2;
    this.kernelReach = Math.max(...this.places.map(({ kernel }) => kernel.length)) - 1;
    const beyond = Math.max(this.shiftReach, this.kernelReach);
    this.plain = new WithEnds(this.axis.count, beyond);
    this.smoothed = new WithEnds(this.axis.count, beyond);
    this.product = new Float64Array(this.stateCount * count);
  }

  /** Largest log likelihood on a ray, at every second place. */
  most(sums: EnvironmentSums, ray: Ray): number {
    return this.likelihoods.most(sums, ray);
  }

  /**
   * Likelihood of all seasons along a ray.
   *
   * @param mosts  largest log likelihoods of the environments of each season, summed
   * @param spare  by how much these may be missed together
   * @returns null where every place of the ray is negligible beside its best ones, or misses by more
   */
  along(
    seasons: readonly (readonly EnvironmentSums[])[],
    ray: Ray,
    mosts: Float64Array,
    spare: number,
  ): RayLikelihood | null {
    const { needs, stateCount, pad } = this;
    const values = this.product.fill(1);
    // Places outside these ends are zero already.
    const from = new Array<number>(stateCount).fill(0);
    const to = new Array<number>(stateCount).fill(needs - 1);
    let log = 0;
    let bound = 0;
    // Products are scaled back to 1 before they become too small for numbers.
    let missed = 0;
    let scaled = 0;
    for (const [i, fields] of seasons.entries()) {
      const leastLog = mosts[i]! - (spare - (bound - log + missed));
      log += this.takeSeason(fields, ray, this.reachedFrom(from, to), leastLog);
      bound += mosts[i]!;
      let most = 0;
      for (const { states, here, ends } of this.places) {
        const { first, last } = ends;
        for (const { t, smoother } of states) {
          const { reach } = smoother;
          const at = t * needs;
          const start = Math.max(from[t]!, first - pad - reach);
          const end = Math.min(to[t]!, last - pad + reach);
          values.fill(0, at + from[t]!, at + Math.min(start, to[t]! + 1));
          values.fill(0, at + Math.max(end + 1, from[t]!), at + to[t]! + 1);
          from[t] = start;
          to[t] = end;
          most = Math.max(most, this.multiplySmoothed(values, at, smoother, here, start, end));
        }
      }
      if (most === 0) return null;
      missed = scaled - Math.log(most);
      if (bound - log + missed > spare) return null;
      if (most > 1e-100) continue;
      for (let c = 0; c < values.length; c++) values[c]! /= most;
      scaled = missed;
    }
    const last = Math.exp(scaled - missed);
    const kept = values.slice();
    for (let c = 0; c < kept.length; c++) kept[c]! /= last;
    return { ray, log: log - missed, values: kept };
  }

  /** The places of the longer axis that a season may shift a need to, from those between the ends of each state. */
  private reachedFrom(from: readonly number[], to: readonly number[]): Ends {
    let first = this.axis.count - 1;
    let last = 0;
    for (const { states } of this.places)
      for (const { t, smoother } of states) {
        if (from[t]! > to[t]!) continue;
        first = Math.min(first, from[t]! + this.pad - smoother.reach);
        last = Math.max(last, to[t]! + this.pad + smoother.reach);
      }
    return { first, last };
  }

  /**
   * Takes the likelihoods of a season into each place of the fields, the largest of all 1.
   *
   * @param where     on the axis; elsewhere they are 0
   * @param leastLog  logarithm below which a value is negligible, whatever the other seasons say
   * @returns the logarithm of the largest
   */
  private takeSeason(fields: readonly EnvironmentSums[], ray: Ray, where: Ends, leastLog: number): number {
    for (const { here } of this.places) here.fill(0).fill(1, where.first, where.last + 1);
    const shifted = this.longer(where, this.shiftReach);
    const moved = this.longer(shifted, this.kernelReach);
    let taken = 0;
    for (const sums of fields) {
      taken += this.plain.takeLikelihoods(this.likelihoods.along(sums, ray, moved), moved);
      let known = 0;
      let field = this.plain;
      for (const { fieldInSeason, kernel, shifts, here } of this.places) {
        if (fieldInSeason !== known) {
          this.smoothed.takeSmoothed(this.plain, kernel, shifted);
          field = this.smoothed;
          known = fieldInSeason;
        }
        field.multiplyShifted(here, (shifts.get(sums.field) ?? 0) / this.axis.step, where);
      }
    }
    const most = this.places.reduce((top, { here }) => Math.max(top, largest(here, where)), 0);
    const least = Math.max(Math.exp(leastLog - taken), most * unreachable);
    for (const place of this.places) place.ends = scaleDown(place.here, most, least, where);
    return taken + Math.log(most);
  }

  private longer({ first, last }: Ends, by: number): Ends {
    return { first: Math.max(0, first - by), last: Math.min(this.axis.count - 1, last + by) };
  }

  /** Multiplies a state, which begins at `at`, by the smoothed likelihoods between two places; gives the largest product. */
  private multiplySmoothed(
    into: Float64Array,
    at: number,
    { half, stride }: Smoother,
    here: Float64Array,
    start: number,
    end: number,
  ): number {
    const { pad } = this;
    const weights = half.length;
    const middle = half[0]!;
    let most = 0;
    for (let j = start; j <= end; j++) {
      const place = pad + j;
      let sum = middle * here[place]!;
      for (let i = 1, d = stride; i < weights; i++, d += stride)
        sum += half[i]! * (here[place - d]! + here[place + d]!);
      const product = into[at + j]! * sum;
      into[at + j] = product;
      if (product > most) most = product;
    }
    return most;
  }
}

/** States that differ only in the spread of seasons: what a season's fields say together is the same for them. */
interface Place {
  fieldInSeason: number;
  kernel: Float64Array;
  shifts: ReadonlyMap<string, number>;
  /** Each with its number among all. */
  states: { t: number; smoother: Smoother }[];
  /** Likelihoods of a season's fields together, and the ends of those that are not negligible. */
  here: Float64Array;
  ends: Ends;
}

/** In the order of the spread of fields within a season. */
function placesOf(states: readonly FarmState[], { step, count }: LogAxis): Place[] {
  const numbered = states.map((state, t) => ({ ...state, t }));
  return groupBy(numbered, ({ fieldInSeason, place }) => JSON.stringify([fieldInSeason, place]))
    .map(([, same]) => {
      const [{ fieldInSeason, shifts }] = same;
      return {
        fieldInSeason,
        kernel: normalKernel(fieldInSeason, step),
        shifts,
        states: same.map(({ t, season }) => ({ t, smoother: normalSmoother(season, step) })),
        here: new Float64Array(count),
        ends: { first: 0, last: count - 1 },
      };
    })
    .sort((a, b) => a.fieldInSeason - b.fieldInSeason);
}
