/** How well each curve of the grid explains the strips of one variety, its seasons' shifts integrated out. */
import { logOn, type LogAxis } from "../../maths/log-axis.ts";
import { normalKernel } from "../../maths/normal-kernel.ts";
import { seasonSpreads, type CurveGrid } from "./curve-grid.ts";
import { groupBy } from "../../maths/group-by.ts";
import { fall, riseShapes, shoulders } from "../forms/believable-curve.ts";
import type { RateEvidence } from "./rate-evidence.ts";
import type { ErrorBelief } from "./strip-error.ts";

/** What is kept of a ray: its likelihood along the axis, [spread][need], times e^`log`. */
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
const negligible = 13;
const negligibleInPart = 9;

/** Sums of squares of one environment as products of its sums with the shapes: [shape or shoulder][need]. */
interface EnvironmentSums {
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
 * Student-t likelihood of each environment (error variance integrated out), multiplied over the fields of a season,
 * averaged over the shift that they share, and multiplied over seasons.
 *
 * @param share  strips count by this share: the power of each environment's likelihood
 */
export function gridLikelihood(
  evidence: readonly RateEvidence[],
  errors: readonly ErrorBelief[],
  grid: CurveGrid,
  share: number,
): GridLikelihood {
  const limit = share < 1 ? negligibleInPart : negligible;
  const walk = new RayWalk(grid, limit);
  const sums = evidence.map((one, e) => environmentSums(one, errors[e]!, walk.axis, share));
  const seasons = groupBy([...sums.keys()], (e) => String(evidence[e]!.season)).map(([, fields]) =>
    fields.map((e) => sums[e]!),
  );
  const bounds = Float64Array.from(grid.rays, ({ logPrior, logFlatPrior }, ray) =>
    sums.reduce((log, sum) => log + walk.most(sum, ray), Math.max(logPrior, logFlatPrior)),
  );
  const order = Int32Array.from(bounds.keys()).sort((a, b) => bounds[b]! - bounds[a]! || a - b);
  const cells = Math.log(seasonSpreads.length * grid.needs.count);
  const rays: RayLikelihood[] = [];
  let reached = -Infinity;
  for (const ray of order) {
    const spare = bounds[ray]! - (reached - limit);
    if (spare < 0) break;
    const likelihood = walk.along(seasons, ray, spare);
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

function environmentSums(
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
    total: one.total,
    riseCross: new Float64Array(shapes * needs),
    riseRise: new Float64Array(shapes * needs),
    fallCross: new Float64Array(shoulders.length * needs),
    fallFall: new Float64Array(shoulders.length * needs),
    riseFall: new Float64Array(shapes * shoulders.length * needs),
    power: (share * (error.degrees + one.degrees)) / 2,
    scale: 1 / error.ss,
  };
  const f = new Float64Array(K);
  const g = new Float64Array(K);
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
    for (let h = 0; h < shoulders.length; h++) {
      for (let k = 0; k < K; k++) g[k] = fall(rates[k]! / need, shoulders[h]!);
      weigh(g);
      sums.fallCross[h * needs + j] = dot(g, cross);
      sums.fallFall[h * needs + j] = dot(g, weighted);
      for (let s = 0; s < shapes; s++) {
        for (let k = 0; k < K; k++) f[k] = riseShapes[s]!.rise(rates[k]! / need);
        sums.riseFall[(s * shoulders.length + h) * needs + j] = dot(f, weighted);
      }
    }
    for (let s = 0; s < shapes; s++) {
      for (let k = 0; k < K; k++) f[k] = riseShapes[s]!.rise(rates[k]! / need);
      weigh(f);
      sums.riseCross[s * needs + j] = dot(f, cross);
      sums.riseRise[s * needs + j] = dot(f, weighted);
    }
  }
  return sums;
}

/** Walks along the rays of a grid with buffers of its own. */
class RayWalk {
  /** The grid's axis of need, longer at both ends by the widest kernel: a season's need may lie beyond it. */
  readonly axis: LogAxis;
  private readonly grid: CurveGrid;
  private readonly negligible: number;
  private readonly needs: number;
  private readonly kernels: Float64Array[];
  private readonly pad: number;
  /** Sums of squares along a ray of the longer axis, and likelihoods. */
  private readonly ss: Float64Array;
  private readonly here: Float64Array;
  /** Likelihoods of all environments, [spread][need]. */
  private readonly product: Float64Array;
  private least = 0;

  constructor(grid: CurveGrid, negligible: number) {
    const { from, step, count } = grid.needs;
    this.grid = grid;
    this.negligible = negligible;
    this.needs = count;
    this.kernels = seasonSpreads.map((sd) => normalKernel(sd, step));
    this.pad = Math.max(...this.kernels.map((kernel) => kernel.length - 1));
    this.axis = { from: from - this.pad * step, step, count: count + 2 * this.pad };
    this.ss = new Float64Array(this.axis.count);
    this.here = new Float64Array(this.axis.count);
    this.product = new Float64Array(this.kernels.length * count);
  }

  /** Largest log likelihood on a ray. */
  most(sums: EnvironmentSums, ray: number): number {
    this.sumSquares(sums, ray);
    return -sums.power * Math.log(1 + this.least * sums.scale);
  }

  /**
   * Likelihood of all seasons along a ray.
   *
   * @param spare  by how much the sum of each environment's largest may be missed
   * @returns null where every place of the ray is negligible beside its best ones, or misses by more
   */
  along(seasons: readonly (readonly EnvironmentSums[])[], ray: number, spare: number): RayLikelihood | null {
    const { needs, kernels, pad } = this;
    const values = this.product.fill(1);
    // Places outside these ends are already zero.
    const from = kernels.map(() => 0);
    const to = kernels.map(() => needs - 1);
    let [log, bound] = [0, 0];
    // Products are brought back to 1 before they grow too small for numbers.
    let [missed, scaled] = [0, 0];
    for (const fields of seasons) {
      const { first, last, largest, bests } = this.likelihoods(fields, ray);
      log += largest;
      bound += bests;
      let most = 0;
      for (let t = 0; t < kernels.length; t++) {
        const reach = kernels[t]!.length - 1;
        const at = t * needs;
        const start = Math.max(from[t]!, first - pad - reach);
        const end = Math.min(to[t]!, last - pad + reach);
        values.fill(0, at + from[t]!, at + Math.min(start, to[t]! + 1));
        values.fill(0, at + Math.max(end + 1, from[t]!), at + to[t]! + 1);
        [from[t], to[t]] = [start, end];
        most = Math.max(most, this.multiplySmoothed(values, t, start, end));
      }
      if (most === 0) return null;
      missed = scaled - Math.log(most);
      if (bound - log + missed > spare) return null;
      if (most > 1e-100) continue;
      for (let c = 0; c < values.length; c++) values[c]! /= most;
      scaled = missed;
    }
    const last = Math.exp(scaled - missed);
    return { ray, log: log - missed, values: values.map((value) => value / last) };
  }

  private sumSquares(sums: EnvironmentSums, ray: number): void {
    const { ss } = this;
    const needs = ss.length;
    const { shape, loss, decline, shoulder } = this.grid.rays[ray]!;
    const { riseCross, riseRise, fallCross, fallFall, riseFall, total } = sums;
    const atShape = shape * needs;
    const linear = -2 * loss;
    const square = loss * loss;
    let least = Infinity;
    if (decline === 0) {
      for (let j = 0; j < needs; j++) {
        const value = total + linear * riseCross[atShape + j]! + square * riseRise[atShape + j]!;
        ss[j] = value;
        if (value < least) least = value;
      }
    } else {
      const atShoulder = shoulders.indexOf(shoulder) * needs;
      const atBoth = atShape * shoulders.length + atShoulder;
      const both = 2 * loss * decline;
      const fallLinear = -2 * decline;
      const fallSquare = decline * decline;
      for (let j = 0; j < needs; j++) {
        const value =
          total +
          linear * riseCross[atShape + j]! +
          square * riseRise[atShape + j]! +
          fallLinear * fallCross[atShoulder + j]! +
          fallSquare * fallFall[atShoulder + j]! +
          both * riseFall[atBoth + j]!;
        ss[j] = value;
        if (value < least) least = value;
      }
    }
    this.least = Math.max(0, least);
  }

  /**
   * Likelihoods of a season, the largest one 1.
   *
   * @returns the ends of those that are not negligible; the logarithm of the largest; and of each field's own largest, summed
   */
  private likelihoods(
    fields: readonly EnvironmentSums[],
    ray: number,
  ): { first: number; last: number; largest: number; bests: number } {
    const { ss, here } = this;
    here.fill(0);
    let bests = 0;
    for (const sums of fields) {
      const { power, scale } = sums;
      bests += this.most(sums, ray);
      for (let j = 0; j < here.length; j++) here[j]! -= power * Math.log(1 + Math.max(0, ss[j]!) * scale);
    }
    let most = -Infinity;
    for (let j = 0; j < here.length; j++) if (here[j]! > most) most = here[j]!;
    let [first, last] = [here.length, -1];
    for (let j = 0; j < here.length; j++) {
      const log = here[j]! - most;
      if (log < -(this.negligible + 5)) {
        here[j] = 0;
        continue;
      }
      here[j] = Math.exp(log);
      if (j < first) first = j;
      last = j;
    }
    return { first, last, largest: most, bests };
  }

  /** Multiplies by the smoothed likelihoods between two places; gives the largest product. */
  private multiplySmoothed(into: Float64Array, spread: number, start: number, end: number): number {
    const { here, pad } = this;
    const kernel = this.kernels[spread]!;
    const reach = kernel.length;
    const middle = kernel[0]!;
    const at = spread * this.needs;
    let most = 0;
    for (let j = start; j <= end; j++) {
      const place = pad + j;
      let sum = middle * here[place]!;
      for (let d = 1; d < reach; d++) sum += kernel[d]! * (here[place - d]! + here[place + d]!);
      const product = into[at + j]! * sum;
      into[at + j] = product;
      if (product > most) most = product;
    }
    return most;
  }
}
