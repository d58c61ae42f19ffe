/** Averages that stand among the strips, without a name for them: rows without a block whose yield is the mean of the blocks. */
import { gather } from "../maths/group-by.ts";
import { averageOfBlocks } from "../messages/values.ts";
import type { Finding, Strip } from "../vocabulary/trial.ts";
import type { VarietyGroup } from "./groups.ts";

/** A written mean is this near to it: half of 0.1 in 60 bu/ac, and somewhat more for means of moisture. */
const nearness = 0.0015;
/** Fewer strips may be at the mean by chance. */
const fewest = 3;

/**
 * Strips without a block that are all the mean of those with one, of the same variety and rate in the same field and season.
 *
 * @returns none where any strip without a block is something else
 */
export function checkAverages(groups: readonly VarietyGroup[]): {
  averages: Set<Strip>;
  findings: Finding[];
} {
  const averages = new Set<Strip>();
  const nothing = { averages: new Set<Strip>(), findings: [] };
  for (const { strips } of groups) {
    const nameless = strips.filter(({ block }) => block === "");
    if (nameless.length === 0 || nameless.length === strips.length) continue;
    const ofRates = gather(
      strips.filter(({ block }) => block !== ""),
      ({ rateSeedsPerM2 }) => rateSeedsPerM2,
    );
    for (const strip of nameless) {
      const alike = ofRates.get(strip.rateSeedsPerM2) ?? [];
      const mean = alike.reduce((sum, one) => sum + one.yieldKgPerHa, 0) / alike.length;
      if (alike.length < 2 || !(Math.abs(strip.yieldKgPerHa - mean) <= nearness * mean)) return nothing;
      averages.add(strip);
    }
  }
  if (averages.size < fewest) return nothing;
  return { averages, findings: [...averages].map(({ place }) => averageOfBlocks(place)) };
}
