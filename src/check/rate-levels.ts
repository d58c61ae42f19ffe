/** Strips sorted by the rates that were meant. */
import { sameRateWithin } from "../numbers/same-rate.ts";
import type { Strip } from "../vocabulary/trial.ts";
import { sorted, type Some } from "../maths/group-by.ts";
import type { VarietyGroup } from "./groups.ts";

/** Strips of one intended rate, named by the lowest of them. */
export interface RateLevel {
  rateSeedsPerM2: number;
  strips: Strip[];
}

/** A variety in an environment, its rates sorted into levels. */
export interface LaidOut extends VarietyGroup {
  levels: Some<RateLevel>;
}

const levelFrom = (lowest: Strip): RateLevel => ({ rateSeedsPerM2: lowest.rateSeedsPerM2, strips: [lowest] });

/** The levels in rising order. Strips belong to a level when their rate is within 1% of the level's lowest. */
export function rateLevels(strips: Readonly<Some<Strip>>): Some<RateLevel> {
  const [lowest, ...others] = sorted(strips, (a, b) => a.rateSeedsPerM2 - b.rateSeedsPerM2);
  let level = levelFrom(lowest);
  const levels: Some<RateLevel> = [level];
  for (const strip of others) {
    if (strip.rateSeedsPerM2 <= level.rateSeedsPerM2 * (1 + sameRateWithin)) level.strips.push(strip);
    else levels.push((level = levelFrom(strip)));
  }
  return levels;
}
