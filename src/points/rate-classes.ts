/** Rates of the drill's runs → the few rates that were asked for. */
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
export function rateClasses(runs: readonly { rate: number; points: number }[]): RateClass[] {
  const sorted = [...runs].sort((a, b) => a.rate - b.rate);
  const heaps: { rate: number; points: number }[][] = [];
  for (const run of sorted) {
    const last = heaps.at(-1)?.at(-1);
    if (last !== undefined && Math.log(run.rate / last.rate) <= rateGap) heaps.at(-1)!.push(run);
    else heaps.push([run]);
  }
  const groups = heaps.flatMap((heap) => {
    const width = Math.log(heap.at(-1)!.rate / heap[0]!.rate);
    const parts = width <= widest ? 1 : Math.ceil(width / usualWidth);
    const partOf = (rate: number): number =>
      Math.min(parts - 1, Math.floor((parts * Math.log(rate / heap[0]!.rate)) / Math.max(width, 1e-9)));
    return Array.from({ length: parts }, (_, part) => heap.filter(({ rate }) => partOf(rate) === part));
  });
  const filled = groups.filter((group) => group.length > 0);
  return filled.map((group, index) => ({
    rate: middlePoint(group),
    lowest: index === 0 ? 0 : filled[index - 1]!.at(-1)!.rate,
    highest: index === filled.length - 1 ? Infinity : group.at(-1)!.rate,
    from: group[0]!.rate,
    to: group.at(-1)!.rate,
    points: group.reduce((sum, { points }) => sum + points, 0),
  }));
}

function middlePoint(group: readonly { rate: number; points: number }[]): number {
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
