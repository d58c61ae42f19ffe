/** Which rates of a variety are worth a strip next season. */
import { firstAndLast } from "../maths/first-and-last.ts";
import { expectedWidth, type TrialBench } from "./simulate-trials.ts";
import { searchDesign, spreadPoints } from "./search-design.ts";

/** Most rates of one variety in a block. */
export const mostRates = 8;

/**
 * Two rates closer than this share of today's are the same to a drill: the units of a drill differ by ± 10% (Univ. of
 * Kentucky College of Agriculture news).
 */
const closestShare = 0.08;

/**
 * The rates that are expected to narrow the economic optimum most, today's rate among them.
 *
 * They reach beyond both ends of the 80% interval of the economic optimum, as far as the rates that may be tried do: a
 * trial inside it would not show the curve fall on either side. Of four or more, one is inside it.
 *
 * @param count          rates, 2 to `mostRates`
 * @param errorSdKgPerHa sd of a strip among those it is compared with
 * @returns indexes in the outlook, ascending; null if that many do not fit far enough apart
 */
export function chooseRates(
  bench: TrialBench,
  count: number,
  blocks: number,
  errorSdKgPerHa: number,
): number[] | null {
  const { ratesSeedsPerM2: rates } = bench.outlook;
  const [lower, upper] = bench.intervalNow;
  const indexOf = indexByRate(rates);
  const found = searchDesign({
    ...searchSpace(bench, count),
    score: (points) => {
      const [lowest, highest] = firstAndLast(points);
      if (lowest > lower || highest < upper) return -Infinity;
      if (count >= 4 && !points.some((rate) => rate >= lower && rate <= upper)) return -Infinity;
      return -expectedWidth(bench, { at: points.map(indexOf), blocks, errorSdKgPerHa });
    },
  });
  return found === null ? null : found.points.map(indexOf);
}

/** The same number of evenly spaced rates, today's among them: the usual practice, for comparison. */
export function habitRates(bench: TrialBench, count: number): number[] | null {
  const points = spreadPoints(searchSpace(bench, count));
  return points === null ? null : points.map(indexByRate(bench.outlook.ratesSeedsPerM2));
}

/** How far rates go beyond the 80% interval of the best rate, as a share of its end; our choice, without source. */
const usualReach = 0.15;

/**
 * Where rates are searched: around the rates that may be best, and today's. Far rates would make the simulated curve
 * steep, but show little about the best one. If there is no room for that many rates, the search widens step by step.
 */
function searchSpace({ outlook, now, intervalNow: [lower, upper] }: TrialBench, count: number) {
  const rates = Array.from(outlook.ratesSeedsPerM2);
  const rateNow = rates[now]!;
  const space = (candidates: number[]) => ({
    candidates,
    count,
    fixed: [rateNow],
    apart: closestShare * rateNow,
  });
  for (let reach = usualReach; reach < 1; reach *= 1.5) {
    const near = rates.filter(
      (rate, g) => g === now || (rate >= lower * (1 - reach) && rate <= upper * (1 + reach)),
    );
    if (near.length < rates.length && spreadPoints(space(near)) !== null) return space(near);
  }
  return space(rates);
}

function indexByRate(rates: Float64Array): (rate: number) => number {
  const index = new Map(Array.from(rates, (rate, g) => [rate, g]));
  return (rate) => index.get(rate)!;
}

/**
 * The largest round multiple of the drill's own step that is no larger than asked, so that rates are round where the
 * drill's steps are: 1, 2 or 5 times a power of ten.
 */
function roundStep(step: number, largest: number): number {
  if (!(largest >= step)) return step;
  const power = 10 ** Math.floor(Math.log10(largest / step) + 1e-9);
  return ([5, 2].find((lead) => lead * power * step <= largest) ?? 1) * power * step;
}

/**
 * Rates that a drill can be set to and that are worth trying: steps of at most 5% of today's rate, today's rate in.
 *
 * @param step smallest step of the drill [seeds/m²]
 * @returns ascending
 */
export function settableRates(now: number, low: number, high: number, step: number): number[] {
  const coarse = roundStep(step, 0.05 * now);
  const [first, last] = [Math.ceil(low / coarse - 1e-9), Math.floor(high / coarse + 1e-9)];
  const rates = Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => (first + i) * coarse);
  const others = rates.filter((rate) => Math.abs(rate - now) > 0.5 * coarse);
  return [...others, now].sort((a, b) => a - b);
}
