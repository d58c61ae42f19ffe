/** A curve that outlying strips hardly touch, beside the least-squares quadratic. */
import { TheilSenRegression } from "ml-regression";
import type { ResistantSlope } from "../result.ts";
import type { Strip } from "../trial.ts";

/** More pairs than this are thinned evenly: the median slope looks at every pair of pairs. */
const mostPairs = 400;

/**
 * How the gain of one more seed changes with the rate, by medians.
 *
 * Two strips of one block differ by (rate₂ − rate₁)·(slope at the rate half-way between them) if yield follows a
 * parabola, so their slopes against their mid-rates lie on a line whatever the block. Theil and Sen's line through them,
 * the median of all slopes between pairs, bears outlying strips; where it meets the price ratio is a resistant economic
 * optimum.
 *
 * @param strips  as in `VarietyStrips`
 * @returns slope [kg/ha per seed/m²] = atZero + perRate·rate; null with fewer than three mid-rates
 * Source: Sen (1968), Estimates of the regression coefficient based on Kendall's tau, JASA 63:1379–1389; pairs within
 * blocks are our own use of it. Known-truth check: test/unit/model/resistant-fit.test.ts
 */
export function fitResistant(strips: readonly Strip[]): ResistantSlope | null {
  const midRates: number[] = [];
  const slopes: number[] = [];
  visitPairs(strips, (a, b) => {
    const apart = b.rateSeedsPerM2 - a.rateSeedsPerM2;
    if (apart === 0) return;
    midRates.push((a.rateSeedsPerM2 + b.rateSeedsPerM2) / 2);
    slopes.push((b.yieldKgPerHa - a.yieldKgPerHa) / apart);
  });
  if (new Set(midRates).size < 3) return null;
  const { slope, intercept } = new TheilSenRegression(midRates, slopes);
  return { atZero: intercept, perRate: slope };
}

/** Every two strips of a block; of very many pairs every n-th. */
function visitPairs(strips: readonly Strip[], visit: (a: Strip, b: Strip) => void): void {
  const blocks = new Map<string, Strip[]>();
  for (const strip of strips) {
    const members = blocks.get(strip.block);
    if (members === undefined) blocks.set(strip.block, [strip]);
    else members.push(strip);
  }
  let pairs = 0;
  for (const { length } of blocks.values()) pairs += (length * (length - 1)) / 2;
  const every = Math.ceil(pairs / mostPairs);
  let next = 0;
  for (const members of blocks.values()) {
    const own = (members.length * (members.length - 1)) / 2;
    for (; next < own; next += every) {
      // pair number t = later·(later − 1)/2 + earlier
      const later = Math.floor((1 + Math.sqrt(1 + 8 * next)) / 2);
      visit(members[next - (later * (later - 1)) / 2]!, members[later]!);
    }
    next -= own;
  }
}
