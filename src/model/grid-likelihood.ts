/** How well each curve of the grid explains the strips of one variety, its seasons' shifts integrated out. */
import type { CurveGrid } from "./curve-grid.ts";
import { fall, riseShapes, shoulders } from "./forms/believable-curve.ts";
import type { RateEvidence } from "./rate-evidence.ts";
import type { ErrorBelief } from "./strip-error.ts";

/** Likelihoods relative to `logScale`; only rays of some weight are kept. */
export interface GridLikelihood {
  /** Indexes into `grid.rays`, ascending. */
  rays: Int32Array;
  /** [kept ray][spread][need]. */
  likelihood: Float64Array;
  /** Of a flat curve. */
  noResponse: number;
  logScale: number;
}

/** Rays that cannot reach e^−this of the best are left out. */
const negligible = 16;
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
  const needs = grid.logNeeds.length;
  const sums = evidence.map((one, e) => environmentSums(one, errors[e]!, grid));
  const kernels = grid.spreads.map((spread) => normalKernel(spread, grid.needStep));
  const edges = kernels.map((kernel) => coverage(kernel, needs));
  const { order, bounds, reached } = rankRays(sums, grid);
  const block = grid.spreads.length * needs;
  const kept: { ray: number; log: number; values: Float64Array }[] = [];
  let best = reached;
  const logs = new Float64Array(needs);
  const here = new Float64Array(needs);
  for (const ray of order) {
    if (bounds[ray]! < best - negligible) break;
    const values = new Float64Array(block).fill(1);
    let log = 0;
    for (const sum of sums) {
      const most = rayLogLikelihood(sum, grid, ray, logs);
      log += most;
      for (let j = 0; j < needs; j++) here[j] = Math.exp(logs[j]! - most);
      kernels.forEach((kernel, t) => multiplySmoothed(values, t * needs, here, kernel, edges[t]!));
      log += rescale(values);
    }
    kept.push({ ray, log, values });
    best = Math.max(best, log + grid.rays[ray]!.logPrior - Math.log(block));
  }
  kept.sort((a, b) => a.ray - b.ray);
  const flat = sums.reduce((sum, one) => sum - one.power * Math.log(1 + one.total * one.scale), 0);
  const logScale = kept.reduce((most, one) => Math.max(most, one.log), flat);
  const likelihood = new Float64Array(kept.length * block);
  kept.forEach(({ log, values }, i) => {
    const factor = Math.exp(log - logScale);
    for (let c = 0; c < block; c++) likelihood[i * block + c] = values[c]! * factor;
  });
  return {
    rays: Int32Array.from(kept, (one) => one.ray),
    likelihood,
    noResponse: Math.exp(flat - logScale),
    logScale,
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

/** Log likelihood along a ray, into `logs`; gives its largest. */
function rayLogLikelihood(sums: EnvironmentSums, grid: CurveGrid, ray: number, logs: Float64Array): number {
  const { shape, loss, decline, shoulder } = grid.rays[ray]!;
  const needs = logs.length;
  const { riseCross, riseRise, fallCross, fallFall, riseFall, total, power, scale } = sums;
  const atShape = shape * needs;
  const atShoulder = decline === 0 ? 0 : shoulders.indexOf(shoulder) * needs;
  const atBoth = atShape * shoulders.length + atShoulder;
  const linear = -2 * loss;
  const square = loss * loss;
  const both = 2 * loss * decline;
  const fallLinear = -2 * decline;
  const fallSquare = decline * decline;
  let most = -Infinity;
  for (let j = 0; j < needs; j++) {
    let ss = total + linear * riseCross[atShape + j]! + square * riseRise[atShape + j]!;
    if (decline !== 0)
      ss +=
        fallLinear * fallCross[atShoulder + j]! +
        fallSquare * fallFall[atShoulder + j]! +
        both * riseFall[atBoth + j]!;
    const log = -power * Math.log(1 + Math.max(0, ss) * scale);
    logs[j] = log;
    if (log > most) most = log;
  }
  return most;
}

/** Rays by the most they could reach, and a height that one of them surely reaches. */
function rankRays(
  sums: readonly EnvironmentSums[],
  grid: CurveGrid,
): { order: Int32Array; bounds: Float64Array; reached: number } {
  const needs = grid.logNeeds.length;
  const bounds = new Float64Array(grid.rays.length);
  const logs = new Float64Array(needs);
  const joint = new Float64Array(needs);
  let reached = -Infinity;
  for (let ray = 0; ray < bounds.length; ray++) {
    joint.fill(0);
    let bound = 0;
    for (const sum of sums) {
      bound += rayLogLikelihood(sum, grid, ray, logs);
      for (let j = 0; j < needs; j++) joint[j]! += logs[j]!;
    }
    const { logPrior } = grid.rays[ray]!;
    bounds[ray] = bound + Math.max(logPrior, grid.rays[ray]!.logFlatPrior);
    const cells = Math.log(grid.spreads.length * needs);
    for (let j = 0; j < needs; j++) reached = Math.max(reached, joint[j]! + logPrior - cells);
  }
  const order = Int32Array.from(bounds.keys()).sort((a, b) => bounds[b]! - bounds[a]! || a - b);
  return { order, bounds, reached };
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

function multiplySmoothed(
  into: Float64Array,
  at: number,
  values: Float64Array,
  kernel: Float64Array,
  edge: Float64Array,
): void {
  const length = values.length;
  const reach = kernel.length - 1;
  for (let j = 0; j < length; j++) {
    let sum = kernel[0]! * values[j]!;
    for (let d = 1; d <= reach; d++) {
      const weight = kernel[d]!;
      if (j >= d) sum += weight * values[j - d]!;
      if (j + d < length) sum += weight * values[j + d]!;
    }
    into[at + j]! *= sum * edge[j]!;
  }
}

/** Divides by the largest and gives its logarithm. */
function rescale(values: Float64Array): number {
  let most = 0;
  for (let i = 0; i < values.length; i++) if (values[i]! > most) most = values[i]!;
  if (most === 0) return 0;
  for (let i = 0; i < values.length; i++) values[i]! /= most;
  return Math.log(most);
}
