/** What the combine cut at each point: in which strips, and whether it was cut before. Told by places alone, worked out once. */
import { leftOutReasons, type LeftOutReason } from "../vocabulary/harvest.ts";
import { limits } from "./limits.ts";
import { Nearby } from "./nearby.ts";
import type { Passes } from "./passes.ts";
import type { PointCloud } from "./point-cloud.ts";
import { stripAt, type Raster } from "./strip-raster.ts";

/** Where strips meet under a header is looked for to this [m]. */
const meetM = 0.05;
/** Looks across a cut. */
const looks = 21;

/** Number of a reason, 0 for none. */
export const codeOf = (reason: LeftOutReason): number => leftOutReasons.indexOf(reason) + 1;

/** Strips of each cut, by place in `passes.order`. */
export interface CutStrips {
  /** Strip that most of the cut lies in; −1 for none. */
  strip: Int32Array;
  /** How much of the cut lies in it, of what lies in strips. */
  share: Float32Array;
  /** The other strips of a cut, two by place, and the share of each; −1 for none. */
  others: Int32Array;
  otherShares: Float32Array;
  /** Why a cut cannot be used for any strip; 0 where it can. */
  why: Uint8Array;
}

const [unknown, apart, cutBefore] = [0, 1, 2];

export class Cuts {
  readonly #cloud: PointCloud;
  readonly #passes: Passes;
  readonly #raster: Raster;
  /** Cut where a point does not say its own [m]. */
  readonly widthM: number;
  /** Full cut of each pass [m]. */
  readonly fullM: Float64Array;
  readonly #strips = new Map<boolean, CutStrips>();
  /** Whether each place was cut before, as far as it was asked. */
  readonly #before: Uint8Array;
  #beside: { nearby: Nearby; placeOf: Uint32Array; widest: number } | null = null;

  constructor(cloud: PointCloud, passes: Passes, raster: Raster, widthM: number, fullM: Float64Array) {
    [this.#cloud, this.#passes, this.#raster] = [cloud, passes, raster];
    [this.widthM, this.fullM] = [widthM, fullM];
    this.#before = new Uint8Array(cloud.count);
  }

  /** @param shares  whether a cut in several strips is shared between them; else it is of the one that has most of it */
  inStrips(shares: boolean): CutStrips {
    let found = this.#strips.get(shares);
    if (found === undefined) this.#strips.set(shares, (found = this.#lookAcross(shares)));
    return found;
  }

  /** Whether the ground of a place lay under another pass before. */
  overlaps(k: number): boolean {
    if (this.#before[k] === unknown) this.#before[k] = this.#wasCut(k) ? cutBefore : apart;
    return this.#before[k] === cutBefore;
  }

  #width(k: number): number {
    const own = this.#cloud.numbers.swath?.[this.#passes.order[k]!] ?? NaN;
    return own === own ? own : this.widthM;
  }

  #besides(): { nearby: Nearby; placeOf: Uint32Array; widest: number } {
    if (this.#beside !== null) return this.#beside;
    const { order, passAt, stepM } = this.#passes;
    const { x, y } = this.#cloud.numbers;
    const placeOf = new Uint32Array(this.#cloud.count);
    const members: number[] = [];
    let widest = this.widthM;
    order.forEach((i, k) => {
      placeOf[i] = k;
      if (passAt[k]! < 0) return;
      members.push(i);
      widest = Math.max(widest, this.#width(k));
    });
    const nearby = new Nearby(x!, y!, members, Math.max(this.widthM, 2 * stepM));
    return (this.#beside = { nearby, placeOf, widest });
  }

  #wasCut(k: number): boolean {
    const { order, passAt, east, north, stepM } = this.#passes;
    const { x, y, time } = this.#cloud.numbers;
    const { nearby, placeOf, widest } = this.#besides();
    const needed = Math.max(limits.overlapShare * this.widthM, limits.overlapM);
    const i = order[k]!;
    const [cos, sin] = [east[k]!, north[k]!];
    const own = this.#width(k);
    let most = 0;
    // What is farther neither lies beside nor overlaps: most points around are skipped at once.
    const reach = stepM ** 2 + ((own + widest) / 2 - needed) ** 2;
    const take = (j: number): void => {
      const other = placeOf[j]!;
      if (passAt[other] === passAt[k] || !(time![j]! < time![i]! - 1)) return;
      const dx = x![j]! - x![i]!;
      const dy = y![j]! - y![i]!;
      if (Math.abs(dx * cos + dy * sin) > stepM) return;
      if (Math.abs(east[other]! * cos + north[other]! * sin) < 0.9) return;
      most = Math.max(most, (own + this.#width(other)) / 2 - Math.abs(dy * cos - dx * sin));
    };
    nearby.around(x![i]!, y![i]!, take, reach);
    return most > needed;
  }

  #lookAcross(shares: boolean): CutStrips {
    const { count } = this.#cloud;
    const found: CutStrips = {
      strip: new Int32Array(count).fill(-1),
      share: new Float32Array(count),
      others: new Int32Array(2 * count).fill(-1),
      otherShares: new Float32Array(2 * count),
      why: new Uint8Array(count),
    };
    const { passAt, east } = this.#passes;
    const widths = new Map<number, number>();
    for (let k = 0; k < count; k++) {
      if (passAt[k]! < 0 || east[k] !== east[k]) continue;
      const seeded = this.#strip(k, widths);
      if (seeded > 0) share(found, k, widths, seeded, shares);
      else found.why[k] = codeOf("not-seeded");
    }
    return found;
  }

  /** How much of a cut lies in each strip, and in all: between two looks that differ for the place where the strips meet. */
  #strip(k: number, widths: Map<number, number>): number {
    const { order, east, north } = this.#passes;
    const { x, y } = this.#cloud.numbers;
    const i = order[k]!;
    const [cos, sin] = [east[k]!, north[k]!];
    const cut = this.#width(k);
    const look = (aside: number): number => stripAt(this.#raster, x![i]! - aside * sin, y![i]! + aside * cos);
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
    return seeded;
  }
}

/** Gives a cut to the strip that has most of it, and to the others what is theirs. */
function share(
  found: CutStrips,
  k: number,
  widths: ReadonlyMap<number, number>,
  seeded: number,
  shares: boolean,
): void {
  if (widths.size === 1 && (seeded >= limits.onSeeded || !shares)) {
    [found.strip[k], found.share[k]] = [widths.keys().next().value!, 1];
    return;
  }
  const parts = [...widths]
    .filter(([, part]) => part > limits.inOther * seeded)
    .sort(([, a], [, b]) => b - a);
  found.strip[k] = parts[0]![0];
  found.share[k] = 1;
  if (!shares) return;
  if (seeded < limits.onSeeded) found.why[k] = codeOf("not-seeded");
  else if (parts.length > limits.strips) found.why[k] = codeOf("shared-cut");
  else if (parts.length > 1) {
    const kept = parts.reduce((sum, [, part]) => sum + part, 0);
    found.share[k] = parts[0]![1] / kept;
    parts.slice(1).forEach(([other, part], at) => {
      found.others[2 * k + at] = other;
      found.otherShares[2 * k + at] = part / kept;
    });
  }
}
