/** Which of two varieties needs more seed, and how sure that is. */
import { normalCdf, normalQuantile } from "../../maths/distributions.ts";
import type { NeedsMore, NextRate } from "../../vocabulary/result.ts";

interface Spread {
  variety: string;
  middle: number;
  sd: number;
}

/**
 * The log of the most profitable rate as a normal distribution whose middle and ends are those of the narrowest
 * interval. An open end says nothing: then the spread comes from the other end alone, beyond which everything is that
 * the interval leaves out.
 *
 * @returns null where no best rate is named, or the interval is open at both ends
 */
function spreadOf({ variety, economicOptimum, intervals: [likely] }: NextRate): Spread | null {
  if (economicOptimum.kind !== "found" || likely === undefined || likely.lower <= 0) return null;
  const { rateSeedsPerM2: rate } = economicOptimum;
  const isOpen = likely.openBelow === true || likely.openAbove === true;
  const sides = [
    ...(likely.openBelow === true ? [] : [Math.log(rate / likely.lower)]),
    ...(likely.openAbove === true ? [] : [Math.log(likely.upper / rate)]),
  ].filter((side) => side > 0);
  if (sides.length === 0) return null;
  const side = sides.reduce((sum, one) => sum + one, 0) / sides.length;
  return {
    variety,
    middle: Math.log(rate),
    sd: side / normalQuantile(isOpen ? likely.level : (1 + likely.level) / 2),
  };
}

/**
 * Every pair of varieties whose best rates are known, with the chance that the first needs more seed than the second: the
 * logs of both taken as independent and normal. Surest first, then by name.
 */
export function whichNeedsMore(rates: readonly NextRate[]): NeedsMore[] {
  const known = rates.map(spreadOf).filter((spread) => spread !== null);
  return known
    .flatMap((one, index) =>
      known.slice(index + 1).map((other): NeedsMore => {
        const [more, less] = one.middle >= other.middle ? [one, other] : [other, one];
        const z = (more.middle - less.middle) / Math.hypot(one.sd, other.sd);
        return { more: more.variety, less: less.variety, chance: normalCdf(z) };
      }),
    )
    .sort((a, b) => b.chance - a.chance || (a.more < b.more ? -1 : 1));
}
