/** Rates along a pass → runs of steady rate: the drill was told another rate where one ends and the next begins. */
import { middleOf } from "./middle.ts";

export interface RateRun {
  /** First and last place in `passes.order`, both in. */
  from: number;
  to: number;
  /** Middle of its rates. */
  rate: number;
  /** Way before its first and behind its last point that is seeded like them: half way to the next run [m]. */
  before: number;
  after: number;
}

/** Way to either side of a place over which rates are compared [m], and points that it holds. */
const besideM = 15;
const [fewest, most] = [3, 12];
/** Rates that differ by less than this share are one rate, however steady the drill. */
const alike = 0.025;
/** A pause or a stutter that is shorter does not part a run [m]. */
export const stutterM = 12;

/** How far a single logged rate is off the rate of its run, as a share: from successive rates over all passes. */
export function rateNoise(rate: Float64Array, order: Uint32Array): number {
  const apart: number[] = [];
  const every = Math.max(1, Math.floor(order.length / 20_000));
  for (let k = 1; k < order.length; k += every) {
    const change = Math.abs(rate[order[k]!]! / rate[order[k - 1]!]! - 1);
    if (change < 1) apart.push(change);
  }
  // 1.4826: standard deviation over median absolute deviation, normal; √2: a difference of two.
  return apart.length === 0 ? 0 : (1.4826 * middleOf(apart)) / Math.SQRT2;
}

/**
 * Runs of one pass: cut where the middle of the rates behind and the middle of those ahead differ most.
 *
 * @param rateAt by place in `passes.order`; NaN or 0 where nothing was seeded
 * @param along metres by the same place
 * @param stepM usual way between points
 * @param noise of `rateNoise`
 */
export function steadyRuns(
  rateAt: (k: number) => number,
  along: Float64Array,
  from: number,
  to: number,
  stepM: number,
  noise: number,
): RateRun[] {
  const window = Math.max(fewest, Math.min(most, Math.round(besideM / stepM)));
  const apart = Math.max(alike, (5 * noise) / Math.sqrt(window));
  const cuts = { window, apart, stepM };
  const pauseM = Math.max(stutterM, 4 * stepM);
  const runs: RateRun[] = [];
  let known: number[] = [];
  const close = (): void => {
    if (known.length > 0) runs.push(...cutAtJumps(known, rateAt, cuts));
    known = [];
  };
  for (let k = from; k <= to; k++) {
    if (!(rateAt(k) > 0)) continue;
    if (known.length > 0 && along[k]! - along[known.at(-1)!]! > pauseM) close();
    known.push(k);
  }
  close();
  const settled = joined(runs, along, apart, pauseM);
  settled.forEach((run, r) => {
    const next = settled[r + 1];
    if (next === undefined) return;
    run.after = next.before = Math.min(along[next.from]! - along[run.to]!, pauseM) / 2;
  });
  return settled;
}

/** Parts of a stretch without a pause, cut where rates differ by more than `apart` (as a logarithm) over a window of points. */
function cutAtJumps(
  places: number[],
  rateAt: (k: number) => number,
  { window, apart, stepM }: { window: number; apart: number; stepM: number },
): RateRun[] {
  const middle = (first: number, end: number): number =>
    middleOf(places.slice(Math.max(0, first), end).map(rateAt));
  const jumps = places.map((_, m) =>
    m === 0 ? 0 : Math.abs(Math.log(middle(m, m + window) / middle(m - window, m))),
  );
  const cuts = [0];
  for (let m = 1; m < places.length; m++) {
    if (jumps[m]! < apart) continue;
    const nearby = jumps.slice(Math.max(0, m - window + 1), m + window);
    if (jumps[m] === Math.max(...nearby) && m - cuts.at(-1)! >= fewest) cuts.push(m);
  }
  return cuts.map((first, index): RateRun => {
    const own = places.slice(first, cuts[index + 1] ?? places.length);
    const rate = middleOf(own.map(rateAt));
    const steady = own.filter((k) => Math.abs(Math.log(rateAt(k) / rate)) <= 2 * apart);
    return {
      from: steady[0] ?? own[0]!,
      to: steady.at(-1) ?? own.at(-1)!,
      rate,
      before: stepM / 2,
      after: stepM / 2,
    };
  });
}

/** Neighbours of the same rate are one run, and so are those about a stutter. */
function joined(parts: readonly RateRun[], along: Float64Array, apart: number, pauseM: number): RateRun[] {
  const settled: RateRun[] = [];
  const same = (a: RateRun, b: RateRun): boolean =>
    Math.abs(Math.log(a.rate / b.rate)) <= apart && along[b.from]! - along[a.to]! <= pauseM;
  for (const part of parts) {
    const [last, before] = [settled.at(-1), settled.at(-2)];
    if (last !== undefined && same(last, part)) last.to = part.to;
    else if (before !== undefined && same(before, part)) {
      settled.pop();
      before.to = part.to;
    } else settled.push({ ...part });
  }
  return settled;
}
