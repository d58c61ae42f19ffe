/**
 * What farms and varieties say to each other until it no longer changes, at given sds of the needs: the sum-product algorithm
 * (Kschischang, Frey & Loeliger 2001, IEEE Trans. Inf. Theory 47:498), exact where no two varieties meet on a farm twice, with
 * the Bethe approximation of the marginal likelihood (Yedidia, Freeman & Weiss 2005, IEEE Trans. Inf. Theory 51:2282). Neither
 * paper was looked up: a direct computation in the tests says that both hold.
 */
import type { Pairs, Smoothed } from "./farm-pairs.ts";

const mostRounds = 30;

/** How far a farm may be from its region: steps of the axis, and a weight for each; they sum to 1. */
export interface Offsets {
  steps: Int32Array;
  weights: Float64Array;
}

/** What farms say of their varieties' responses and needs, the largest of each pair 1, and the logarithms of it: [pair][response][need]. */
export interface Messages {
  values: Float64Array;
  logs: Float64Array;
}

/** At first no farm has said anything. */
export const noMessages = ({ rows, needs }: Pairs): Messages => ({
  values: new Float64Array(rows.at(-1)! * needs).fill(1),
  logs: new Float64Array(rows.at(-1)! * needs),
});

/**
 * What is believed of the varieties and the logarithm of the evidence, at given sds.
 *
 * @param messages  as they were left before; the answer does not depend on them once they have settled
 */
export function passMessages(
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
