/**
 * Needs and responses of varieties over many farms: log need = variety + farm + variety on that farm; a variety rises alike on all
 * farms, and loses about as much.
 *
 * Crossed random effects on a grid. Each farm's likelihoods of need are any shape at all, so nothing is taken to be normal
 * but the effects themselves; farms and varieties pass each other messages until these no longer change (sum-product
 * algorithm: Kschischang, Frey & Loeliger 2001, IEEE Trans. Inf. Theory 47:498), exact where no two varieties meet on a
 * farm twice. Sds of the effects are weighed on a grid by the Bethe approximation of the marginal likelihood (Yedidia,
 * Freeman & Weiss 2005, IEEE Trans. Inf. Theory 51:2282). Neither paper was looked up: a direct
 * computation in the tests says that both hold.
 */
import { groupBy } from "../../maths/group-by.ts";
import { logOn, type LogAxis } from "../../maths/log-axis.ts";
import { normalKernel, smoothedAt } from "../../maths/normal-kernel.ts";
import type { FarmsUnlike } from "../../vocabulary/region.ts";
import { oddSdLog, oddVarietyShare } from "../beliefs/lean-on-region.ts";
import { addOverLosses, believableResponses } from "./believable-responses.ts";
import type { FarmLikelihood } from "./farm-likelihoods.ts";
import type { Response, ResponseGrid } from "./response-grid.ts";

/** Sds of log need looked at, of farms and of varieties on farms, each weighed by a half-normal prior of scale `usualSd`. */
const farmSds = [0.03, 0.07, 0.12, 0.2];
const varietyOnFarmSds = [0.04, 0.08, 0.15, 0.25];
const usualSd = 0.1;
/** Shares of farms that are unlike all others, each believed as much: our choice. */
const oddFarmShares = [0.04, 0.2];
/** Sds less likely than this are not handed on. */
const negligible = 0.01;
/** So many farms tell which sds are worth a look with all of them: those that are not less likely than this. */
const farmsForSds = 100;
const negligibleWithSome = 1e-3;
const mostRounds = 30;
/** Change of a message at which farms and varieties have said all, and at which they have said enough for the sds. */
const settled = { atLast: 1e-4, forSds: 1e-2 };

/** What is believed of one variety: its need on a middling farm together with its response. */
export interface VarietyOverFarms {
  variety: string;
  responses: readonly Response[];
  /** [response][need], and at last the row of no response; they sum to 1. */
  weights: Float64Array;
}

export interface BetweenFarms {
  varieties: VarietyOverFarms[];
  unlike: FarmsUnlike[];
}

/** Varieties and farms laid flat: a pair is one variety on one farm. */
interface Pairs {
  farms: readonly (readonly FarmLikelihood[])[];
  needs: number;
  variety: Int32Array;
  /** Pairs of farm f: from[f] up to from[f + 1]. */
  from: Int32Array;
  /** Of each variety: its believable responses. */
  responses: readonly (readonly Response[])[];
  /** Where the rows of a pair begin, one for each response of its variety and one for none. */
  rows: Int32Array;
}

/**
 * @param farms   for each farm what its strips say of its varieties; their order decides last digits only
 * @param prior   centre [log] and sd of the need of a variety beforehand
 */
export function compareFarms(
  farms: readonly (readonly FarmLikelihood[])[],
  axis: LogAxis,
  grid: ResponseGrid,
  prior: { logNeed: number; sd: number },
): BetweenFarms {
  const logPrior = Float64Array.from(
    { length: axis.count },
    (_, j) => -0.5 * ((logOn(axis, j) - prior.logNeed) / prior.sd) ** 2,
  );
  const byVariety = groupBy(farms.flat(), ({ variety }) => variety);
  const varieties = byVariety.map(([variety]) => variety);
  const responses = byVariety.map(([, own]) => believableResponses(own, axis, grid, logPrior));
  const before = responses.map((kept) => logBefore(kept, grid, logPrior));
  const weigh = (some: readonly (readonly FarmLikelihood[])[], sds: readonly Sds[], until: number) => {
    const pairs = pairsOf(some, axis, varieties, responses);
    return weighSds(pairs, axis, grid, before, sds, until);
  };
  const allSds = varietyOnFarmSds.flatMap((varietyOnFarmSdLog) =>
    oddFarmShares.flatMap((oddFarmShare) =>
      farmSds.map((farmSdLog) => ({ farmSdLog, varietyOnFarmSdLog, oddFarmShare })),
    ),
  );
  const likely = weigh(farms.slice(0, farmsForSds), allSds, settled.forSds).filter(
    ({ weight }) => weight >= negligibleWithSome,
  );
  const weighed = weigh(farms, likely, settled.atLast);
  const kept = weighed.filter(({ weight }) => weight >= negligible);
  const keptWeight = kept.reduce((sum, { weight }) => sum + weight, 0);
  return {
    varieties: varieties.map((variety, v) => ({
      variety,
      responses: responses[v]!,
      weights: mixed(weighed.map(({ weight, beliefs }) => ({ weight, values: beliefs[v]! }))),
    })),
    unlike: kept.map(({ beliefs: _, weight, ...sds }) => ({ weight: weight / keptWeight, ...sds })),
  };
}

type Sds = Omit<FarmsUnlike, "weight">;

/** Logarithms of what is believed of one variety before any strip, [response][need]; those left out count with those kept. */
function logBefore(
  kept: readonly Response[],
  { noResponseChance }: ResponseGrid,
  logPrior: Float64Array,
): Float64Array {
  const all = kept.reduce((sum, { prior }) => sum + prior, 0);
  const chances = [...kept.map(({ prior }) => ((1 - noResponseChance) * prior) / all), noResponseChance];
  return Float64Array.from(
    chances.flatMap((chance) => Array.from(logPrior, (log) => log + Math.log(chance))),
  );
}

function pairsOf(
  farms: readonly (readonly FarmLikelihood[])[],
  axis: LogAxis,
  varieties: readonly string[],
  responses: readonly (readonly Response[])[],
): Pairs {
  const numberOf = new Map(varieties.map((variety, v) => [variety, v]));
  const variety = Int32Array.from(farms.flat(), (one) => numberOf.get(one.variety)!);
  const from = Int32Array.from([0, ...farms.map((farm) => farm.length)]);
  for (let f = 1; f < from.length; f++) from[f]! += from[f - 1]!;
  const rows = new Int32Array(variety.length + 1);
  for (let p = 0; p < variety.length; p++) rows[p + 1] = rows[p]! + responses[variety[p]!]!.length + 1;
  return { farms, needs: axis.count, variety, from, responses, rows };
}

/** Each pair of sds with its weight, and what is believed of each variety under it; weights sum to 1. */
function weighSds(
  pairs: Pairs,
  axis: LogAxis,
  grid: ResponseGrid,
  before: readonly Float64Array[],
  sds: readonly Sds[],
  until: number,
): (FarmsUnlike & { beliefs: Float64Array[] })[] {
  let last: { of: Sds; smoothed: Smoothed } | null = null;
  // What is said under one pair of sds is nearly what is said under the next.
  const messages = noMessages(pairs);
  const states = sds.map((of) => {
    const { farmSdLog, varietyOnFarmSdLog } = of;
    if (last?.of.varietyOnFarmSdLog !== varietyOnFarmSdLog)
      last = { of, smoothed: smooth(pairs, axis, grid, varietyOnFarmSdLog) };
    const offsets = farmOffsets(of, axis.step);
    const { beliefs, logEvidence } = passMessages(pairs, messages, last.smoothed, offsets, before, until);
    return {
      ...of,
      beliefs,
      log: logEvidence + logPriorOfSds(farmSdLog, varietyOnFarmSdLog),
    };
  });
  const most = Math.max(...states.map(({ log }) => log));
  const total = states.reduce((sum, { log }) => sum + Math.exp(log - most), 0);
  return states.map(({ log, ...state }) => ({ ...state, weight: Math.exp(log - most) / total }));
}

/** How far a farm may be from its region: steps of the axis, and a weight for each; they sum to 1. */
interface Offsets {
  steps: Int32Array;
  weights: Float64Array;
}

/** Mostly a little, odd farms far; farther than usual farms are, every third step stands for its neighbours as well. */
function farmOffsets({ farmSdLog, oddFarmShare }: Sds, step: number): Offsets {
  const usual = normalKernel(farmSdLog, step);
  const odd = normalKernel(oddSdLog, step);
  const weightAt = (steps: number): number =>
    oddFarmShare * (odd[steps] ?? 0) + (1 - oddFarmShare) * (usual[steps] ?? 0);
  const near = Array.from({ length: usual.length }, (_, d) => ({ step: d, weight: weightAt(d) }));
  const far = Array.from({ length: Math.ceil(Math.max(odd.length - usual.length, 0) / 3) }, (_, i) => {
    const d = usual.length + 1 + 3 * i;
    return { step: d, weight: weightAt(d - 1) + weightAt(d) + weightAt(d + 1) };
  });
  const upwards = [...near, ...far];
  const all = [...upwards.slice(1).map(({ step: d, weight }) => ({ step: -d, weight })), ...upwards];
  return {
    steps: Int32Array.from(all, (one) => one.step),
    weights: Float64Array.from(all, ({ weight }) => weight),
  };
}

function mixed(parts: readonly { weight: number; values: Float64Array }[]): Float64Array {
  const sum = new Float64Array(parts[0]!.values.length);
  for (const { weight, values } of parts) for (let i = 0; i < sum.length; i++) sum[i]! += weight * values[i]!;
  return sum;
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

/**
 * Likelihood of a variety's need on the farm as a whole, under each of its responses: the farm's own smoothed by how unlike
 * varieties on a farm may be. Where the variety is odd there, any response may be.
 */
function smooth(
  { farms, needs: J, responses, variety, rows }: Pairs,
  axis: LogAxis,
  { responses: all, noResponseChance }: ResponseGrid,
  varietyOnFarmSdLog: number,
): Smoothed {
  const [usual, odd] = [normalKernel(varietyOnFarmSdLog, axis.step), normalKernel(oddSdLog, axis.step)];
  const pad = odd.length + 1;
  const width = J + 2 * pad;
  const smoothed = new Float64Array(rows.at(-1)! * width);
  const anyResponse = byRise(all);
  const values = new Float64Array(J);
  const oddly = new Float64Array(J);
  const writeRow = (row: number): void => {
    const at = row * width + pad;
    for (let j = 0; j < J; j++)
      smoothed[at + j] = (1 - oddVarietyShare) * smoothedAt(values, j, usual) + oddVarietyShare * oddly[j]!;
    smoothed.fill(smoothed[at]!, at - pad, at);
    smoothed.fill(smoothed[at + J - 1]!, at + J, at + J + pad);
  };
  farms.flat().forEach((farm, p) => {
    values.fill(noResponseChance * farm.noResponse);
    for (const one of anyResponse) addOverLosses(values, farm.values, one, 1 - noResponseChance);
    for (let j = 0; j < J; j++) oddly[j] = smoothedAt(values, j, odd);
    responses[variety[p]!]!.forEach((response, row) => {
      values.fill(0);
      addOverLosses(values, farm.values, response, 1);
      writeRow(rows[p]! + row);
    });
    values.fill(farm.noResponse);
    writeRow(rows[p + 1]! - 1);
  });
  return { values: smoothed, width, pad };
}

/** All responses with one rise as one: losses weighed by the priors of the responses. */
function byRise(responses: readonly Response[]): Pick<Response, "rise" | "lossesOnFarm">[] {
  return groupBy(responses, ({ rise }) => String(rise)).map(([, same]) => ({
    rise: same[0]!.rise,
    lossesOnFarm: same[0]!.lossesOnFarm.map((_, l) =>
      same.reduce((sum, { prior, lossesOnFarm }) => sum + prior * lossesOnFarm[l]!, 0),
    ),
  }));
}

/** What farms say of their varieties' responses and needs, the largest of each pair 1, and the logarithms of it: [pair][response][need]. */
interface Messages {
  values: Float64Array;
  logs: Float64Array;
}

/** At first no farm has said anything. */
const noMessages = ({ rows, needs }: Pairs): Messages => ({
  values: new Float64Array(rows.at(-1)! * needs).fill(1),
  logs: new Float64Array(rows.at(-1)! * needs),
});

/**
 * What is believed of the varieties and the logarithm of the evidence, at given sds.
 *
 * @param messages  as they were left before; the answer does not depend on them once they have settled
 */
function passMessages(
  pairs: Pairs,
  messages: Messages,
  smoothed: Smoothed,
  offsets: Offsets,
  before: readonly Float64Array[],
  until: number,
): { beliefs: Float64Array[]; logEvidence: number } {
  const { needs: J, variety, rows } = pairs;
  const P = variety.length;
  const byOffset = new Float64Array(P * offsets.steps.length);
  const logs = before.map((log) => new Float64Array(log.length));
  const logZBefore = before.reduce((sum, log) => sum + logSum(log), 0);
  let logEvidence = 0;
  for (let round = 0; ; round++) {
    logs.forEach((log, v) => log.set(before[v]!));
    for (let p = 0; p < P; p++) {
      const log = logs[variety[p]!]!;
      const first = rows[p]! * J;
      for (let i = 0; i < log.length; i++) log[i]! += messages.logs[first + i]!;
    }
    logEvidence = logs.reduce((sum, log) => sum + logSum(log), -logZBefore);
    logEvidence -= tellFarms(pairs, logs, messages, smoothed, offsets, byOffset);
    const answered = tellVarieties(pairs, messages, smoothed, byOffset, offsets);
    logEvidence += answered.logWhole;
    if (answered.change < until || round === mostRounds) break;
  }
  return {
    beliefs: logs.map((log) => {
      const total = logSum(log);
      return log.map((value) => Math.exp(value - total));
    }),
    logEvidence,
  };
}

/**
 * What each variety says to each of its farms, itself left out: how likely each offset of the farm is, into `byOffset`.
 *
 * @returns Σ log of how far what farm and variety say of response and need agrees
 */
function tellFarms(
  { needs: J, variety, rows }: Pairs,
  logs: readonly Float64Array[],
  messages: Messages,
  smoothed: Smoothed,
  { steps }: Offsets,
  byOffset: Float64Array,
): number {
  const width = steps.length;
  const cavity = new Float64Array(Math.max(...logs.map(({ length }) => length)));
  let logMet = 0;
  for (let p = 0; p < variety.length; p++) {
    const log = logs[variety[p]!]!;
    const own = rows[p]! * J;
    let most = -Infinity;
    for (let i = 0; i < log.length; i++) {
      const without = log[i]! - messages.logs[own + i]!;
      cavity[i] = without;
      if (without > most) most = without;
    }
    let sum = 0;
    let met = 0;
    for (let i = 0; i < log.length; i++) {
      const value = 1 * Math.exp(cavity[i]! - most);
      cavity[i] = value;
      sum += value;
      met += value * messages.values[own + i]!;
    }
    logMet += Math.log(met / sum);
    byOffset.fill(0, p * width, (p + 1) * width);
    for (let row = rows[p]!, i = 0; i < log.length; row++, i += J)
      addByOffset(byOffset, p * width, steps, cavity, i, J, smoothed, row);
    for (let f = p * width; f < (p + 1) * width; f++) byOffset[f]! /= sum;
  }
  return logMet;
}

/** How well one response explains a pair at each offset of its farm. */
function addByOffset(
  byOffset: Float64Array,
  at: number,
  steps: Int32Array,
  cavity: Float64Array,
  own: number,
  J: number,
  smoothed: Smoothed,
  row: number,
): void {
  const { values } = smoothed;
  const first = row * smoothed.width + smoothed.pad;
  for (let f = 0; f < steps.length; f++) {
    let sum = 0;
    for (let j = 0, place = first + steps[f]!; j < J; j++, place++) sum += cavity[own + j]! * values[place]!;
    byOffset[at + f]! += sum;
  }
}

/** What each farm answers, from its other varieties: into `messages`. Gives the largest change, and Σ log of each farm's whole. */
function tellVarieties(
  pairs: Pairs,
  messages: Messages,
  smoothed: Smoothed,
  byOffset: Float64Array,
  { steps, weights: usual }: Offsets,
): { change: number; logWhole: number } {
  const { from } = pairs;
  const weights = new Float64Array(usual.length);
  let change = 0;
  let logWhole = 0;
  for (let farm = 0; farm + 1 < from.length; farm++) {
    const [first, end] = [from[farm]!, from[farm + 1]!];
    logWhole += Math.log(weighOffsets(weights, usual, byOffset, first, end, -1));
    for (let p = first; p < end; p++) {
      weighOffsets(weights, usual, byOffset, first, end, p);
      change = Math.max(change, sendMessage(messages, p, pairs, smoothed, steps, weights));
    }
  }
  return { change, logWhole };
}

/** Weights of the offsets of a farm, as farms usually lie and as its varieties but one say; gives their sum. */
function weighOffsets(
  weights: Float64Array,
  usual: Float64Array,
  byOffset: Float64Array,
  first: number,
  end: number,
  but: number,
): number {
  const width = usual.length;
  weights.set(usual);
  for (let q = first; q < end; q++) {
    if (q === but) continue;
    for (let f = 0, at = q * width; f < width; f++, at++) weights[f]! *= byOffset[at]!;
  }
  let sum = 0;
  for (let f = 0; f < width; f++) sum += weights[f]!;
  return sum;
}

/**
 * What a farm says of one variety's response and need, its own offset weighed by the farm's other varieties; gives the
 * largest change.
 */
function sendMessage(
  { values, logs }: Messages,
  p: number,
  { needs: J, rows }: Pairs,
  smoothed: Smoothed,
  steps: Int32Array,
  weights: Float64Array,
): number {
  const count = rows[p + 1]! - rows[p]!;
  const next = new Float64Array(count * J);
  for (let row = 0; row < count; row++) {
    const first = (rows[p]! + row) * smoothed.width + smoothed.pad;
    for (let f = 0; f < weights.length; f++) {
      const weight = weights[f]!;
      for (let j = row * J, at = first + steps[f]!; j < (row + 1) * J; j++, at++)
        next[j]! += weight * smoothed.values[at]!;
    }
  }
  let most = 0;
  for (let i = 0; i < next.length; i++) if (next[i]! > most) most = next[i]!;
  let change = 0;
  for (let i = 0, at = rows[p]! * J; i < next.length; i++, at++) {
    const value = Math.max(next[i]! / most, 1e-300);
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
