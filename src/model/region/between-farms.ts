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

/** Likelihood of a variety's need on the farm as a whole: its own smoothed by how unlike varieties on a farm may be. */
function smooth(all: readonly NeedLikelihood[], axis: LogAxis, sd: number): Float64Array {
  const [usual, odd] = [normalKernel(sd, axis.step), normalKernel(oddSdLog, axis.step)];
  const J = axis.count;
  const smoothed = new Float64Array(all.length * J);
  all.forEach(({ values }, p) => {
    for (let j = 0; j < J; j++)
      smoothed[p * J + j] =
        (1 - oddShare) * smoothedAt(values, j, usual) + oddShare * smoothedAt(values, j, odd);
  });
  return smoothed;
}

/** Needs of the varieties and the logarithm of the evidence, at given sds. */
function passMessages(
  pairs: Pairs,
  smoothed: Float64Array,
  offsets: Float64Array,
  logPrior: Float64Array,
): { needs: Float64Array[]; logEvidence: number } {
  const { places: J, variety, varieties } = pairs;
  const P = variety.length;
  const reach = offsets.length - 1;
  const messages = new Float64Array(P * J);
  // At first nothing is known of a farm but that it is one.
  for (let p = 0; p < P; p++) sendMessage(messages, p, smoothed, J, reach, (f) => offsets[Math.abs(f)]!);
  const byOffset = new Float64Array(P * (2 * reach + 1));
  const logs = Array.from({ length: varieties }, () => new Float64Array(J));
  const logZPrior = Math.log(logPrior.reduce((sum, log) => sum + Math.exp(log), 0));
  let logEvidence = 0;
  for (let round = 0; ; round++) {
    logs.forEach((log) => log.set(logPrior));
    for (let p = 0; p < P; p++) {
      const log = logs[variety[p]!]!;
      for (let j = 0; j < J; j++) log[j]! += Math.log(messages[p * J + j]!);
    }
    logEvidence = logs.reduce((sum, log) => sum + logSum(log) - logZPrior, 0);
    logEvidence -= tellFarms(pairs, logs, messages, smoothed, byOffset);
    const answered = tellVarieties(pairs, messages, smoothed, byOffset, offsets);
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
  messages: Float64Array,
  smoothed: Float64Array,
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
      cavity[j] = log[j]! - Math.log(messages[p * J + j]!);
      if (cavity[j]! > most) most = cavity[j]!;
    }
    let [sum, met] = [0, 0];
    for (let j = 0; j < J; j++) {
      cavity[j] = Math.exp(cavity[j]! - most);
      sum += cavity[j]!;
      met += cavity[j]! * messages[p * J + j]!;
    }
    logMet += Math.log(met / sum);
    for (let f = -reach; f <= reach; f++) {
      let value = 0;
      for (let j = 0; j < J; j++)
        value += cavity[j]! * smoothed[p * J + Math.min(Math.max(j + f, 0), J - 1)]!;
      byOffset[p * width + f + reach] = value / sum;
    }
  }
  return logMet;
}

/** What each farm answers, from its other varieties: into `messages`. Gives the largest change, and Σ log of each farm's whole. */
function tellVarieties(
  { places: J, variety, from }: Pairs,
  messages: Float64Array,
  smoothed: Float64Array,
  byOffset: Float64Array,
  offsets: Float64Array,
): { change: number; logWhole: number } {
  const width = byOffset.length / variety.length;
  const reach = offsets.length - 1;
  let [change, logWhole] = [0, 0];
  for (let farm = 0; farm + 1 < from.length; farm++) {
    const [first, end] = [from[farm]!, from[farm + 1]!];
    const weightOf = (f: number, but: number): number => {
      let weight = offsets[Math.abs(f)]!;
      for (let q = first; q < end; q++) if (q !== but) weight *= byOffset[q * width + f + reach]!;
      return weight;
    };
    let whole = 0;
    for (let f = -reach; f <= reach; f++) whole += weightOf(f, -1);
    logWhole += Math.log(whole);
    for (let p = first; p < end; p++)
      change = Math.max(
        change,
        sendMessage(messages, p, smoothed, J, reach, (f) => weightOf(f, p)),
      );
  }
  return { change, logWhole };
}

/** What a farm says of one variety's need, its own offset weighed by the farm's other varieties; gives the largest change. */
function sendMessage(
  messages: Float64Array,
  p: number,
  smoothed: Float64Array,
  J: number,
  reach: number,
  weightOf: (offset: number) => number,
): number {
  const next = new Float64Array(J);
  for (let f = -reach; f <= reach; f++) {
    const weight = weightOf(f);
    for (let j = 0; j < J; j++) next[j]! += weight * smoothed[p * J + Math.min(Math.max(j + f, 0), J - 1)]!;
  }
  let most = 0;
  for (let j = 0; j < J; j++) if (next[j]! > most) most = next[j]!;
  let change = 0;
  for (let j = 0; j < J; j++) {
    const value = Math.max(next[j]! / most, 1e-300);
    change = Math.max(change, Math.abs(value - messages[p * J + j]!));
    messages[p * J + j] = value;
  }
  return change;
}

function logSum(logs: Float64Array): number {
  const most = logs.reduce((a, b) => Math.max(a, b), -Infinity);
  return most + Math.log(logs.reduce((sum, log) => sum + Math.exp(log - most), 0));
}
