/** Which varieties need different rates, by all strips together. */
import { cumulativeStdNormalProbability } from "simple-statistics";
import type { NextRate } from "../../vocabulary/result.ts";

export interface VarietiesDiffer {
  more: string;
  less: string;
  chance: number;
}

/** Half the width of a normal distribution's 80 % interval, in standard deviations. */
const halfOf80 = 1.2816;

/** The log of the most profitable rate as a normal distribution, from its 80 % interval; null where it has none. */
function spreadOf({
  variety,
  economicOptimum,
  intervals,
}: NextRate): { variety: string; middle: number; sd: number } | null {
  const likely = intervals.find(({ level }) => Math.abs(level - 0.8) < 1e-9);
  if (economicOptimum.kind !== "found" || likely === undefined || likely.lower <= 0) return null;
  return {
    variety,
    middle: Math.log(economicOptimum.rateSeedsPerM2),
    sd: Math.log(likely.upper / likely.lower) / (2 * halfOf80),
  };
}

/**
 * Every pair of varieties whose best rates are known, with the chance that the first needs more seed than the second: the
 * logs of both taken as independent and normal. Surest first.
 */
export function varietiesDiffer(rates: readonly NextRate[]): VarietiesDiffer[] {
  const known = rates.map(spreadOf).filter((spread) => spread !== null);
  return known
    .flatMap((one, index) =>
      known.slice(index + 1).map((other): VarietiesDiffer => {
        const [more, less] = one.middle >= other.middle ? [one, other] : [other, one];
        const z = (more.middle - less.middle) / Math.hypot(one.sd, other.sd);
        return { more: more.variety, less: less.variety, chance: cumulativeStdNormalProbability(z) };
      }),
    )
    .sort((a, b) => b.chance - a.chance || (a.more < b.more ? -1 : 1));
}
