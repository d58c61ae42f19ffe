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
