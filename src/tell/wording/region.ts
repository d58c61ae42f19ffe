/** What a region adds to the answer of one variety. */
import type { Measures } from "../../numbers/measures.ts";
import { counted } from "../../numbers/written-numbers.ts";
import type { NextRate, Result } from "../../vocabulary/result.ts";
import { bareRate } from "./optimum.ts";

/** How much of the answer comes from the region and how much from the farm; "" without a region. */
export function regionSentence(result: Result, next: NextRate, measures: Measures): string {
  const belief = result.beliefs.find(({ variety }) => variety === next.variety);
  const region = belief?.region ?? null;
  if (belief === undefined || region === null) return "";
  const farms = counted(region.farms, "farm", measures.style);
  if (belief.strips === 0)
    return `Region: this farm has no strips of this variety. The rate is based on ${farms} in the region alone, and gains assume the mean yield of your other varieties.`;
  const without = next.sensitivity.find(({ prior }) => prior === "without-region");
  const alone =
    without === undefined
      ? ""
      : ` From this farm's strips alone the best rate would be ${bareRate(without.rateSeedsPerM2, measures)}.`;
  return `Region: about ${measures.share(region.leaning)} of what is known about this variety's seed need comes from ${farms} in the region, the rest from this farm.${alone} About ${measures.share(region.farmsBelow)} of the region's farms need less seed of it than this farm.`;
}
