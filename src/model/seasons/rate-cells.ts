/** Strips of one variety in one environment, grouped by block and rate. */
import type { RateCell } from "../../vocabulary/result.ts";
import type { Strip } from "../../vocabulary/trial.ts";
import { environmentId } from "../../vocabulary/environments.ts";
import type { Some } from "../../maths/group-by.ts";

/** The strips of one variety in one environment. */
export interface VarietyStrips {
  variety: string;
  environment: string;
  /** Sorted by rate, block, yield: whatever order the file had, the sums are the same to the last digit. */
  strips: Some<Strip>;
}

const textOrder = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

const stripOrder = (a: Strip, b: Strip): number =>
  a.rateSeedsPerM2 - b.rateSeedsPerM2 ||
  textOrder(a.block, b.block) ||
  a.yieldKgPerHa - b.yieldKgPerHa ||
  textOrder(a.place.file, b.place.file) ||
  a.place.row - b.place.row;

/** One list per variety, in it one group per environment that has strips; sorted by variety, then season, farm and field. */
export function groupByVariety(strips: readonly Strip[]): VarietyStrips[][] {
  const varieties = new Map<string, Map<string, Some<Strip>>>();
  for (const strip of strips) {
    let seasons = varieties.get(strip.variety);
    if (seasons === undefined) varieties.set(strip.variety, (seasons = new Map()));
    const place = placeOf(strip);
    const group = seasons.get(place);
    if (group === undefined) seasons.set(place, [strip]);
    else group.push(strip);
  }
  return [...varieties]
    .sort(([a], [b]) => textOrder(a, b))
    .map(([variety, seasons]) =>
      [...seasons.values()]
        .sort(([a], [b]) => a.season - b.season || textOrder(a.farm, b.farm) || textOrder(a.field, b.field))
        .map((group) => ({ variety, environment: environmentId(group[0]), strips: group.sort(stripOrder) })),
    );
}

/** A cheap key with the same meaning as the environment's id. */
const placeOf = (strip: Strip): string => `${strip.season}\u0000${strip.farm}\u0000${strip.field}`;

/**
 * Means of the strips by block and rate, and the sum of squares around them.
 *
 * @param strips  sorted as in `VarietyStrips`
 */
export function cellsOf(strips: readonly Strip[]): { cells: RateCell[]; withinCellSs: number } {
  const cells: RateCell[] = [];
  let withinCellSs = 0;
  for (let from = 0; from < strips.length;) {
    const { block, rateSeedsPerM2, yieldKgPerHa: guess } = strips[from]!;
    let to = from;
    let sum = 0;
    while (to < strips.length && strips[to]!.block === block && strips[to]!.rateSeedsPerM2 === rateSeedsPerM2)
      sum += strips[to++]!.yieldKgPerHa - guess;
    const mean = guess + sum / (to - from);
    for (let i = from; i < to; i++) withinCellSs += (strips[i]!.yieldKgPerHa - mean) ** 2;
    cells.push({ block, rateSeedsPerM2, strips: to - from, meanYieldKgPerHa: mean });
    from = to;
  }
  return { cells, withinCellSs };
}
