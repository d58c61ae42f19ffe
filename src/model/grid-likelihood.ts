/** How well each curve of the grid explains the strips of one variety, its seasons' shifts integrated out. */
import type { CurveGrid } from "./curve-grid.ts";
import { fall, riseShapes, shoulders } from "./forms/believable-curve.ts";
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

/** Rays that cannot reach e^−this of the best are left out, and places on a ray that do not. */
const negligible = 13;
/** Kernels end at this many standard deviations. */
const kernelReach = 3;

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
 * Student-t likelihood of each environment (error variance integrated out), averaged over the shift of its season,
 * multiplied over environments.
 */
export function gridLikelihood(
  evidence: readonly RateEvidence[],
  errors: readonly ErrorBelief[],
  grid: CurveGrid,
): GridLikelihood {
  const sums = evidence.map((one, e) => environmentSums(one, errors[e]!, grid));
  const walk = new RayWalk(grid);
  const bounds = Float64Array.from(grid.rays, ({ logPrior, logFlatPrior }, ray) =>
    sums.reduce((log, sum) => log + walk.most(sum, ray), Math.max(logPrior, logFlatPrior)),
  );
  const order = Int32Array.from(bounds.keys()).sort((a, b) => bounds[b]! - bounds[a]! || a - b);
  const cells = Math.log(grid.spreads.length * grid.logNeeds.length);
  const rays: RayLikelihood[] = [];
  let reached = -Infinity;
  for (const ray of order) {
    if (bounds[ray]! < reached - negligible) break;
    const likelihood = walk.along(sums, ray);
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

function environmentSums(one: RateEvidence, error: ErrorBelief, grid: CurveGrid): EnvironmentSums {
  const { rates, weight, cross } = one;
  const K = rates.length;
  const needs = grid.logNeeds.length;
  const shapes = riseShapes.length;
  const sums: EnvironmentSums = {
    total: one.total,
    riseCross: new Float64Array(shapes * needs),
    riseRise: new Float64Array(shapes * needs),
    fallCross: new Float64Array(shoulders.length * needs),
    fallFall: new Float64Array(shoulders.length * needs),
    riseFall: new Float64Array(shapes * shoulders.length * needs),
    power: (error.degrees + one.degrees) / 2,
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
    const need = Math.exp(grid.logNeeds[j]!);
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
  private readonly grid: CurveGrid;
  private readonly needs: number;
  private readonly kernels: Float64Array[];
  private readonly edges: Float64Array[];
  private readonly pad: number;
  /** Sums of squares along a ray, and likelihoods with zeros around them. */
  private readonly ss: Float64Array;
  private readonly here: Float64Array;
  private least = 0;

  constructor(grid: CurveGrid) {
    this.grid = grid;
    this.needs = grid.logNeeds.length;
    this.kernels = grid.spreads.map((spread) => normalKernel(spread, grid.needStep));
    this.edges = this.kernels.map((kernel) => coverage(kernel, this.needs));
    this.pad = Math.max(...this.kernels.map((kernel) => kernel.length - 1));
    this.ss = new Float64Array(this.needs);
    this.here = new Float64Array(this.needs + 2 * this.pad);
  }

  /** Largest log likelihood on a ray. */
  most(sums: EnvironmentSums, ray: number): number {
    this.sumSquares(sums, ray);
    return -sums.power * Math.log(1 + this.least * sums.scale);
  }

  /** Likelihood of all environments along a ray; null where every place of it is negligible beside its best ones. */
  along(sums: readonly EnvironmentSums[], ray: number): RayLikelihood | null {
    const { needs, kernels } = this;
    const values = new Float64Array(kernels.length * needs).fill(1);
    // Places outside these ends are already zero.
    const from = kernels.map(() => 0);
    const to = kernels.map(() => needs - 1);
    let log = 0;
    for (const sum of sums) {
      log += this.most(sum, ray);
      const [first, last] = this.likelihoods(sum);
      let most = 0;
      for (let t = 0; t < kernels.length; t++) {
        const reach = kernels[t]!.length - 1;
        const start = Math.max(from[t]!, first - reach);
        const end = Math.min(to[t]!, last + reach);
        const at = t * needs;
        values.fill(0, at + from[t]!, at + Math.max(from[t]!, start));
        values.fill(0, at + Math.max(end + 1, from[t]!), at + to[t]! + 1);
        [from[t], to[t]] = [start, end];
        most = Math.max(most, this.multiplySmoothed(values, t, start, end));
      }
      if (most === 0) return null;
      for (let c = 0; c < values.length; c++) values[c]! /= most;
      log += Math.log(most);
    }
    return { ray, log, values };
  }

  private sumSquares(sums: EnvironmentSums, ray: number): void {
    const { ss, needs } = this;
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

  /** Likelihoods of the sums of squares, the largest one 1; gives the ends of those that are not negligible. */
  private likelihoods({ power, scale }: EnvironmentSums): [number, number] {
    const { ss, here, pad, needs } = this;
    const best = 1 + this.least * scale;
    const limit = (best * Math.exp((negligible + 5) / power) - 1) / scale;
    const logBest = Math.log(best);
    let [first, last] = [needs, -1];
    for (let j = 0; j < needs; j++) {
      if (ss[j]! > limit) {
        here[pad + j] = 0;
        continue;
      }
      here[pad + j] = Math.exp(power * (logBest - Math.log(1 + Math.max(0, ss[j]!) * scale)));
      if (j < first) first = j;
      last = j;
    }
    return [first, last];
  }

  /** Multiplies by the smoothed likelihoods between two places; gives the largest product. */
  private multiplySmoothed(into: Float64Array, spread: number, start: number, end: number): number {
    const { here, pad } = this;
    const kernel = this.kernels[spread]!;
    const edge = this.edges[spread]!;
    const reach = kernel.length;
    const middle = kernel[0]!;
    const at = spread * this.needs;
    let most = 0;
    for (let j = start; j <= end; j++) {
      const place = pad + j;
      let sum = middle * here[place]!;
      for (let d = 1; d < reach; d++) sum += kernel[d]! * (here[place - d]! + here[place + d]!);
      const product = into[at + j]! * sum * edge[j]!;
      into[at + j] = product;
      if (product > most) most = product;
    }
    return most;
  }
}

/** Half of a symmetric kernel: weights at 0, 1, 2 … steps. */
export function normalKernel(sd: number, step: number): Float64Array {
  if (sd === 0) return Float64Array.of(1);
  const reach = Math.ceil((kernelReach * sd) / step);
  const half = Float64Array.from({ length: reach + 1 }, (_, i) => Math.exp(-0.5 * ((i * step) / sd) ** 2));
  const total = half.reduce((sum, weight) => sum + 2 * weight, -half[0]!);
  return half.map((weight) => weight / total);
}

/** 1 ÷ share of the kernel that lies on the axis, at each place of it. */
function coverage(kernel: Float64Array, length: number): Float64Array {
  return Float64Array.from({ length }, (_, j) => {
    let sum = 0;
    for (let d = 1 - kernel.length; d < kernel.length; d++)
      if (j + d >= 0 && j + d < length) sum += kernel[Math.abs(d)]!;
    return 1 / sum;
  });
}
