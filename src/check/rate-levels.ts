/** Strips sorted by the rates that were meant. */
import { sameRateWithin } from "../numbers/same-rate.ts";
import type { Strip } from "../vocabulary/trial.ts";
import type { VarietyGroup } from "./groups.ts";

/** Strips of one intended rate, named by the lowest of them. */
export interface RateLevel {
  rateSeedsPerM2: number;
  strips: Strip[];
}

/** A variety in an environment, its rates sorted into levels. */
export interface LaidOut extends VarietyGroup {
  levels: RateLevel[];
}

/** The levels in rising order. Strips belong to a level when their rate is within 1% of the level's lowest. */
export function rateLevels(strips: readonly Strip[]): RateLevel[] {
  const levels: RateLevel[] = [];
  for (const strip of [...strips].sort((a, b) => a.rateSeedsPerM2 - b.rateSeedsPerM2)) {
    const level = levels.at(-1);
    if (level !== undefined && strip.rateSeedsPerM2 <= level.rateSeedsPerM2 * (1 + sameRateWithin)) {
      level.strips.push(strip);
    } else {
      levels.push({ rateSeedsPerM2: strip.rateSeedsPerM2, strips: [strip] });
    }
  }
  return levels;
}
