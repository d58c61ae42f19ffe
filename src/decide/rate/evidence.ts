/** One word for how well the strips support the advice, by a stated rule. */
import type { Interval, NextRate } from "../../vocabulary/result.ts";

export interface EvidenceFacts {
  seasons: number;
  testedRates: number;
  /** "No response" is as believable as all else together. */
  noResponse: boolean;
  /** Another rate than today's would earn more. */
  moves: boolean;
  /** The narrower of the two intervals. */
  interval: Interval;
  tested: readonly [number, number];
}

/** Probability of no response above which the strips are said to show nothing. */
export const noResponseLimit = 0.5;
/** Share of the tested range that the narrower interval may cover. */
const strongShare = 0.4;
const fairShare = 0.65;

/**
 * none: fewer than three rates, or "no response" is as believable as all else together and no move pays on average.
 * strong: three seasons or more, and the narrower interval covers at most 40 % of the tested range.
 * fair: two seasons or more, and at most 65 %. weak: the rest.
 *
 * The limits are our own choice.
 */
export function evidenceWord(facts: EvidenceFacts): NextRate["evidence"] {
  if (facts.testedRates < 3 || (facts.noResponse && !facts.moves)) return "none";
  if (facts.noResponse) return "weak";
  const share = (facts.interval.upper - facts.interval.lower) / (facts.tested[1] - facts.tested[0]);
  if (facts.seasons >= 3 && share <= strongShare) return "strong";
  if (facts.seasons >= 2 && share <= fairShare) return "fair";
  return "weak";
}
