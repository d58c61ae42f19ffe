/** Which points of the combine tell the yield of a strip, and why the others do not. */
import type { HarvestStep, LeftOutReason } from "../vocabulary/harvest.ts";
import { codeOf, type Cuts, type CutStrips } from "./cuts.ts";
import { limits } from "./limits.ts";
import { middleOf, middlesAround } from "./middle.ts";
import type { Passes } from "./passes.ts";
import type { PointCloud } from "./point-cloud.ts";
import { pointYields, type Measured } from "./point-yields.ts";

/** Reason by place in `passes.order`: 0 kept, else its number in `leftOutReasons` + 1. */
export interface Cleaned {
  reason: Uint8Array;
  /** Strip that most of the cut lies in, by place; −1 for none. */
  strip: Int32Array;
  /** How much of the cut lies in it, of what lies in strips. */
  share: Float32Array;
  /** The other strips of a cut, two by place, and the share of each; −1 for none. */
  others: Int32Array;
  otherShares: Float32Array;
  /** Yield at the point's own place, the delay taken off [kg/ha]. */
  yieldKgPerHa: Float64Array;
  /** Ground that a point stands for [m²]. */
  areaM2: Float64Array;
}

export interface CleanWish {
  delayS: number;
  off: ReadonlySet<HarvestStep>;
}

/** What the steps of the sifting look at; each leaves points out that are still in. */
interface Sifting {
  cloud: PointCloud;
  passes: Passes;
  cuts: Cuts;
  /** Strips of each cut and their shares, as in `Cleaned`. */
  shared: CutStrips;
  yields: Float64Array;
  metresPerSecond: Float64Array;
  reason: Uint8Array;
  leave: (k: number, because: LeftOutReason) => void;
}

/** Every point with its strip, or with the first reason that keeps it out. */
export function clean(
  cloud: PointCloud,
  passes: Passes,
  measured: Measured,
  cuts: Cuts,
  { delayS, off }: CleanWish,
): Cleaned {
  const reason = new Uint8Array(cloud.count);
  const shared = cuts.inStrips(!off.has("shares"));
  const { yields, areaM2, metresPerSecond } = pointYields(cloud, passes, measured, cuts.widthM, delayS);
  const leave = (k: number, because: LeftOutReason): void => {
    if (reason[k] === 0) reason[k] = codeOf(because);
  };
  const sifting: Sifting = { cloud, passes, cuts, shared, yields, metresPerSecond, reason, leave };
  leaveNotCutting(sifting);
  const middle = middleYield(yields, reason);
  for (let k = 0; k < cloud.count; k++) {
    if (reason[k] !== 0) continue;
    const value = yields[k]!;
    if (!Number.isFinite(value)) leave(k, Number.isFinite(measured.signal[k]!) ? "end-of-pass" : "no-yield");
    else if (!off.has("no-grain") && (value <= 0 || value > limits.beyondMiddle * middle || areaM2[k]! <= 0))
      leave(k, "no-grain");
  }
  passes.passes.forEach(({ from, to }, pass) => {
    if (!off.has("speed")) leaveSpeeds(sifting, from, to);
    if (!off.has("swath")) leaveShortSwaths(sifting, from, to, cuts.fullM[pass]!);
    if (!off.has("starts-and-ends")) leaveStartsAndEnds(sifting, from, to);
  });
  if (!off.has("overlap") && cloud.numbers.time !== null)
    for (let k = 0; k < cloud.count; k++) if (reason[k] === 0 && cuts.overlaps(k)) leave(k, "overlap");
  if (!off.has("far-out")) for (const { from, to } of passes.passes) leaveFarOut(sifting, from, to, middle);
  shared.why.forEach((code, k) => {
    if (reason[k] === 0) reason[k] = code;
  });
  if (!off.has("change-over")) for (const { from, to } of passes.passes) leaveChangeOvers(sifting, from, to);
  const { strip, share, others, otherShares } = shared;
  return { reason, strip, share, others, otherShares, yieldKgPerHa: yields, areaM2 };
}

/** Where the machine was, and whether it was cutting. */
function leaveNotCutting({ cloud, passes: { order, passAt, east }, leave }: Sifting): void {
  for (let k = 0; k < cloud.count; k++) {
    if (cloud.headerUp !== null && cloud.headerUp[order[k]!] === 1) leave(k, "header-up");
    else if (passAt[k]! < 0 || east[k] !== east[k]) leave(k, "turning");
  }
}

function leaveSpeeds({ cloud, metresPerSecond, leave }: Sifting, from: number, to: number): void {
  const known = metresPerSecond
    .slice(from, to + 1)
    .filter((value) => value > 0)
    .sort();
  const usual = known[known.length >> 1];
  if (usual === undefined) return;
  const jumpsTell = cloud.numbers.speed !== null;
  for (let k = from; k <= to; k++) {
    const [here, before] = [metresPerSecond[k]!, metresPerSecond[Math.max(from, k - 1)]!];
    if (here < limits.slowest * usual || here > limits.fastest * usual) leave(k, "speed");
    else if (jumpsTell && Math.abs(here - before) > limits.speedJump * usual) leave(k, "speed");
  }
}

function leaveShortSwaths({ cloud, passes, leave }: Sifting, from: number, to: number, fullM: number): void {
  const { swath } = cloud.numbers;
  if (swath === null) return;
  for (let k = from; k <= to; k++)
    if (swath[passes.order[k]!]! < limits.shortSwath * fullM) leave(k, "short-swath");
}

function leaveStartsAndEnds({ passes: { along }, leave }: Sifting, from: number, to: number): void {
  for (let k = from; k <= to; k++) {
    if (along[k]! - along[from]! < limits.rampM) leave(k, "start-of-pass");
    else if (along[to]! - along[k]! < limits.rampM) leave(k, "end-of-pass");
  }
}

/** Beside the middle of the ten points to either side that are still in. */
function leaveFarOut({ yields, reason, leave }: Sifting, from: number, to: number, middle: number): void {
  const kept: number[] = [];
  for (let k = from; k <= to; k++) if (reason[k] === 0) kept.push(k);
  if (kept.length < 10) return;
  const own = Float64Array.from(kept, (k) => yields[k]!);
  const middles = middlesAround(own, 10);
  const apart = own.map((value, index) => value - middles[index]!);
  const sizes = apart.map(Math.abs).sort();
  // 1.4826: the normal distribution's standard deviation over its median absolute deviation.
  const deviation = Math.max(1.4826 * sizes[sizes.length >> 1]!, 0.02 * middle);
  kept.forEach((k, index) => {
    if (Math.abs(apart[index]!) > limits.farOut * deviation) leave(k, "far-out");
  });
}

/** How much of a cut lies in a strip. */
function shareIn({ strip, share, others, otherShares }: CutStrips, k: number, one: number): number {
  if (strip[k] === one) return share[k]!;
  if (others[2 * k] === one) return otherShares[2 * k]!;
  return others[2 * k + 1] === one ? otherShares[2 * k + 1]! : 0;
}

/** Whether the seed under the header changes from one point to the next. */
function changes(shared: CutStrips, k: number, next: number): boolean {
  const { strip, share, others, otherShares } = shared;
  let same = Math.min(share[k]!, shareIn(shared, next, strip[k]!));
  for (const at of [2 * k, 2 * k + 1])
    if (others[at]! >= 0) same += Math.min(otherShares[at]!, shareIn(shared, next, others[at]!));
  return 1 - same > limits.sharesJump;
}

/** Each run of a pass over the same seed loses its ends. */
function leaveChangeOvers({ passes, shared, leave }: Sifting, from: number, to: number): void {
  const { along, stepM } = passes;
  const { strip } = shared;
  const gapM = Math.max(10, 2.5 * stepM);
  const runs: { from: number; to: number }[] = [];
  for (let k = from; k <= to; k++) {
    if (strip[k]! < 0) continue;
    const last = runs.at(-1);
    if (last !== undefined && along[k]! - along[last.to]! <= gapM && !changes(shared, last.to, k))
      last.to = k;
    else runs.push({ from: k, to: k });
  }
  for (const run of runs) {
    const beside = (k: number): LeftOutReason =>
      k >= from && k <= to && strip[k]! >= 0 ? "change-over" : "strip-end";
    const [before, after] = [beside(run.from - 1), beside(run.to + 1)];
    // The change lies between two points, half way.
    const start =
      run.from > from ? (along[run.from - 1]! + along[run.from]!) / 2 : along[run.from]! - stepM / 2;
    const end = run.to < to ? (along[run.to]! + along[run.to + 1]!) / 2 : along[run.to]! + stepM / 2;
    for (let k = run.from; k <= run.to; k++) {
      if (strip[k]! < 0) continue;
      if (along[k]! - start < limits.insideM) leave(k, before);
      else if (end - along[k]! < limits.insideM) leave(k, after);
    }
  }
}

function middleYield(yields: Float64Array, reason: Uint8Array): number {
  const every = Math.max(1, Math.floor(yields.length / 50_000));
  const values: number[] = [];
  for (let k = 0; k < yields.length; k += every)
    if (reason[k] === 0 && yields[k]! > 0) values.push(yields[k]!);
  return values.length === 0 ? 0 : middleOf(values);
}
