/**
 * Needs of varieties over many farms: log need = variety + farm + variety on that farm.
 *
 * Crossed random effects on a grid. Each farm's likelihoods of need are any shape at all, so nothing is taken to be normal
 * but the effects themselves; farms and varieties pass each other messages until these no longer change (sum-product
 * algorithm: Kschischang, Frey & Loeliger 2001, IEEE Trans. Inf. Theory 47:498), exact where no two varieties meet on a
 * farm twice. Sds of the effects are weighed on a grid by the Bethe approximation of the marginal likelihood (Yedidia,
 * Freeman & Weiss 2005, IEEE Trans. Inf. Theory 51:2282). Neither paper was looked up: a direct
 * computation in the tests says that both hold.
 */
import { logOn, type LogAxis } from "../../maths/log-axis.ts";
import { normalKernel, smoothedAt } from "../../maths/normal-kernel.ts";
import type { FarmsUnlike } from "../../vocabulary/region.ts";
import { oddSdLog, oddShare } from "../beliefs/lean-on-region.ts";
import type { NeedLikelihood } from "./farm-likelihoods.ts";

/** Sds of log need looked at, of farms and of varieties on farms, each weighed by a half-normal prior of scale `usualSd`. */
const farmSds = [0, 0.06, 0.12, 0.2];
const varietyOnFarmSds = [0.03, 0.08, 0.15, 0.25];
const usualSd = 0.1;
/** Sds less likely than this are not handed on. */
const negligible = 0.01;
const mostRounds = 30;
const settled = 1e-7;

export interface BetweenFarms {
  varieties: string[];
  /** By variety: probabilities on the axis of the need on a middling farm; sum 1. */
  needs: Float64Array[];
  unlike: FarmsUnlike[];
}

/** Varieties and farms laid flat: a pair is one variety on one farm. */
interface Pairs {
  places: number;
  variety: Int32Array;
  /** Pairs of farm f: from[f] up to from[f + 1]. */
  from: Int32Array;
  varieties: number;
}

/**
 * @param farms   for each farm its varieties' likelihoods of need on the axis; their order decides last digits only
 * @param prior   centre [log] and sd of the need of a variety beforehand
 */
export function compareFarms(
  farms: readonly (readonly NeedLikelihood[])[],
  axis: LogAxis,
  prior: { logNeed: number; sd: number },
): BetweenFarms {
  const varieties = [...new Set(farms.flatMap((farm) => farm.map(({ variety }) => variety)))].sort();
  const numberOf = new Map(varieties.map((variety, v) => [variety, v]));
  const all = farms.flat();
  const pairs: Pairs = {
    places: axis.count,
    variety: Int32Array.from(all, ({ variety }) => numberOf.get(variety)!),
    from: Int32Array.from([0, ...farms.map((farm) => farm.length)]),
    varieties: varieties.length,
  };
  for (let f = 1; f < pairs.from.length; f++) pairs.from[f]! += pairs.from[f - 1]!;
  const logPrior = Float64Array.from(
    { length: axis.count },
    (_, j) => -0.5 * ((logOn(axis, j) - prior.logNeed) / prior.sd) ** 2,
  );
  const states = varietyOnFarmSds.flatMap((varietyOnFarmSdLog) => {
    const smoothed = smooth(all, axis, varietyOnFarmSdLog);
    return farmSds.map((farmSdLog) => {
      const offsets = normalKernel(farmSdLog, axis.step);
      const { needs, logEvidence } = passMessages(pairs, smoothed, offsets, logPrior);
      return {
        farmSdLog,
        varietyOnFarmSdLog,
        needs,
        log: logEvidence + logPriorOfSds(farmSdLog, varietyOnFarmSdLog),
      };
    });
  });
  const most = Math.max(...states.map(({ log }) => log));
  const total = states.reduce((sum, { log }) => sum + Math.exp(log - most), 0);
  const weighed = states.map((state) => ({ ...state, weight: Math.exp(state.log - most) / total }));
  const needs = varieties.map((_, v) => {
    const mixed = new Float64Array(axis.count);
    for (const state of weighed)
      for (let j = 0; j < mixed.length; j++) mixed[j]! += state.weight * state.needs[v]![j]!;
    return mixed;
  });
  const kept = weighed.filter(({ weight }) => weight >= negligible);
  const keptWeight = kept.reduce((sum, { weight }) => sum + weight, 0);
  const unlike = kept.map(({ farmSdLog, varietyOnFarmSdLog, weight }) => ({
    weight: weight / keptWeight,
    farmSdLog,
    varietyOnFarmSdLog,
  }));
  return { varieties, needs, unlike };
}

const logPriorOfSds = (farm: number, varietyOnFarm: number): number =>
  -0.5 * ((farm / usualSd) ** 2 + (varietyOnFarm / usualSd) ** 2);

/** Likelihoods of the pairs' needs on their farms as a whole, each row with its last values repeated beyond both ends. */
interface Smoothed {
  values: Float64Array;
  /** Places of a row, and the first of them that is on the axis. */
  width: number;
  pad: number;
}

/** Likelihood of a variety's need on the farm as a whole: its own smoothed by how unlike varieties on a farm may be. */
function smooth(all: readonly NeedLikelihood[], axis: LogAxis, sd: number): Smoothed {
  const [usual, odd] = [normalKernel(sd, axis.step), normalKernel(oddSdLog, axis.step)];
  const pad = normalKernel(Math.max(...farmSds), axis.step).length - 1;
  const J = axis.count;
  const width = J + 2 * pad;
  const smoothed = new Float64Array(all.length * width);
  all.forEach(({ values }, p) => {
    const at = p * width + pad;
    for (let j = 0; j < J; j++)
      smoothed[at + j] =
        (1 - oddShare) * smoothedAt(values, j, usual) + oddShare * smoothedAt(values, j, odd);
    smoothed.fill(smoothed[at]!, at - pad, at);
    smoothed.fill(smoothed[at + J - 1]!, at + J, at + J + pad);
  });
  return { values: smoothed, width, pad };
}

/** What farms say of their varieties' needs, the largest of each pair 1, and the logarithms of it: [pair][need]. */
interface Messages {
  values: Float64Array;
  logs: Float64Array;
}

/** Needs of the varieties and the logarithm of the evidence, at given sds. */
function passMessages(
  pairs: Pairs,
  smoothed: Smoothed,
  offsets: Float64Array,
  logPrior: Float64Array,
): { needs: Float64Array[]; logEvidence: number } {
  const { places: J, variety, varieties } = pairs;
  const P = variety.length;
  const reach = offsets.length - 1;
  const messages: Messages = { values: new Float64Array(P * J), logs: new Float64Array(P * J) };
  // At first nothing is known of a farm but that it is one.
  const usual = Float64Array.from({ length: 2 * reach + 1 }, (_, f) => offsets[Math.abs(f - reach)]!);
  for (let p = 0; p < P; p++) sendMessage(messages, p, J, smoothed, usual);
  const byOffset = new Float64Array(P * (2 * reach + 1));
  const logs = Array.from({ length: varieties }, () => new Float64Array(J));
  const logZPrior = Math.log(logPrior.reduce((sum, log) => sum + Math.exp(log), 0));
  let logEvidence = 0;
  for (let round = 0; ; round++) {
    logs.forEach((log) => log.set(logPrior));
    for (let p = 0; p < P; p++) {
      const log = logs[variety[p]!]!;
      for (let j = 0; j < J; j++) log[j]! += messages.logs[p * J + j]!;
    }
    logEvidence = logs.reduce((sum, log) => sum + logSum(log) - logZPrior, 0);
    logEvidence -= tellFarms(pairs, logs, messages, smoothed, byOffset);
    const answered = tellVarieties(pairs, messages, smoothed, byOffset, usual);
    logEvidence += answered.logWhole;
    if (answered.change < settled || round === mostRounds) break;
  }
  return {
    needs: logs.map((log) => {
      const total = logSum(log);
      return log.map((value) => Math.exp(value - total));
    }),
    logEvidence,
  };
}

/**
 * What each variety says to each of its farms, itself left out: how likely each offset of the farm is, into `byOffset`.
 *
 * @returns Σ log of how far what farm and variety say of the need agrees
 */
function tellFarms(
  { places: J, variety }: Pairs,
  logs: readonly Float64Array[],
  messages: Messages,
  smoothed: Smoothed,
  byOffset: Float64Array,
): number {
  const width = byOffset.length / variety.length;
  const reach = (width - 1) / 2;
  const cavity = new Float64Array(J);
  let logMet = 0;
  for (let p = 0; p < variety.length; p++) {
    const log = logs[variety[p]!]!;
    let most = -Infinity;
    for (let j = 0; j < J; j++) {
      const without = log[j]! - messages.logs[p * J + j]!;
      cavity[j] = without;
      if (without > most) most = without;
    }
    let sum = 0;
    let met = 0;
    for (let j = 0; j < J; j++) {
      const value = 1 * Math.exp(cavity[j]! - most);
      cavity[j] = value;
      sum += value;
      met += value * messages.values[p * J + j]!;
    }
    logMet += Math.log(met / sum);
    const first = p * smoothed.width + smoothed.pad - reach;
    for (let f = 0; f < width; f++) {
      let value = 0;
      for (let j = 0, at = first + f; j < J; j++, at++) value += cavity[j]! * smoothed.values[at]!;
      byOffset[p * width + f] = value / sum;
    }
  }
  return logMet;
}

/** What each farm answers, from its other varieties: into `messages`. Gives the largest change, and Σ log of each farm's whole. */
function tellVarieties(
  { places: J, from }: Pairs,
  messages: Messages,
  smoothed: Smoothed,
  byOffset: Float64Array,
  usual: Float64Array,
): { change: number; logWhole: number } {
  const width = usual.length;
  const weights = new Float64Array(width);
  let change = 0;
  let logWhole = 0;
  /** Of each offset of the farm: as farms usually lie, and as its varieties but one say. */
  const weigh = (first: number, end: number, but: number): void => {
    weights.set(usual);
    for (let q = first; q < end; q++)
      if (q !== but) for (let f = 0; f < width; f++) weights[f]! *= byOffset[q * width + f]!;
  };
  for (let farm = 0; farm + 1 < from.length; farm++) {
    const [first, end] = [from[farm]!, from[farm + 1]!];
    weigh(first, end, -1);
    logWhole += Math.log(weights.reduce((sum, weight) => sum + weight, 0));
    for (let p = first; p < end; p++) {
      weigh(first, end, p);
      change = Math.max(change, sendMessage(messages, p, J, smoothed, weights));
    }
  }
  return { change, logWhole };
}

/** What a farm says of one variety's need, its own offset weighed by the farm's other varieties; gives the largest change. */
function sendMessage(
  { values, logs }: Messages,
  p: number,
  J: number,
  smoothed: Smoothed,
  weights: Float64Array,
): number {
  const next = new Float64Array(J);
  const first = p * smoothed.width + smoothed.pad - (weights.length - 1) / 2;
  for (let f = 0; f < weights.length; f++) {
    const weight = weights[f]!;
    for (let j = 0, at = first + f; j < J; j++, at++) next[j]! += weight * smoothed.values[at]!;
  }
  let most = 0;
  for (let j = 0; j < J; j++) if (next[j]! > most) most = next[j]!;
  let change = 0;
  for (let j = 0, at = p * J; j < J; j++, at++) {
    const value = Math.max(next[j]! / most, 1e-300);
    const moved = Math.abs(value - values[at]!);
    if (moved > change) change = moved;
    values[at] = value;
    logs[at] = Math.log(value);
  }
  return change;
}

function logSum(logs: Float64Array): number {
  const most = logs.reduce((a, b) => Math.max(a, b), -Infinity);
  return most + Math.log(logs.reduce((sum, log) => sum + Math.exp(log - most), 0));
}
