/** Which points of the combine tell the yield of a strip, and why the others do not. */
import type { HarvestStep, LeftOutReason } from "../vocabulary/harvest.ts";
import { leftOutReasons } from "../vocabulary/harvest.ts";
import { middleOf } from "./middle.ts";
import { Nearby } from "./nearby.ts";
import type { Passes } from "./passes.ts";
import type { PointCloud } from "./point-cloud.ts";
import { pointYields, type Measured } from "./point-yields.ts";
import { stripAt, type Raster } from "./seeded-ground.ts";

/** Limits of the steps. Sources stand beside them; what has none is common practice. */
export const limits = {
  /** Ramp of flow at the start and the end of a pass [m]; most of what filters leave out (Simbahan et al. 2004). */
  rampM: 15,
  /** Speed against the pass's own, and its change from point to point (Sudduth & Drummond 2007 filter both). */
  slowest: 0.5,
  fastest: 1.5,
  speedJump: 0.25,
  /** Cut narrower than this share of the full width (Simbahan et al. 2004 filter short segments and overlap). */
  shortSwath: 0.9,
  /** Ground cut before, as a share of the width and in metres, whichever is more. */
  overlapShare: 0.15,
  overlapM: 0.6,
  /** Robust standard deviations from the middle of the pass around it. */
  farOut: 3.5,
  /** Times the field's middle yield that no spot gives. */
  beyondMiddle: 4,
  /** Share of a cut that may lie in another strip and be passed over, and that must lie on seeded ground. */
  inOther: 0.02,
  onSeeded: 0.8,
  /** A cut in more strips than this tells of none. */
  strips: 3,
  /** What a cut is shared by may change by this much from point to point: more is where the seed changes. */
  sharesJump: 0.25,
  /** Inside each end of a strip, and from each change of rate [m]: a reading averages about 30 m (Knight & Pettitt 2003). */
  insideM: 30,
} as const;

/** Where strips meet under a header is looked for to this [m]. */
const meetM = 0.05;

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

const codeOf = (reason: LeftOutReason): number => leftOutReasons.indexOf(reason) + 1;

export interface CleanWish {
  delayS: number;
  widthM: number;
  off: ReadonlySet<HarvestStep>;
}

/** Every point with its strip, or with the first reason that keeps it out. */
export function clean(
  cloud: PointCloud,
  passes: Passes,
  measured: Measured,
  raster: Raster,
  { delayS, widthM, off }: CleanWish,
): Cleaned {
  const { order, passAt, east, north, along } = passes;
  const { count } = cloud;
  const { x, y, time, swath, speed } = cloud.numbers;
  const { signal } = measured;
  const reason = new Uint8Array(count);
  const strip = new Int32Array(count).fill(-1);
  const share = new Float32Array(count);
  const others = new Int32Array(2 * count).fill(-1);
  const otherShares = new Float32Array(2 * count);
  const leave = (k: number, why: LeftOutReason): void => {
    if (reason[k] === 0) reason[k] = codeOf(why);
  };
  const { yields, areaM2, metresPerSecond } = pointYields(cloud, passes, measured, widthM, delayS);

  // Where the machine was, and whether it was cutting.
  for (let k = 0; k < count; k++) {
    const i = order[k]!;
    if (cloud.headerUp !== null && cloud.headerUp[i] === 1) leave(k, "header-up");
    else if (passAt[k]! < 0 || east[k] !== east[k]) leave(k, "turning");
  }
  const middle = middleYield(yields, reason);
  for (let k = 0; k < count; k++) {
    if (reason[k] !== 0) continue;
    const value = yields[k]!;
    if (!Number.isFinite(value)) leave(k, Number.isFinite(signal[k]!) ? "end-of-pass" : "no-yield");
    else if (!off.has("no-grain") && (value <= 0 || value > limits.beyondMiddle * middle || areaM2[k]! <= 0))
      leave(k, "no-grain");
  }
  for (const { from, to } of passes.passes) {
    if (!off.has("speed")) leaveSpeeds(from, to);
    for (let k = from; k <= to; k++) {
      const width = swath?.[order[k]!] ?? NaN;
      if (!off.has("swath") && width < limits.shortSwath * widthM) leave(k, "short-swath");
    }
    if (!off.has("starts-and-ends")) {
      for (let k = from; k <= to; k++) {
        if (along[k]! - along[from]! < limits.rampM) leave(k, "start-of-pass");
        else if (along[to]! - along[k]! < limits.rampM) leave(k, "end-of-pass");
      }
    }
  }
  if (!off.has("overlap") && time !== null) leaveOverlaps();
  if (!off.has("far-out")) for (const { from, to } of passes.passes) leaveFarOut(from, to);
  assignStrips();
  if (!off.has("change-over")) for (const { from, to } of passes.passes) leaveChangeOvers(from, to);
  return { reason, strip, share, others, otherShares, yieldKgPerHa: yields, areaM2 };

  function leaveSpeeds(from: number, to: number): void {
    const known = metresPerSecond
      .slice(from, to + 1)
      .filter((value) => value > 0)
      .sort();
    const usual = known[known.length >> 1];
    if (usual === undefined) return;
    for (let k = from; k <= to; k++) {
      const [here, before] = [metresPerSecond[k]!, metresPerSecond[Math.max(from, k - 1)]!];
      if (here < limits.slowest * usual || here > limits.fastest * usual) leave(k, "speed");
      else if (speed !== null && Math.abs(here - before) > limits.speedJump * usual) leave(k, "speed");
    }
  }

  function leaveOverlaps(): void {
    const placeOf = new Uint32Array(count);
    order.forEach((i, k) => {
      placeOf[i] = k;
    });
    const members: number[] = [];
    let widest = widthM;
    for (let k = 0; k < count; k++) {
      if (passAt[k]! < 0) continue;
      members.push(order[k]!);
      if (swath !== null && swath[order[k]!]! > widest) widest = swath[order[k]!]!;
    }
    const nearby = new Nearby(x!, y!, members, Math.max(widthM, 2 * passes.stepM));
    const needed = Math.max(limits.overlapShare * widthM, limits.overlapM);
    for (let k = 0; k < count; k++) {
      if (reason[k] !== 0) continue;
      const i = order[k]!;
      const [cos, sin] = [east[k]!, north[k]!];
      const own = swath?.[i] ?? widthM;
      let most = 0;
      // What is farther neither lies beside nor overlaps: most points around are passed over at once.
      const reach = passes.stepM ** 2 + ((own + widest) / 2 - needed) ** 2;
      nearby.around(
        x![i]!,
        y![i]!,
        (j) => {
          const other = placeOf[j]!;
          if (passAt[other] === passAt[k] || !(time![j]! < time![i]! - 1)) return;
          const dx = x![j]! - x![i]!;
          const dy = y![j]! - y![i]!;
          if (Math.abs(dx * cos + dy * sin) > passes.stepM) return;
          if (Math.abs(east[other]! * cos + north[other]! * sin) < 0.9) return;
          most = Math.max(most, (own + (swath?.[j] ?? widthM)) / 2 - Math.abs(dy * cos - dx * sin));
        },
        reach,
      );
      if (most > needed) leave(k, "overlap");
    }
  }

  /** Beside the middle of the ten points to either side that are still in. */
  function leaveFarOut(from: number, to: number): void {
    const kept: number[] = [];
    for (let k = from; k <= to; k++) if (reason[k] === 0) kept.push(k);
    if (kept.length < 10) return;
    const own = Float64Array.from(kept, (k) => yields[k]!);
    const around = new Float64Array(21);
    const apart = own.map((value, index) => {
      const [first, last] = [Math.max(0, index - 10), Math.min(own.length, index + 11)];
      for (let j = first; j < last; j++) around[j - first] = own[j]!;
      return value - around.subarray(0, last - first).sort()[(last - first) >> 1]!;
    });
    const sizes = apart.map(Math.abs).sort();
    // 1.4826: the normal distribution's standard deviation over its median absolute deviation.
    const deviation = Math.max(1.4826 * sizes[sizes.length >> 1]!, 0.02 * middle);
    kept.forEach((k, index) => {
      if (Math.abs(apart[index]!) > limits.farOut * deviation) leave(k, "far-out");
    });
  }

  /** Looks across each cut, and between two looks that differ for the place where the strips meet. */
  function assignStrips(): void {
    const looks = 21;
    const widths = new Map<number, number>();
    for (let k = 0; k < count; k++) {
      const [cos, sin] = [east[k]!, north[k]!];
      if (passAt[k]! < 0 || cos !== cos) continue;
      const i = order[k]!;
      const width = swath?.[i] ?? NaN;
      const cut = width === width ? width : widthM;
      const look = (aside: number): number => stripAt(raster, x![i]! - aside * sin, y![i]! + aside * cos);
      widths.clear();
      let [seeded, before, begins] = [0, look(-cut / 2), -cut / 2];
      const add = (to: number): void => {
        if (before < 0) return;
        seeded += (to - begins) / cut;
        widths.set(before, (widths.get(before) ?? 0) + (to - begins) / cut);
      };
      for (let at = 1; at <= looks; at++) {
        const found = look((at / looks - 0.5) * cut);
        if (found === before) continue;
        let [left, right] = [((at - 1) / looks - 0.5) * cut, (at / looks - 0.5) * cut];
        while (right - left > meetM) {
          const middle = (left + right) / 2;
          if (look(middle) === before) left = middle;
          else right = middle;
        }
        add(right);
        [before, begins] = [found, right];
      }
      add(cut / 2);
      if (!(seeded > 0)) {
        leave(k, "not-seeded");
        continue;
      }
      if (widths.size === 1 && (seeded >= limits.onSeeded || off.has("shares"))) {
        [strip[k], share[k]] = [before >= 0 ? before : widths.keys().next().value!, 1];
        continue;
      }
      const parts = [...widths]
        .filter(([, part]) => part > limits.inOther * seeded)
        .sort(([, a], [, b]) => b - a);
      strip[k] = parts[0]![0];
      share[k] = 1;
      if (off.has("shares")) continue;
      if (seeded < limits.onSeeded) leave(k, "not-seeded");
      else if (parts.length > limits.strips) leave(k, "shared-cut");
      else if (parts.length > 1) {
        const kept = parts.reduce((sum, [, part]) => sum + part, 0);
        share[k] = parts[0]![1] / kept;
        parts.slice(1).forEach(([other, part], at) => {
          others[2 * k + at] = other;
          otherShares[2 * k + at] = part / kept;
        });
      }
    }
  }

  /** How much of a cut lies in a strip. */
  function shareIn(k: number, one: number): number {
    if (strip[k] === one) return share[k]!;
    if (others[2 * k] === one) return otherShares[2 * k]!;
    return others[2 * k + 1] === one ? otherShares[2 * k + 1]! : 0;
  }

  /** Whether the seed under the header changes from one point to the next. */
  function changes(k: number, next: number): boolean {
    let same = Math.min(share[k]!, shareIn(next, strip[k]!));
    for (const at of [2 * k, 2 * k + 1])
      if (others[at]! >= 0) same += Math.min(otherShares[at]!, shareIn(next, others[at]!));
    return 1 - same > limits.sharesJump;
  }

  /** Each run of a pass over the same seed loses its ends. */
  function leaveChangeOvers(from: number, to: number): void {
    const gapM = Math.max(10, 2.5 * passes.stepM);
    const runs: { from: number; to: number }[] = [];
    for (let k = from; k <= to; k++) {
      if (strip[k]! < 0) continue;
      const last = runs.at(-1);
      if (last !== undefined && along[k]! - along[last.to]! <= gapM && !changes(last.to, k)) last.to = k;
      else runs.push({ from: k, to: k });
    }
    for (const run of runs) {
      const beside = (k: number): LeftOutReason =>
        k >= from && k <= to && strip[k]! >= 0 ? "change-over" : "strip-end";
      const [before, after] = [beside(run.from - 1), beside(run.to + 1)];
      // The change lies between two points, half way.
      const start =
        run.from > from ? (along[run.from - 1]! + along[run.from]!) / 2 : along[run.from]! - passes.stepM / 2;
      const end = run.to < to ? (along[run.to]! + along[run.to + 1]!) / 2 : along[run.to]! + passes.stepM / 2;
      for (let k = run.from; k <= run.to; k++) {
        if (strip[k]! < 0) continue;
        if (along[k]! - start < limits.insideM) leave(k, before);
        else if (end - along[k]! < limits.insideM) leave(k, after);
      }
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
