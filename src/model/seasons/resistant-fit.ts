/** A curve that outlying strips hardly touch, beside the least-squares quadratic. */
import { gather } from "../../maths/group-by.ts";
import { sdPerMedianDeviation } from "../../maths/robust.ts";
import { TheilSenRegression } from "ml-regression";
import { median } from "simple-statistics";
import type { ResistantSlope } from "../../vocabulary/result.ts";
import type { Strip } from "../../vocabulary/trial.ts";

/** More pairs than this are thinned evenly: the median slope looks at every pair of pairs. */
const mostPairs = 400;

/**
 * How the gain of one more seed changes with the rate, by medians.
 *
 * Two strips of one block differ by (rate₂ − rate₁)·(slope at the rate half-way between them) if yield follows a
 * parabola, so their slopes against their mid-rates are on a line whatever the block. Theil and Sen's line through
 * them, the median of all slopes between pairs, is little affected by outlying strips; where it meets the price ratio
 * is a resistant economic optimum.
 *
 * @param strips  as in `VarietyStrips`
 * @returns slope [kg/ha per seed/m²] = atZero + perRate·rate, with the spread around it (median absolute residual from
 *   the block medians × 1.4826, adjusted to the residual degrees of freedom); null with fewer than three mid-rates or
 *   without residual degrees of freedom
 * Source: Sen (1968), Estimates of the regression coefficient based on Kendall's tau, JASA 63:1379–1389; pairs within
 * blocks are our own use of it. Known-truth check: test/unit/model/resistant-fit.test.ts
 */
export function fitResistant(strips: readonly Strip[]): ResistantSlope | null {
  const blocks = [...gather(strips, (strip) => strip.block).values()];
  const midRates: number[] = [];
  const slopes: number[] = [];
  visitPairs(blocks, (a, b) => {
    const apart = b.rateSeedsPerM2 - a.rateSeedsPerM2;
    if (apart === 0) return;
    midRates.push((a.rateSeedsPerM2 + b.rateSeedsPerM2) / 2);
    slopes.push((b.yieldKgPerHa - a.yieldKgPerHa) / apart);
  });
  const residualDf = strips.length - blocks.length - 2;
  if (residualDf < 1 || new Set(midRates).size < 3) return null;
  const { slope: perRate, intercept: atZero } = new TheilSenRegression(midRates, slopes);
  const rises = ({ rateSeedsPerM2: rate, yieldKgPerHa }: Strip): number =>
    yieldKgPerHa - (atZero + (perRate * rate) / 2) * rate;
  const residuals = blocks.flatMap((members) => {
    const rest = members.map(rises);
    const level = median(rest);
    return rest.map((one) => Math.abs(one - level));
  });
  const residualSdKgPerHa = sdPerMedianDeviation * median(residuals) * Math.sqrt(strips.length / residualDf);
  return { atZero, perRate, residualSdKgPerHa };
}

/** Every two strips of a block; of very many pairs an even sample, one from each stretch of them. */
function visitPairs(blocks: readonly Strip[][], visit: (a: Strip, b: Strip) => void): void {
  const pairsOf = ({ length }: Strip[]): number => (length * (length - 1)) / 2;
  let pairs = 0;
  for (const members of blocks) pairs += pairsOf(members);
  const visited = Math.min(pairs, mostPairs);
  let [seen, m] = [0, 0];
  for (const members of blocks) {
    const own = pairsOf(members);
    for (; m < visited; m++) {
      // a place within the m-th stretch that keeps no step with the blocks (golden ratio)
      const pair = Math.floor((m + ((m * goldenRatio) % 1)) * (pairs / visited)) - seen;
      if (pair >= own) break;
      // pair = later·(later − 1)/2 + earlier
      const later = Math.floor((1 + Math.sqrt(1 + 8 * pair)) / 2);
      visit(members[pair - (later * (later - 1)) / 2]!, members[later]!);
    }
    seen += own;
  }
}

const goldenRatio = (Math.sqrt(5) - 1) / 2;
