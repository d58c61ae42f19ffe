/** The drill's passes → runs of one rate and variety along the field, and which of them hang together as a strip. */
import { Nearby } from "./nearby.ts";
import type { Passes } from "./passes.ts";
import type { PointCloud } from "./point-cloud.ts";
import { rateNoise, steadyRuns } from "./rate-runs.ts";

/** Another rate for less than this is no strip [m]: its ends alone take 30 m each. */
const shortestStripM = 60;
/** Neighbouring passes whose rates differ by more than this share are two strips, though of one class. */
const oneStrip = 0.05;

/** A run: first and last place in `passes.order`, and the way before and behind them that is seeded like them [m]. */
export interface Segment {
  pass: number;
  from: number;
  to: number;
  before: number;
  after: number;
  rate: number;
  rateClass: number;
  variety: number;
}

/** Runs of steady rate and one variety along the passes, long enough for a strip. */
export function segmentsOf(cloud: PointCloud, passes: Passes): Segment[] {
  const rate = cloud.numbers.rate!;
  const { variety } = cloud.names;
  const noise = rateNoise(rate, passes.order);
  const varietyAt = (k: number): number => variety?.[passes.order[k]!] ?? 0;
  const segments: Segment[] = [];
  passes.passes.forEach(({ from, to }, pass) => {
    for (let [first, k] = [from, from]; k <= to; k++) {
      if (k < to && varietyAt(k + 1) === varietyAt(first)) continue;
      const runs = steadyRuns((at) => rate[passes.order[at]!]!, passes.along, first, k, passes.stepM, noise);
      for (const run of runs) {
        if (run.before + passes.along[run.to]! - passes.along[run.from]! + run.after < shortestStripM)
          continue;
        segments.push({ pass, ...run, rateClass: 0, variety: varietyAt(first) });
      }
      first = k + 1;
    }
  });
  return segments;
}

/** Runs in the direction that most of the ground is seeded in; those that lie across them are headlands. */
export function alongTheField(
  all: Segment[],
  cloud: PointCloud,
  passes: Passes,
): { segments: Segment[]; acrossRuns: number } {
  const { x, y } = cloud.numbers;
  const chords = all.map((segment) => {
    const [a, b] = [passes.order[segment.from]!, passes.order[segment.to]!];
    const [dx, dy] = [x![b]! - x![a]!, y![b]! - y![a]!];
    const length = Math.max(Math.sqrt(dx * dx + dy * dy), 1e-6);
    // Of twice the angle, so that to and fro are one direction.
    return { segment, cos: (dx * dx - dy * dy) / length ** 2, sin: (2 * dx * dy) / length ** 2, length };
  });
  const cos = chords.reduce((sum, chord) => sum + chord.length * chord.cos, 0);
  const sin = chords.reduce((sum, chord) => sum + chord.length * chord.sin, 0);
  const segments = chords
    .filter((chord) => chord.cos * cos + chord.sin * sin > 0)
    .map(({ segment }) => segment);
  return { segments, acrossRuns: all.length - segments.length };
}

/** Passes of the same rate and variety side by side are one strip. */
export function joinNeighbours(
  cloud: PointCloud,
  passes: Passes,
  segments: Segment[],
  widthM: number,
): number[] {
  const parent = segments.map((_, s) => s);
  const root = (s: number): number => (parent[s] === s ? s : (parent[s] = root(parent[s]!)));
  const { x, y } = cloud.numbers;
  const segmentOf = new Int32Array(cloud.count).fill(-1);
  const members: number[] = [];
  segments.forEach(({ from, to }, s) => {
    for (let k = from; k <= to; k++) {
      segmentOf[passes.order[k]!] = s;
      members.push(passes.order[k]!);
    }
  });
  const nearby = new Nearby(x!, y!, members, Math.max(1.5 * widthM, passes.stepM));
  segments.forEach((segment, s) => {
    const beside = new Map<number, number>();
    const every = Math.max(1, Math.floor((segment.to - segment.from) / 20));
    let looked = 0;
    for (let k = segment.from; k <= segment.to; k += every) {
      looked++;
      const [i, cos, sin] = [passes.order[k]!, passes.east[k]!, passes.north[k]!];
      const found = new Set<number>();
      nearby.around(x![i]!, y![i]!, (j) => {
        const other = segmentOf[j]!;
        if (other === s || found.has(other)) return;
        const [dx, dy] = [x![j]! - x![i]!, y![j]! - y![i]!];
        if (Math.abs(dx * cos + dy * sin) > Math.max(2 * passes.stepM, 2)) return;
        if (Math.abs(dy * cos - dx * sin) < 1.3 * widthM) found.add(other);
      });
      for (const other of found) beside.set(other, (beside.get(other) ?? 0) + 1);
    }
    for (const [other, times] of beside) {
      const { rateClass, variety, rate } = segments[other]!;
      const alike =
        rateClass === segment.rateClass &&
        variety === segment.variety &&
        Math.abs(rate / segment.rate - 1) <= oneStrip;
      if (alike && times > 0.5 * looked) parent[root(s)] = root(other);
    }
  });
  return segments.map((_, s) => root(s));
}
