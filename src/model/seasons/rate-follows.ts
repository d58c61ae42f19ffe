/** Whether the ground alone could explain every difference between the rates of an environment. */
import { sampleRankCorrelation } from "simple-statistics";
import { groupBy } from "../../maths/group-by.ts";
import type { FittedVariety } from "../../vocabulary/result.ts";
import type { Strip } from "../../vocabulary/trial.ts";

/**
 * From this rank correlation on, rate and place count as one. Our own choice: one strip of six out of its place leaves
 * less.
 */
const tied = 0.95;

/**
 * "position": inside every block the rate goes up, or down, with the position. "blocks": each block holds one rate, and it
 * goes up or down with the number of the block. Empty with fewer than three rates, or where neither holds.
 */
export function rateFollows(strips: readonly Strip[]): Pick<FittedVariety, "rateFollows"> {
  const blocks = groupBy([...strips], ({ block }) => block).map(([name, members]) => ({ name, members }));
  const rates = (some: readonly Strip[]): number[] => some.map(({ rateSeedsPerM2 }) => rateSeedsPerM2);
  const wide = blocks.filter(({ members }) => new Set(rates(members)).size >= 3);
  if (wide.length > 0) {
    if (strips.some(({ position }) => position === null)) return {};
    const along = wide.map(({ members }) =>
      correlation(
        members.map(({ position }) => position!),
        rates(members),
      ),
    );
    const sameWay = along.every((one) => one >= tied) || along.every((one) => one <= -tied);
    return sameWay ? { rateFollows: "position" } : {};
  }
  const numbers = blocks.map(({ name }) => Number(name));
  const single = blocks.every(({ members }) => new Set(rates(members)).size === 1);
  if (!single || blocks.length < 3 || numbers.some((one) => !Number.isFinite(one))) return {};
  const ofBlocks = blocks.map(({ members }) => members[0].rateSeedsPerM2);
  if (new Set(ofBlocks).size < 3) return {};
  return Math.abs(correlation(numbers, ofBlocks)) >= tied ? { rateFollows: "blocks" } : {};
}

function correlation(a: readonly number[], b: readonly number[]): number {
  const one = sampleRankCorrelation([...a], [...b]);
  return Number.isFinite(one) ? one : 0;
}
