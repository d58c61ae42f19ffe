/** Whether two varieties of a region need different rates. */
import { normalCdf } from "../../maths/distributions.ts";
import type { Region, RegionVariety, VarietiesDiffer } from "../../vocabulary/region.ts";

/**
 * Chance that one variety needs more seed than another, from the normal parts of both, taken as independent: what farms have
 * in common is in both needs, so the chance is told a little nearer to a half than it is.
 */
export function chanceOfMore(one: RegionVariety, other: RegionVariety): number {
  let chance = 0;
  let total = 0;
  for (const a of one.need) {
    for (const b of other.need) {
      const weight = a.weight * b.weight;
      chance += weight * normalCdf((a.logNeed - b.logNeed) / Math.hypot(a.sd, b.sd));
      total += weight;
    }
  }
  return chance / total;
}

/** Every pair, the one that probably needs more first; surest pair first. */
export const varietiesDiffer = ({ varieties }: Pick<Region, "varieties">): VarietiesDiffer[] =>
  varieties
    .flatMap((one, index) =>
      varieties.slice(index + 1).map((other): VarietiesDiffer => {
        const chance = chanceOfMore(one, other);
        return chance >= 0.5
          ? { more: one.variety, less: other.variety, chance }
          : { more: other.variety, less: one.variety, chance: 1 - chance };
      }),
    )
    .sort((a, b) => b.chance - a.chance || (a.more < b.more ? -1 : 1));
