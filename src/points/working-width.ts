/** How wide a machine works: as its file says, else the distance between neighbouring passes. */
import { middleOf } from "./middle.ts";
import { Nearby } from "./nearby.ts";
import type { Passes } from "./passes.ts";
import type { PointCloud } from "./point-cloud.ts";

export interface WorkingWidth {
  metres: number;
  assumed: boolean;
}

/** Wider apart than this are not neighbours [m]. */
const widestM = 60;

/** @param told width that the person gave [m] */
export function workingWidth(cloud: PointCloud, passes: Passes, told: number | null): WorkingWidth | null {
  if (told !== null) return { metres: told, assumed: false };
  const { swath } = cloud.numbers;
  if (swath !== null) {
    const widths: number[] = [];
    const every = Math.max(1, Math.floor(cloud.count / 20_000));
    for (let i = 0; i < cloud.count; i += every) if (swath[i]! > 0.3) widths.push(swath[i]!);
    if (widths.length > 0) {
      // The full width is what most points have; narrower cuts are fewer.
      widths.sort((a, b) => a - b);
      return { metres: widths[Math.floor(0.75 * (widths.length - 1))]!, assumed: false };
    }
  }
  const metres = passSpacing(cloud, passes);
  return metres === null ? null : { metres, assumed: true };
}

/** A width that so many passes and this share of their points have is a machine's own. */
const [fewestPasses, leastShare] = [3, 0.1];
/** Widths that differ by less are one [m]. */
const sameWidthM = 0.3;

/**
 * Full width of each pass [m]: that of its machine, where machines of several widths worked in one field; a pass that was
 * cut narrower now and then, as the last one of a field, has the usual width.
 *
 * @param widthM usual width
 * @param isTold whether a person said it: then it holds for all passes
 */
export function passWidths(
  { numbers: { swath } }: PointCloud,
  { passes, order }: Passes,
  widthM: number,
  isTold = false,
): Float64Array {
  const widths = new Float64Array(passes.length).fill(widthM);
  if (swath === null || isTold) return widths;
  const own = passes.map(({ from, to }) => {
    const known = Float64Array.from(order.subarray(from, to + 1), (i) => swath[i]!)
      .filter((width) => width > 0.3)
      .sort();
    return { width: known[Math.floor(0.75 * (known.length - 1))] ?? NaN, points: to - from + 1 };
  });
  const all = own.reduce((sum, { points }) => sum + points, 0);
  const machines = new Map<number, { passes: number; points: number }>();
  const keyOf = (width: number): number => Math.round(width / sameWidthM);
  for (const { width, points } of own) {
    const machine = machines.get(keyOf(width)) ?? { passes: 0, points: 0 };
    machine.passes++;
    machine.points += points;
    machines.set(keyOf(width), machine);
  }
  own.forEach(({ width }, pass) => {
    const machine = machines.get(keyOf(width))!;
    if (machine.passes >= fewestPasses && machine.points >= leastShare * all) widths[pass] = width;
  });
  return widths.map((width) => (width === width ? width : widthM));
}

/** How far neighbouring passes are from one another [m]; null where none has a neighbour. */
export function passSpacing(cloud: PointCloud, passes: Passes, withinM = widestM): number | null {
  const { x, y } = cloud.numbers;
  const members: number[] = [];
  const passOf = new Int32Array(cloud.count).fill(-1);
  passes.order.forEach((i, k) => {
    passOf[i] = passes.passAt[k]!;
    if (passes.passAt[k]! >= 0) members.push(i);
  });
  const nearby = new Nearby(x!, y!, members, withinM);
  const distances: number[] = [];
  const every = Math.max(1, Math.floor(members.length / 2_000));
  for (let k = 0; k < passes.order.length; k += every) {
    const here = passes.order[k]!;
    const [along, across] = [passes.east[k]!, passes.north[k]!];
    if (passOf[here]! < 0 || along !== along) continue;
    let nearest = Infinity;
    nearby.around(x![here]!, y![here]!, (i) => {
      if (passOf[i] === passOf[here]) return;
      const [dx, dy] = [x![i]! - x![here]!, y![i]! - y![here]!];
      if (Math.abs(dx * along + dy * across) > Math.max(2 * passes.stepM, 3)) return;
      const lateral = Math.abs(dy * along - dx * across);
      if (lateral > 0.5 && lateral < nearest) nearest = lateral;
    });
    if (nearest < widestM) distances.push(nearest);
  }
  return distances.length === 0 ? null : middleOf(distances);
}
