/**
 * How long grain takes from the knife to the sensor, from passes that run both ways.
 *
 * A yield that is put down d seconds too late lies d × speed too far ahead; on the neighbouring pass the other way it lies
 * too far ahead the other way. The delay is the shift at which neighbours agree best. Idea: Beal & Tian 2001 (Appl. Eng.
 * Agric. 17:385), Lee et al. 2012; form of the criterion our own.
 */
import { Nearby } from "./nearby.ts";
import type { Passes } from "./passes.ts";
import type { PointCloud } from "./point-cloud.ts";

export interface DelayFound {
  seconds: number;
  /** Standard error from leaving out a tenth of the pairs of passes at a time [s]. */
  standardErrorS: number;
  pairs: number;
  /** Disagreement of neighbours by shift, 1 on the average of all shifts. */
  curve: { seconds: number; disagreement: number }[];
}

const [earliestS, latestS, stepS] = [-4, 22, 0.5];
const shifts = Array.from({ length: (latestS - earliestS) / stepS + 1 }, (_, i) => earliestS + i * stepS);
const mostPoints = 40_000;
const groups = 10;
/** Fewer pairs of passes, or a shallower valley, tell no delay. */
const fewestPairs = 3;
const shallowest = 0.04;
const largestErrorS = 2;
/** Courses are kept to seven digits. */
const rounding = 1e-5;

const neighboursWithin = (width: number): number => Math.max(2.6 * width, 15);

/**
 * @param signal what came in by place in `passes.order`: yield or flow; NaN where unknown
 * @returns null, with the reason, where passes do not tell it
 */
export function findDelay(
  cloud: PointCloud,
  passes: Passes,
  signal: Float64Array,
  widthM: number,
): DelayFound | { why: string; curve: DelayFound["curve"] } {
  const { time } = cloud.numbers;
  if (time === null) return { why: "The points have no times.", curve: [] };
  const sums = compareNeighbours(cloud, time, passes, signal, widthM);
  const pairs = [...sums.values()].filter(({ n }) => n >= 10);
  if (pairs.length < fewestPairs)
    return {
      why: `${pairs.length === 0 ? "No two" : "Too few"} neighbouring passes run in opposite directions.`,
      curve: [],
    };
  return agreeOn(pairs);
}

/** What two neighbouring passes say of every shift. */
interface PairSums {
  n: number;
  /** Sums of the differences of their yields, and of the squares, by shift. */
  difference: Float64Array;
  square: Float64Array;
}

/** The shift at which the pairs agree best, with its standard error. */
function agreeOn(pairs: readonly PairSums[]): DelayFound | { why: string; curve: DelayFound["curve"] } {
  const disagreement = (leftOut: number): number[] => {
    const total = new Array<number>(shifts.length).fill(0);
    pairs.forEach(({ n, difference, square }, index) => {
      if (index % groups === leftOut) return;
      for (let s = 0; s < shifts.length; s++) total[s]! += square[s]! - difference[s]! ** 2 / n;
    });
    const mean = total.reduce((a, b) => a + b, 0) / total.length;
    return total.map((value) => value / mean);
  };
  const all = disagreement(-1);
  const curve = shifts.map((seconds, s) => ({ seconds, disagreement: all[s]! }));
  const found = lowest(all);
  if (found === null || Math.max(...all) - Math.min(...all) < shallowest)
    return { why: "Neighbouring passes agree about equally well at every shift.", curve };
  const count = Math.min(groups, pairs.length);
  const without = Array.from({ length: count }, (_, group) => lowest(disagreement(group)) ?? found + 5);
  const mean = without.reduce((a, b) => a + b, 0) / count;
  const standardErrorS = Math.sqrt(
    ((count - 1) / count) * without.reduce((sum, one) => sum + (one - mean) ** 2, 0),
  );
  if (standardErrorS > largestErrorS)
    return {
      why: `Pairs of passes do not agree on one shift (standard error ${standardErrorS.toFixed(1)} s).`,
      curve,
    };
  return { seconds: found, standardErrorS, pairs: pairs.length, curve };
}

/** Every point beside its nearest neighbour on a pass the other way, summed up by pair of passes. */
function compareNeighbours(
  cloud: PointCloud,
  time: Float64Array,
  passes: Passes,
  signal: Float64Array,
  widthM: number,
): Map<string, PairSums> {
  const { order, passAt, east, sequence } = passes;
  const neighbourOf = findNeighbours(cloud, passes, neighboursWithin(widthM));
  const yieldsAt = yieldsAfter(
    tame(signal, sequence),
    Float64Array.from(order, (i) => time[i]!),
    sequence,
  );
  const sums = new Map<string, PairSums>();
  let inPasses = 0;
  for (const pass of passAt) if (pass >= 0) inPasses++;
  const every = Math.max(1, Math.floor(inPasses / mostPoints));
  const [here, there] = [new Float64Array(shifts.length), new Float64Array(shifts.length)];
  const speed = passes.stepM / passes.stepS;
  for (let k = 0; k < order.length; k += every) {
    const pass = passAt[k]!;
    if (pass < 0 || east[k] !== east[k]) continue;
    const { other, ahead } = neighbourOf(k);
    if (other < 0) continue;
    const neighbour = passAt[other]!;
    // Where the other pass is exactly beside this point, in its own time.
    const [timeHere, timeThere] = [time[order[k]!]!, time[order[other]!]! + ahead / speed];
    if (!yieldsAt(k, timeHere, here) || !yieldsAt(other, timeThere, there)) continue;
    const key = pass < neighbour ? `${pass} ${neighbour}` : `${neighbour} ${pass}`;
    let sum = sums.get(key);
    if (sum === undefined) {
      sum = { n: 0, difference: new Float64Array(shifts.length), square: new Float64Array(shifts.length) };
      sums.set(key, sum);
    }
    const sign = pass < neighbour ? 1 : -1;
    sum.n++;
    for (let s = 0; s < shifts.length; s++) {
      const apart = here[s]! - there[s]!;
      sum.difference[s]! += sign * apart;
      sum.square[s]! += apart ** 2;
    }
  }
  return sums;
}

/**
 * Looks for the nearest point, along and across together, on a pass that runs the other way.
 *
 * @param reach  farthest across [m]
 * @returns by place in `order`: its place, −1 for none, and how far ahead it is [m]; valid until the next is asked
 */
function findNeighbours(
  cloud: PointCloud,
  passes: Passes,
  reach: number,
): (k: number) => { other: number; ahead: number } {
  const { order, passAt, east, north } = passes;
  const { x, y } = cloud.numbers as { x: Float64Array; y: Float64Array };
  const placeOf = new Uint32Array(cloud.count);
  const members: number[] = [];
  order.forEach((i, k) => {
    placeOf[i] = k;
    if (passAt[k]! >= 0) members.push(i);
  });
  const nearby = new Nearby(x, y, members, reach);
  // No place is nearer along and across together than it is in a straight line.
  const farthest = (1 + rounding) * (reach ** 2 + (2 * passes.stepM) ** 2);
  const nearest = { other: -1, ahead: 0 };
  return (k) => {
    const [pass, i] = [passAt[k]!, order[k]!];
    const [cos, sin] = [east[k]!, north[k]!];
    let best = Infinity;
    nearest.other = -1;
    nearby.around(
      x[i]!,
      y[i]!,
      (j) => {
        const at = placeOf[j]!;
        if (passAt[at] === pass || !(east[at]! * cos + north[at]! * sin < -0.9)) return;
        const dx = x[j]! - x[i]!;
        const dy = y[j]! - y[i]!;
        const along = dx * cos + dy * sin;
        const across = Math.abs(dy * cos - dx * sin);
        if (across > reach || Math.abs(along) > 2 * passes.stepM || across + Math.abs(along) >= best) return;
        best = across + Math.abs(along);
        nearest.other = at;
        nearest.ahead = along;
        return Math.min(farthest, (1 + rounding) * best ** 2);
      },
      farthest,
    );
    return nearest;
  };
}

/**
 * Yields at times after a place's own, between points of an unbroken sequence: where the log goes on through the turn,
 * the flow's rise and fall at the ends of a pass, which lie at one line for both ways, tell most.
 *
 * @returns writes the yields at all shifts after `own`, begun from the place `near`; whether all lie within the sequence
 */
function yieldsAfter(
  signal: Float64Array,
  timeAt: Float64Array,
  sequence: Uint32Array,
): (near: number, own: number, into: Float64Array) => boolean {
  return (near, own, into) => {
    const unbroken = sequence[near];
    // Shifts rise, so that each is looked for from where the one before was found.
    let k = near;
    for (let s = 0; s < shifts.length; s++) {
      const seconds = own + shifts[s]!;
      while (sequence[k + 1] === unbroken && timeAt[k + 1]! <= seconds) k++;
      while (k > 0 && sequence[k - 1] === unbroken && timeAt[k]! > seconds) k--;
      if (sequence[k + 1] !== unbroken || timeAt[k]! > seconds) return false;
      const t0 = timeAt[k]!;
      const t1 = timeAt[k + 1]!;
      const share = t1 > t0 ? (seconds - t0) / (t1 - t0) : 0;
      const value = signal[k]! * (1 - share) + signal[k + 1]! * share;
      if (value !== value) return false;
      into[s] = value;
    }
    return true;
  };
}

/** Half the width of the parabola that finds the bottom of the valley [s]: wide enough to see past noise. */
const aroundS = 3;

/** Where a valley is lowest, by a least-squares parabola about its lowest place; null where that is at an end. */
function lowest(values: number[]): number | null {
  let at = 0;
  for (let s = 1; s < values.length; s++) if (values[s]! < values[at]!) at = s;
  const reach = aroundS / stepS;
  if (at < reach || at >= values.length - reach) return null;
  let [slopeSum, slopeSquares, bendSum, bendSquares] = [0, 0, 0, 0];
  const meanSquare = (reach * (reach + 1)) / 3;
  for (let k = -reach; k <= reach; k++) {
    const value = values[at + k]!;
    slopeSum += k * value;
    slopeSquares += k * k;
    bendSum += (k * k - meanSquare) * value;
    bendSquares += (k * k - meanSquare) ** 2;
  }
  const [slope, bend] = [slopeSum / slopeSquares, bendSum / bendSquares];
  if (!(bend > 0)) return shifts[at]!;
  return shifts[at]! + stepS * Math.max(-reach, Math.min(reach, -slope / (2 * bend)));
}

/** Single points that stand out do not decide: the middle of five, then the mean of five such, within a sequence. */
function tame(signal: Float64Array, sequence: Uint32Array): Float64Array {
  // The same five places for all points: an array for each would cost more than the sums.
  const five = new Float64Array(5);
  const around = (values: Float64Array, k: number): Float64Array => {
    let found = 0;
    for (let j = Math.max(0, k - 2); j <= Math.min(values.length - 1, k + 2); j++)
      if (sequence[j] === sequence[k] && values[j] === values[j]) five[found++] = values[j]!;
    return five.subarray(0, found);
  };
  const middles = signal.map((_, k) => {
    const sorted = around(signal, k).sort();
    return sorted[sorted.length >> 1] ?? NaN;
  });
  return middles.map((_, k) => {
    const near = around(middles, k);
    return near.reduce((a, b) => a + b, 0) / near.length;
  });
}
