/** Which rates the strips speak of. */
import type { Belief, Interval } from "./result.ts";

/** Whether a rate lies within those tested: what any other earns is not known. False where it is not known itself. */
export const isTested = (
  rate: number | null,
  { testedSeedsPerM2: [lowest, highest] }: Pick<Belief, "testedSeedsPerM2">,
): rate is number => rate !== null && rate >= lowest && rate <= highest;

/** Width of an interval of rates; null where it goes beyond the rates tested. */
export const closedWidth = ({ lower, upper, openBelow, openAbove }: Interval): number | null =>
  openBelow === true || openAbove === true ? null : upper - lower;
