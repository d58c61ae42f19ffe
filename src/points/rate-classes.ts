/** Rates of the drill's runs → the few rates that were asked for. */
import { firstAndLast } from "../maths/first-and-last.ts";
import { gather, type Some } from "../maths/group-by.ts";
import { rateGap } from "../vocabulary/harvest.ts";

export interface RateClass {
  /** Middle of the rates in it, by point. */
  rate: number;
  lowest: number;
  highest: number;
  points: number;
  /** Rates of its lowest and its highest run. */
  from: number;
  to: number;
}

interface Run {
  rate: number;
  points: number;
}

/** A class that spans a larger share is cut into several, of about the second share each. */
const [widest, usualWidth] = [0.15, 0.08];

/**
 * Rates in classes: a new one wherever the next higher rate is more than 5 % higher; a drill keeps one rate better than that.
 *
 * Where rates follow one another without such a gap, as from a drill whose rate drifts, classes are cut even.
 *
 * @param runs rate of each run, and its number of points
 * @returns lowest class first; together they hold every rate
 */
export function rateClasses(runs: readonly Run[]): RateClass[] {
  const sorted = [...runs].sort((a, b) => a.rate - b.rate);
  const heaps: Some<Run>[] = [];
  for (const run of sorted) {
    const heap = heaps.at(-1);
    if (heap !== undefined && Math.log(run.rate / heap.at(-1)!.rate) <= rateGap) heap.push(run);
    else heaps.push([run]);
  }
  const groups = heaps.flatMap((heap) => {
    const [lowest, highest] = firstAndLast(heap);
    const width = Math.log(highest.rate / lowest.rate);
    const parts = width <= widest ? 1 : Math.ceil(width / usualWidth);
    const partOf = ({ rate }: Run): number =>
      Math.min(parts - 1, Math.floor((parts * Math.log(rate / lowest.rate)) / Math.max(width, 1e-9)));
    return [...gather(heap, partOf).values()];
  });
  let below = 0;
  return groups.map((group, index) => {
    const [{ rate: from }, { rate: to }] = firstAndLast(group);
    const lowest = below;
    below = to;
    return {
      rate: middlePoint(group),
      lowest,
      highest: index === groups.length - 1 ? Infinity : to,
      from,
      to,
      points: group.reduce((sum, { points }) => sum + points, 0),
    };
  });
}

function middlePoint(group: readonly Run[]): number {
  const half = group.reduce((sum, { points }) => sum + points, 0) / 2;
  let before = 0;
  for (const { rate, points } of group) {
    before += points;
    if (before >= half) return rate;
  }
  return NaN;
}

/** The class of a run's rate. */
export const classOf = (rate: number, classes: readonly RateClass[]): number =>
  classes.findIndex(({ lowest, highest }) => rate > lowest && rate <= highest);
