/** How well each curve of the grid explains the strips of one variety, the shifts and strengths of its seasons integrated out. */
import { logOn, type LogAxis } from "../../maths/log-axis.ts";
import { normalKernel, normalSmoother, type Smoother } from "../../maths/normal-kernel.ts";
import type { CurveGrid, FarmState, Ray } from "./curve-grid.ts";
import { groupBy } from "../../maths/group-by.ts";
import { fall, riseShapes, shoulders } from "../forms/believable-curve.ts";
import type { RateEvidence } from "./rate-evidence.ts";
import type { ErrorBelief } from "./strip-error.ts";

/** What is kept of a ray: its likelihood along the axis, [state][need], times e^`log`. */
export interface RayLikelihood {
  /** Index into `grid.rays`. */
  ray: number;
  log: number;
  values: Float64Array;
}

export interface GridLikelihood {
  /** Rays of some weight, in the order of the grid. */
  rays: RayLikelihood[];
  /** Logarithm of the likelihood of a flat curve. */
  logNoResponse: number;
}

/** Rays that cannot reach e^−this of the best are left out, and places on a ray that do not; fewer where strips count in part. */
const negligible = 5.5;
const negligibleInPart = 4.5;
/** Rays that matter under even priors alone are kept less far. */
const lessEven = 4;

/** Sums of squares of one environment as products of its sums with the shapes: [shape or shoulder][need]. */
export interface EnvironmentSums {
  field: string;
  total: number;
  riseCross: Float64Array;
  riseRise: Float64Array;
  fallCross: Float64Array;
  fallFall: Float64Array;
  /** [shape][shoulder][need]. */
  riseFall: Float64Array;
  /** The log likelihood is −power · log(1 + (sum of squares) · scale). */
  power: number;
  scale: number;
}

/**
 * Student-t likelihood of each environment (error variance integrated out), averaged over how strongly yield answers there
 * and over the shift of its own, each field at its lasting place; multiplied over the fields of a season, averaged over the
 * shift that they share, and multiplied over seasons.
 *
 * @param strengthSpread  sd of how strongly yield answers in an environment, 1 on average
 * @param share  strips count by this share: the power of each environment's likelihood
 */
export function gridLikelihood(
  evidence: readonly RateEvidence[],
  errors: readonly ErrorBelief[],
  grid: CurveGrid,
  share: number,
  strengthSpread: number,
): GridLikelihood {
  const limit = share < 1 ? negligibleInPart : negligible;
  const walk = new RayWalk(grid, limit, strengthSpread);
  const sums = evidence.map((one, e) => environmentSums(one, errors[e]!, walk.axis, share));
  // Those that say most come first, so that a poor ray is seen early.
  const seasons = groupBy([...sums.keys()], (e) => String(evidence[e]!.season))
    .map(([, fields]) => fields.map((e) => sums[e]!))
    .sort((a, b) => mostSaid(b) - mostSaid(a));
  /** [ray][season]. */
  const mosts = new Float64Array(grid.rays.length * seasons.length);
  const bounds = Float64Array.from(grid.rays, ({ logPrior, logFlatPrior }, ray) => {
    let log = Math.max(logPrior, logFlatPrior - lessEven);
    seasons.forEach((fields, i) => {
      const most = fields.reduce((sum, one) => sum + walk.most(one, ray), 0);
      mosts[ray * seasons.length + i] = most;
      log += most;
    });
    return log;
  });
  const order = Int32Array.from(bounds.keys()).sort((a, b) => bounds[b]! - bounds[a]! || a - b);
  const cells = Math.log(grid.states.length * grid.needs.count);
  const rays: RayLikelihood[] = [];
  let reached = -Infinity;
  for (const ray of order) {
    const spare = bounds[ray]! - (reached - limit);
    if (spare < 0) break;
    const at = ray * seasons.length;
    const likelihood = walk.along(seasons, ray, mosts.subarray(at, at + seasons.length), spare);
    if (likelihood === null) continue;
    rays.push(likelihood);
    reached = Math.max(reached, likelihood.log + grid.rays[ray]!.logPrior - cells);
  }
  return {
    rays: rays.sort((a, b) => a.ray - b.ray),
    logNoResponse: sums.reduce(
      (log, { power, total, scale }) => log - power * Math.log(1 + total * scale),
      0,
    ),
  };
}

/** How much more likely than a flat one a curve through all means would be: logarithm, for the fields of a season. */
const mostSaid = (fields: readonly EnvironmentSums[]): number =>
  fields.reduce((sum, { power, total, scale }) => sum + power * Math.log(1 + total * scale), 0);

export function environmentSums(
  one: RateEvidence,
  error: ErrorBelief,
  axis: LogAxis,
  share: number,
): EnvironmentSums {
  const { rates, weight, cross } = one;
  const K = rates.length;
  const needs = axis.count;
  const shapes = riseShapes.length;
  const sums: EnvironmentSums = {
    field: one.field,
    total: one.total,
    riseCross: new Float64Array(shapes * needs),
    riseRise: new Float64Array(shapes * needs),
    fallCross: new Float64Array(shoulders.length * needs),
    fallFall: new Float64Array(shoulders.length * needs),
    riseFall: new Float64Array(shapes * shoulders.length * needs),
    power: (share * (error.degrees + one.degrees)) / 2,
    scale: 1 / error.ss,
  };
  const rises = riseShapes.map(() => new Float64Array(K));
  const falls = new Float64Array(K);
  const weighted = new Float64Array(K);
  const dot = (a: Float64Array, b: Float64Array): number => {
    let sum = 0;
    for (let k = 0; k < K; k++) sum += a[k]! * b[k]!;
    return sum;
  };
  const weigh = (values: Float64Array): void => {
    for (let k = 0; k < K; k++) {
      let sum = 0;
      for (let l = 0; l < K; l++) sum += weight[k * K + l]! * values[l]!;
      weighted[k] = sum;
    }
  };
  for (let j = 0; j < needs; j++) {
    const need = Math.exp(logOn(axis, j));
    for (let s = 0; s < shapes; s++) {
      const { rise } = riseShapes[s]!;
      const ofShape = rises[s]!;
      for (let k = 0; k < K; k++) ofShape[k] = rise(rates[k]! / need);
      weigh(ofShape);
      sums.riseCross[s * needs + j] = dot(ofShape, cross);
      sums.riseRise[s * needs + j] = dot(ofShape, weighted);
    }
    for (let h = 0; h < shoulders.length; h++) {
      for (let k = 0; k < K; k++) falls[k] = fall(rates[k]! / need, shoulders[h]!);
      weigh(falls);
      sums.fallCross[h * needs + j] = dot(falls, cross);
      sums.fallFall[h * needs + j] = dot(falls, weighted);
      for (let s = 0; s < shapes; s++)
        sums.riseFall[(s * shoulders.length + h) * needs + j] = dot(rises[s]!, weighted);
    }
  }
  return sums;
}

/** The first and the last place of a part of an axis; none where the last comes before the first. */
interface Ends {
  first: number;
  last: number;
}

/** Walks along the rays of a grid with buffers of its own. */
class RayWalk {
  /** The grid's axis of need, longer at both ends by what moves it: the need of a field in a season may lie beyond it. */
  readonly axis: LogAxis;
  private readonly grid: CurveGrid;
  private readonly negligible: number;
  private readonly needs: number;
  private readonly smoothers: Smoother[];
  private readonly pad: number;
  /** How far along the axis the likelihood of a field is read beyond where the farm's is asked for. */
  private readonly shiftReach: number;
  private readonly kernelReach: number;
  private readonly places: Place[];
  private readonly likelihoods: EnvironmentLikelihood;
  /** Likelihoods of a season's fields together at each place. */
  private readonly here: Float64Array[];
  /** Likelihood of one field as it is, and smoothed; both run on beyond the axis as at its ends. */
  private readonly plain: WithEnds;
  private readonly smoothed: WithEnds;
  /** Likelihoods of all environments, [state][need]. */
  private readonly product: Float64Array;

  constructor(grid: CurveGrid, negligible: number, strengthSpread: number) {
    const { from, step, count } = grid.needs;
    this.grid = grid;
    this.negligible = negligible;
    this.needs = count;
    this.smoothers = grid.states.map(({ season }) => normalSmoother(season, step));
    this.places = placesOf(grid.states, step);
    const reach = Math.max(...this.smoothers.map((one) => one.reach));
    const shifts = grid.states.flatMap((state) => [...state.shifts.values()].map(Math.abs));
    this.pad = reach + Math.ceil(Math.max(0, ...shifts) / step);
    this.axis = { from: from - this.pad * step, step, count: count + 2 * this.pad };
    this.likelihoods = new EnvironmentLikelihood(this.axis.count, strengthSpread);
    this.here = this.places.map(() => new Float64Array(this.axis.count));
    this.shiftReach = Math.ceil(Math.max(0, ...shifts) / step) + 2;
    this.kernelReach = Math.max(...this.places.map(({ kernel }) => kernel.length)) - 1;
    const beyond = Math.max(this.shiftReach, this.kernelReach);
    this.plain = new WithEnds(this.axis.count, beyond);
    this.smoothed = new WithEnds(this.axis.count, beyond);
    this.product = new Float64Array(this.smoothers.length * count);
  }

  /** Largest log likelihood on a ray, at every second place. */
  most(sums: EnvironmentSums, ray: number): number {
    return this.likelihoods.most(sums, this.grid.rays[ray]!);
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
    ray: number,
    mosts: Float64Array,
    spare: number,
  ): RayLikelihood | null {
    const { needs, smoothers, pad } = this;
    const values = this.product.fill(1);
    // Places outside these ends are already zero.
    const from = smoothers.map(() => 0);
    const to = smoothers.map(() => needs - 1);
    let [log, bound] = [0, 0];
    // Products are brought back to 1 before they grow too small for numbers.
    let [missed, scaled] = [0, 0];
    for (let i = 0; i < seasons.length; i++) {
      const season = this.season(seasons[i]!, ray, this.reachedFrom(from, to));
      log += season.largest;
      bound += mosts[i]!;
      let most = 0;
      for (let p = 0; p < this.places.length; p++) {
        const { first, last } = season.ends[p]!;
        for (const t of this.places[p]!.states) {
          const { reach } = smoothers[t]!;
          const at = t * needs;
          const start = Math.max(from[t]!, first - pad - reach);
          const end = Math.min(to[t]!, last - pad + reach);
          values.fill(0, at + from[t]!, at + Math.min(start, to[t]! + 1));
          values.fill(0, at + Math.max(end + 1, from[t]!), at + to[t]! + 1);
          [from[t], to[t]] = [start, end];
          most = Math.max(most, this.multiplySmoothed(values, t, this.here[p]!, start, end));
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

  /** The places of the longer axis that a season may move a need to, of those between the ends of each state. */
  private reachedFrom(from: readonly number[], to: readonly number[]): Ends {
    let [first, last] = [this.axis.count - 1, 0];
    for (let t = 0; t < from.length; t++) {
      if (from[t]! > to[t]!) continue;
      const { reach } = this.smoothers[t]!;
      first = Math.min(first, from[t]! + this.pad - reach);
      last = Math.max(last, to[t]! + this.pad + reach);
    }
    return { first, last };
  }

  /**
   * Likelihoods of a season at each place of the fields, the largest of all 1.
   *
   * @param where  on the axis; elsewhere they are 0
   * @returns the ends of those that are not negligible, and the logarithm of the largest
   */
  private season(
    fields: readonly EnvironmentSums[],
    ray: number,
    where: Ends,
  ): { ends: Ends[]; largest: number } {
    for (const here of this.here) here.fill(0).fill(1, where.first, where.last + 1);
    const shifted = this.longer(where, this.shiftReach);
    const moved = this.longer(shifted, this.kernelReach);
    let taken = 0;
    for (const sums of fields) {
      taken += this.plain.takeLikelihoods(this.likelihoods.along(sums, this.grid.rays[ray]!, moved), moved);
      let known = 0;
      let field = this.plain;
      for (let p = 0; p < this.places.length; p++) {
        const { fieldInSeason, kernel, shifts } = this.places[p]!;
        if (fieldInSeason !== known) {
          this.smoothed.takeSmoothed(this.plain, kernel, shifted);
          field = this.smoothed;
          known = fieldInSeason;
        }
        field.multiplyShifted(this.here[p]!, (shifts.get(sums.field) ?? 0) / this.axis.step, where);
      }
    }
    const most = this.here.reduce((top, here) => Math.max(top, largest(here, where)), 0);
    const least = most * Math.exp(-this.negligible - 5);
    const ends = this.here.map((here) => scaleDown(here, most, least, where));
    return { ends, largest: taken + Math.log(most) };
  }

  private longer({ first, last }: Ends, by: number): Ends {
    return { first: Math.max(0, first - by), last: Math.min(this.axis.count - 1, last + by) };
  }

  /** Multiplies by the smoothed likelihoods between two places; gives the largest product. */
  private multiplySmoothed(
    into: Float64Array,
    state: number,
    here: Float64Array,
    start: number,
    end: number,
  ): number {
    const { pad } = this;
    const { half, stride } = this.smoothers[state]!;
    const weights = half.length;
    const middle = half[0]!;
    const at = state * this.needs;
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

/** Likelihoods along the axis that run on beyond both ends as they are there. */
class WithEnds {
  private readonly values: Float64Array;
  private readonly count: number;
  private readonly beyond: number;

  constructor(count: number, beyond: number) {
    this.values = new Float64Array(count + 2 * beyond);
    this.count = count;
    this.beyond = beyond;
  }

  /** @returns logarithm of what the likelihoods were divided by */
  takeLikelihoods({ logs, bends }: LaplaceLikelihood, where: Ends): number {
    const { values, beyond } = this;
    const scaledBy = largest(logs, where);
    for (let j = where.first; j <= where.last; j++)
      values[beyond + j] = Math.exp(logs[j]! - scaledBy) / Math.sqrt(bends[j]!);
    this.runOn(where);
    return scaledBy;
  }

  takeSmoothed(from: WithEnds, kernel: Float64Array, where: Ends): void {
    const { values, beyond } = this;
    const last = beyond + where.last;
    for (let place = beyond + where.first; place <= last; place++) {
      let sum = kernel[0]! * from.values[place]!;
      for (let d = 1; d < kernel.length; d++)
        sum += kernel[d]! * (from.values[place - d]! + from.values[place + d]!);
      values[place] = sum;
    }
    this.runOn(where);
  }

  /** Multiplies by what stands so many steps further on; between places by a cubic, as in `addShifted`, but never below 0. */
  multiplyShifted(into: Float64Array, steps: number, where: Ends): void {
    const { values } = this;
    const whole = Math.floor(steps);
    const part = steps - whole;
    const at = this.beyond + whole;
    if (part === 0) {
      for (let j = where.first; j <= where.last; j++) into[j]! *= values[at + j]!;
      return;
    }
    const [a, b, c, d] = cubicBetween(part);
    const from = at + where.first;
    let [before, here, next] = [values[from - 1]!, values[from]!, values[from + 1]!];
    for (let j = where.first; j <= where.last; j++) {
      const after = values[at + j + 2]!;
      const value = a * before + b * here + c * next + d * after;
      into[j]! *= value > 0 ? value : 0;
      [before, here, next] = [here, next, after];
    }
  }

  private runOn({ first, last }: Ends): void {
    const { values, count, beyond } = this;
    if (first === 0) values.fill(values[beyond]!, 0, beyond);
    if (last === count - 1) values.fill(values[beyond + count - 1]!, beyond + count);
  }
}

/** Weights of the four nearest places for a part of a step beyond the second (Catmull & Rom 1974, FROM MEMORY). */
function cubicBetween(part: number): [number, number, number, number] {
  const [square, cube] = [part * part, part * part * part];
  return [
    -0.5 * part + square - 0.5 * cube,
    1 - 2.5 * square + 1.5 * cube,
    0.5 * part + 2 * square - 1.5 * cube,
    -0.5 * square + 0.5 * cube,
  ];
}

/** States that differ in the spread of seasons alone: what a season's fields say together is the same for them. */
interface Place {
  fieldInSeason: number;
  kernel: Float64Array;
  shifts: ReadonlyMap<string, number>;
  states: number[];
}

/** In the order of the spread of fields within a season. */
function placesOf(states: readonly FarmState[], step: number): Place[] {
  const numbered = states.map((state, t) => ({ ...state, t }));
  return groupBy(numbered, ({ fieldInSeason, place }) => JSON.stringify([fieldInSeason, place]))
    .map(([, same]) => ({
      fieldInSeason: same[0]!.fieldInSeason,
      kernel: normalKernel(same[0]!.fieldInSeason, step),
      shifts: same[0]!.shifts,
      states: same.map(({ t }) => t),
    }))
    .sort((a, b) => a.fieldInSeason - b.fieldInSeason);
}

/** Where two strengths are nearly as likely, the average about one of them is kept from growing without bound. */
const leastBend = 0.2;

/** exp(log) / √bend along a ray. */
export interface LaplaceLikelihood {
  logs: Float64Array;
  bends: Float64Array;
}

/** Likelihood of one environment along a ray. */
export class EnvironmentLikelihood {
  private readonly logs: Float64Array;
  private readonly bends: Float64Array;
  private readonly whole: Ends;
  private readonly strengthVariance: number;

  constructor(places: number, strengthSpread: number) {
    this.logs = new Float64Array(places);
    this.bends = new Float64Array(places);
    this.whole = { first: 0, last: places - 1 };
    this.strengthVariance = strengthSpread ** 2;
  }

  /**
   * The strength g of the response is normal about 1. With g known the likelihood is (1 + ss(g) · scale)^−power, ss a
   * parabola in g; it is averaged over g by Laplace's method, about the likeliest g (Tierney & Kadane 1986, JASA 81:82,
   * FROM MEMORY).
   *
   * @param where  places that are asked for; the others are left as they were
   * @returns buffers of its own, overwritten by the next call
   */
  along(
    sums: EnvironmentSums,
    { shape, loss, decline, shoulder }: Ray,
    { first, last }: Ends = this.whole,
  ): LaplaceLikelihood {
    const { logs, bends, strengthVariance } = this;
    const needs = logs.length;
    const { riseCross, riseRise, fallCross, fallFall, riseFall, total, power, scale } = sums;
    const atShape = shape * needs;
    const atShoulder = shoulders.indexOf(shoulder) * needs;
    const atBoth = atShape * shoulders.length + atShoulder;
    const strengths = 2 * power * scale * strengthVariance;
    const perVariance = 1 / (2 * strengthVariance);
    const perPower = 1 / (power * strengthVariance);
    for (let j = first; j <= last; j++) {
      let cross = loss * riseCross[atShape + j]!;
      let square = loss * loss * riseRise[atShape + j]!;
      if (decline !== 0) {
        cross += decline * fallCross[atShoulder + j]!;
        square += decline * decline * fallFall[atShoulder + j]! + 2 * loss * decline * riseFall[atBoth + j]!;
      }
      if (strengths === 0 || square < 1e-12) {
        logs[j] = -power * Math.log(1 + scale * Math.max(0, total - 2 * cross + square));
        bends[j] = 1;
        continue;
      }
      // The likeliest strength lies between 1 and the fitted one; the better it is known where it lies, the nearer to that.
      const fitted = cross / square;
      const lowest = 1 + scale * Math.max(0, total - cross * fitted);
      const perSquare = scale * square;
      const known = strengths * square;
      let here = lowest;
      let [strength, off] = [1, 0];
      for (let turn = 0; turn < 3; turn++) {
        strength = (here + known * fitted) / (here + known);
        off = strength - fitted;
        here = lowest + perSquare * off * off;
      }
      const share = known / here;
      const strain = share * off;
      const bend = 1 + share - strain * strain * perPower;
      const away = strength - 1;
      logs[j] = -power * Math.log(here) - away * away * perVariance;
      bends[j] = bend > leastBend ? bend : leastBend;
    }
    return { logs, bends };
  }

  /**
   * The largest on a ray, looked for at every second place where the curve fits best: near enough to tell what is
   * negligible.
   */
  most(sums: EnvironmentSums, { shape, loss, decline, shoulder }: Ray): number {
    const { strengthVariance } = this;
    const needs = this.logs.length;
    const { riseCross, riseRise, fallCross, fallFall, riseFall, total, power, scale } = sums;
    const atShape = shape * needs;
    const atShoulder = shoulders.indexOf(shoulder) * needs;
    const atBoth = atShape * shoulders.length + atShoulder;
    const strengths = 2 * power * scale * strengthVariance;
    let [least, its] = [Infinity, 1];
    for (let j = 0; j < needs; j += 2) {
      let cross = loss * riseCross[atShape + j]!;
      let square = loss * loss * riseRise[atShape + j]!;
      if (decline !== 0) {
        cross += decline * fallCross[atShoulder + j]!;
        square += decline * decline * fallFall[atShoulder + j]! + 2 * loss * decline * riseFall[atBoth + j]!;
      }
      const plain = 1 + scale * Math.max(0, total - 2 * cross + square);
      let [value, wider] = [plain, 1];
      if (strengths > 0 && square >= 1e-12) {
        const lowest = 1 + scale * Math.max(0, total - (cross * cross) / square);
        wider = 1 + (strengths * square) / lowest;
        const off = cross - square;
        value = lowest + (scale * off * off) / (square * wider);
      }
      if (value < least) [least, its] = [value, wider];
    }
    return -power * Math.log(least) - 0.5 * Math.log(its);
  }
}

function largest(values: Float64Array, { first, last }: Ends): number {
  let most = -Infinity;
  for (let j = first; j <= last; j++) if (values[j]! > most) most = values[j]!;
  return most;
}

/** Logarithms of likelihoods smoothed along the axis; beyond its ends they stay as at the ends. */
export function smoothedLogs(logs: Float64Array, kernel: Float64Array): Float64Array {
  const most = largest(logs, { first: 0, last: logs.length - 1 });
  const reach = kernel.length - 1;
  const values = new Float64Array(logs.length + 2 * reach);
  for (let j = 0; j < logs.length; j++) values[reach + j] = Math.exp(logs[j]! - most);
  values.fill(values[reach]!, 0, reach);
  values.fill(values[reach + logs.length - 1]!, reach + logs.length);
  const smoothed = new Float64Array(logs.length);
  for (let j = 0; j < smoothed.length; j++) {
    const place = reach + j;
    let sum = kernel[0]! * values[place]!;
    for (let d = 1; d <= reach; d++) sum += kernel[d]! * (values[place - d]! + values[place + d]!);
    smoothed[j] = Math.log(sum + 1e-300) + most;
  }
  return smoothed;
}

/**
 * Adds values read so many steps further on; as at the ends beyond them.
 *
 * Between places a cubic through the four nearest: a straight line would lie below every hill, so that shifts of whole steps
 * would seem likelier than others.
 */
export function addShifted(into: Float64Array, values: Float64Array, steps: number): void {
  const last = values.length - 1;
  const whole = Math.floor(steps);
  const part = steps - whole;
  if (whole === 0 && part === 0) {
    for (let j = 0; j <= last; j++) into[j]! += values[j]!;
    return;
  }
  const [a, b, c, d] = cubicBetween(part);
  const within = (at: number): number => (at < 0 ? 0 : at > last ? last : at);
  for (let j = 0; j <= last; j++) {
    const at = j + whole;
    into[j]! +=
      at >= 1 && at + 2 <= last
        ? a * values[at - 1]! + b * values[at]! + c * values[at + 1]! + d * values[at + 2]!
        : a * values[within(at - 1)]! +
          b * values[within(at)]! +
          c * values[within(at + 1)]! +
          d * values[within(at + 2)]!;
  }
}

/** Divides by the largest of all; those below the least become 0. */
function scaleDown(likelihoods: Float64Array, most: number, least: number, where: Ends): Ends {
  let [first, last] = [likelihoods.length, -1];
  for (let j = where.first; j <= where.last; j++) {
    if (likelihoods[j]! <= least) {
      likelihoods[j] = 0;
      continue;
    }
    likelihoods[j]! /= most;
    if (j < first) first = j;
    last = j;
  }
  return { first, last };
}
