/** Where the expected curve of yield or money is highest, and how sure that is. */
import type { Belief, Interval, Optimum } from "../../vocabulary/result.ts";
import { indexOfLargest, weightedQuantiles } from "../../maths/weighted-quantiles.ts";
import { rateOfBest } from "./curve-table.ts";

/** @returns why no rate can be named, if fewer than three were tested */
export function believedOptimum(belief: Belief, expected: ArrayLike<number>, interval: Interval): Optimum {
  const { ratesSeedsPerM2: rates } = belief;
  const [lowest, highest] = belief.testedSeedsPerM2;
  if (belief.testedRates < 3) return { kind: "none", reason: "too-few-rates" };
  const at = indexOfLargest(expected);
  if (at === 0) return { kind: "at-edge", rateSeedsPerM2: lowest, edge: "lowest", reason: "never-pays" };
  if (at === rates.length - 1)
    return { kind: "at-edge", rateSeedsPerM2: highest, edge: "highest", reason: "still-rising" };
  const lower = interval.lower > lowest ? interval.lower : null;
  const upper = interval.upper < highest ? interval.upper : null;
  return {
    kind: "found",
    rateSeedsPerM2: rateOfBest(rates, expected),
    lower,
    upper,
    reason:
      lower === null
        ? upper === null
          ? "no-ends"
          : "no-lower-end"
        : upper === null
          ? "no-upper-end"
          : "interval",
  };
}

/** An interval, with its ends marked open where they are the lowest or highest rate tested. */
export const withinTested = (
  interval: Interval,
  { testedSeedsPerM2: [lowest, highest] }: Pick<Belief, "testedSeedsPerM2">,
): Interval => ({
  ...interval,
  ...(interval.lower > lowest ? {} : { openBelow: true }),
  ...(interval.upper < highest ? {} : { openAbove: true }),
});

/**
 * The interval with `level` of the curves' best rates, weighted by belief. It is their middle part; but where that
 * reaches an end of the tested rates, nothing is left out there and everything is left out at the other end.
 */
export function intervalsOfBest(
  bestRates: Float64Array,
  weights: Float64Array,
  belief: Pick<Belief, "testedSeedsPerM2">,
): (level: number) => Interval {
  const at = weightedQuantiles(bestRates, weights);
  return (level) => {
    const tail = (1 - level) / 2;
    const middle = withinTested({ level, lower: at(tail), upper: at(1 - tail) }, belief);
    if (middle.openBelow === middle.openAbove) return middle;
    return middle.openBelow === true ? { ...middle, upper: at(level) } : { ...middle, lower: at(1 - level) };
  };
}
