/** The rate that came with a variety, beside what the farm's own strips say, or the region where there are none. */
import type { Measures } from "../../numbers/measures.ts";
import type { NextRate, Result } from "../../vocabulary/result.ts";
import { bareRate, likelyRange, rangeName } from "./optimum.ts";

/** "" where the lots give no such rate. */
export function recommendedSentence(result: Result, next: NextRate, measures: Measures): string {
  const lot = result.settings.lots.find(({ variety }) => variety === next.variety);
  const recommended = lot?.recommendedSeedsPerM2 ?? null;
  if (recommended === null) return "";
  const told = `The rate that came with the variety is ${measures.rate.text(recommended)}.`;
  const without = next.sensitivity.find(({ prior }) => prior === "without-recommended");
  const { economicOptimum: best, intervals } = next;
  const [likely] = intervals;
  if (best.kind === "none" || likely === undefined)
    return `${told} Your strips say too little to confirm or contradict it.`;
  const alone =
    without === undefined
      ? ""
      : ` It counts as one weak piece of evidence: without it the best rate would be ${bareRate(without.rateSeedsPerM2, measures)}.`;
  const ours = restsOnRegion(next) ? "By the region's farms" : "With your own strips";
  return `${told} ${ours} the best rate is ${bareRate(best.rateSeedsPerM2, measures)} (${rangeName(likely.level, measures)} ${likelyRange(likely, measures)}).${alone}`;
}

/** Whether the farm has no strips of the variety. */
export const restsOnRegion = ({ reasons }: Pick<NextRate, "reasons">): boolean =>
  reasons.some(({ code }) => code === "region-only");
