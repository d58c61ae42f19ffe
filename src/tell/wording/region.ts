/** What a region adds to the answer of one variety. */
import type { Measures } from "../../numbers/measures.ts";
import { counted } from "../../numbers/written-numbers.ts";
import type { NextRate, Result } from "../../vocabulary/result.ts";
import { bareRate } from "./optimum.ts";

/** What rests on the region and what on the farm; "" without a region. */
export function regionSentence(result: Result, next: NextRate, measures: Measures): string {
  const belief = result.beliefs.find(({ variety }) => variety === next.variety);
  const region = belief?.region ?? null;
  if (belief === undefined || region === null) return "";
  const farms = counted(region.farms, "farm", measures.style);
  if (belief.strips === 0)
    return `Region: this farm has no strips of it; the rate rests on ${farms} of the region alone, and gains are reckoned at the mean yield of your other varieties.`;
  const without = next.sensitivity.find(({ prior }) => prior === "without-region");
  const alone =
    without === undefined
      ? ""
      : ` By this farm's strips alone it would be ${bareRate(without.rateSeedsPerM2, measures)}.`;
  return `Region: about ${measures.share(region.leaning)} of what is known of this variety's need comes from ${farms} of the region, the rest from this farm.${alone} About ${measures.share(region.farmsBelow)} of the region's farms need less seed of it than this one.`;
}
