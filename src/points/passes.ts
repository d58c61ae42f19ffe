/** Points in the order of their time → passes: runs in one direction, without gaps and turns. */
import { gather } from "../maths/group-by.ts";
import { middleOf } from "./middle.ts";
import { allInOnePlace, timeBackwards } from "../messages/harvest.ts";
import type { Finding } from "../vocabulary/trial.ts";
import { Nearby } from "./nearby.ts";
import { fileOf, type PointCloud } from "./point-cloud.ts";

export interface Passes {
  /** Point by point in the order of section and time: indices into the cloud. */
  order: Uint32Array;
  /** Pass of a place in `order`; −1 between passes. */
  passAt: Int32Array;
  /** Course as a step of 1 east and north, by place in `order`; NaN where the machine stood. */
  east: Float32Array;
  north: Float32Array;
  /** Metres from the start of the sequence, by place in `order`; begins anew after a gap. */
  along: Float64Array;
  /** First and last place in `order`, both in. */
  passes: { from: number; to: number }[];
  /** Ends of unbroken sequences, turns included: sequence by place in `order`. */
  sequence: Uint32Array;
  /** Usual way between points [m], and usual time [s]; NaN without times. */
  stepM: number;
  stepS: number;
  findings: Finding[];
}

/** Turns sharper than this within about a header's width end a pass. */
const sharpestBendCosine = Math.cos((25 * Math.PI) / 180);
/** Way over which a bend is looked at [m]: shorter ones are the receiver's jitter. */
const bendM = 8;
/** A pass that is shorter, or has fewer points, is manoeuvring. */
const shortestPassM = 30;
const fewestPoints = 4;
/** Points closer together than this do not make a field [m]. */
const smallestFieldM = 20;

/** A sample of evenly spaced members, at most `most`. */
function sample(count: number, most: number, value: (i: number) => number): number[] {
  const every = Math.max(1, Math.floor(count / most));
  const values: number[] = [];
  for (let i = 0; i < count; i += every) {
    const one = value(i);
    if (one === one) values.push(one);
  }
  return values;
}

/** A stretch in which time runs forward has this many points at least; where they are fewer, points are shuffled. */
const pointsInStretch = 20;
/** A longer wait between two points ends a stretch [s]. */
const pauseS = 30;

/**
 * Puts stretches in the order of their beginnings, and each stays whole: two machines that worked at the same time are not
 * mixed up point by point.
 *
 * @param starts of the stretches in `group`
 */
function inOrderOfTime(group: number[], starts: readonly number[], time: Float64Array): void {
  const stretches = starts.map((start, s) => group.slice(start, starts[s + 1] ?? group.length));
  stretches.sort((a, b) => time[a[0]!]! - time[b[0]!]! || a[0]! - b[0]!);
  let at = 0;
  for (const stretch of stretches) for (const point of stretch) group[at++] = point;
}

/** In the order of section, then file, then time where there is one; rows stay in order where times are alike. */
function orderOf(cloud: PointCloud, findings: Finding[]): Uint32Array {
  const order = new Uint32Array(cloud.count);
  const { section } = cloud.names;
  const { time } = cloud.numbers;
  const groups = new Map<number, number[]>();
  for (let i = 0; i < cloud.count; i++) {
    const key = (section === null ? 0 : section[i]!) * 65_536 + cloud.file[i]!;
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [i]);
    else group.push(i);
  }
  let [backwards, first] = [0, 0];
  let at = 0;
  // A group that is hardly ever followed by itself numbers passes, not sections; either way its points stay together.
  for (const group of groups.values()) {
    const starts = [0];
    let wrong = 0;
    if (time !== null) {
      for (let i = 1; i < group.length; i++) {
        const since = time[group[i]!]! - time[group[i - 1]!]!;
        if (since < 0) {
          if (backwards + wrong === 0) first = group[i]!;
          wrong++;
        }
        if (since < 0 || since > pauseS) starts.push(i);
      }
      if (wrong * pointsInStretch > group.length) group.sort((p, q) => time[p]! - time[q]! || p - q);
      else if (wrong > 0) inOrderOfTime(group, starts, time);
    }
    backwards += wrong;
    order.set(group, at);
    at += group.length;
  }
  if (backwards > 0) findings.push(timeBackwards(fileOf(cloud, first), cloud.row[first]!, backwards));
  return order;
}

/**
 * Finds the passes of a machine.
 *
 * A sequence ends where the section changes, where time stops for long, or where points lie far apart; a pass ends there
 * and at every bend sharper than 25° within about 8 m.
 *
 * @throws TrialError `points-in-one-place`
 */
export function findPasses(cloud: PointCloud): Passes {
  const findings: Finding[] = [];
  checkSpread(cloud);
  const passes = passesIn(orderOf(cloud, findings), cloud);
  const threaded = isInOrder(cloud) ? null : threadedOrder(passes, cloud);
  return { ...(threaded === null ? passes : passesIn(threaded, cloud)), findings };
}

/** Times, or names of passes and sections, say which point follows which; bare places need not stand in order. */
export const isInOrder = ({ numbers, names }: PointCloud): boolean =>
  numbers.time !== null || names.pass !== null || names.section !== null;

/** Lines that lie closer to one another than this are one line, logged more than once [m]. */
const sameLineM = 0.75;

/**
 * Where a file goes over the same line more than once, without times, its points are put in order along the line.
 *
 * @returns null where no line is there twice
 */
function threadedOrder(found: Omit<Passes, "findings">, cloud: PointCloud): Uint32Array | null {
  const { passes, order, passAt } = found;
  const { x, y } = cloud.numbers as { x: Float64Array; y: Float64Array };
  const lineOf = linesOf(found, cloud);
  if (lineOf.every((line) => line.length === 1)) return null;
  const threaded: number[] = [];
  const done = new Uint8Array(passes.length);
  for (let k = 0; k < order.length; k++) {
    const pass = passAt[k]!;
    if (pass < 0) threaded.push(order[k]!);
    else if (done[pass] === 0) {
      const line = lineOf[pass]!;
      const onLine = line.map((p) => passes[p]!);
      const longest = onLine.reduce((a, b) => (b.to - b.from > a.to - a.from ? b : a));
      const [first, last] = [order[longest.from]!, order[longest.to]!];
      const [dx, dy] = [x[last]! - x[first]!, y[last]! - y[first]!];
      const points = onLine.flatMap(({ from, to }) => [...order.subarray(from, to + 1)]);
      points.sort((a, b) => (x[a]! - x[b]!) * dx + (y[a]! - y[b]!) * dy || a - b);
      threaded.push(...points);
      for (const p of line) done[p] = 1;
    }
  }
  return Uint32Array.from(threaded);
}

/** The passes that lie on one line with a pass, itself among them, for each pass. */
function linesOf(
  { passes, order, passAt, east, north, stepM }: Omit<Passes, "findings">,
  cloud: PointCloud,
): number[][] {
  const { x, y } = cloud.numbers as { x: Float64Array; y: Float64Array };
  const placeOf = new Uint32Array(cloud.count);
  order.forEach((i, k) => {
    placeOf[i] = k;
  });
  const members = order.filter((_, k) => passAt[k]! >= 0);
  const nearby = new Nearby(x, y, members, Math.max(1.5 * stepM, sameLineM));
  const parent = passes.map((_, p) => p);
  const root = (p: number): number => (parent[p] === p ? p : (parent[p] = root(parent[p]!)));
  passes.forEach(({ from, to }, pass) => {
    const beside = new Map<number, number>();
    for (let k = from; k <= to; k++) {
      const [i, cos, sin] = [order[k]!, east[k]!, north[k]!];
      const found = new Set<number>();
      nearby.around(x[i]!, y[i]!, (j) => {
        const other = placeOf[j]!;
        const [dx, dy] = [x[j]! - x[i]!, y[j]! - y[i]!];
        if (passAt[other] === pass || found.has(passAt[other]!)) return;
        if (Math.abs(dx * cos + dy * sin) > stepM || Math.abs(dy * cos - dx * sin) > sameLineM) return;
        if (Math.abs(east[other]! * cos + north[other]! * sin) > 0.95) found.add(passAt[other]!);
      });
      for (const other of found) beside.set(other, (beside.get(other) ?? 0) + 1);
    }
    for (const [other, times] of beside) if (times > 0.5 * (to - from + 1)) parent[root(pass)] = root(other);
  });
  const lines = gather([...passes.keys()], root);
  return passes.map((_, p) => lines.get(root(p))!);
}

function passesIn(order: Uint32Array, cloud: PointCloud): Omit<Passes, "findings"> {
  const unbroken = sequencesIn(order, cloud);
  const { east, north, turns } = coursesOf(order, cloud, unbroken);
  return { order, east, north, ...unbroken, ...cutAtTurns(turns, unbroken) };
}

type Sequences = Pick<Passes, "sequence" | "along" | "stepM" | "stepS">;

/** Sequences without gaps in place, time and section, and the way along each. */
function sequencesIn(order: Uint32Array, cloud: PointCloud): Sequences {
  const { count } = cloud;
  const { x, y, time } = cloud.numbers as { x: Float64Array; y: Float64Array; time: Float64Array | null };
  const { section, pass: told } = cloud.names;
  const stepTo = (k: number): number =>
    Math.hypot(x[order[k]!]! - x[order[k - 1]!]!, y[order[k]!]! - y[order[k - 1]!]!);
  const timeTo = (k: number): number => (time === null ? NaN : time[order[k]!]! - time[order[k - 1]!]!);
  const steps = sample(count - 1, 20_000, (i) => stepTo(i + 1)).filter((step) => step > 0.05);
  const stepM = middleOf(steps);
  const stepS = middleOf(sample(count - 1, 20_000, (i) => timeTo(i + 1)).filter((step) => step > 0));
  const longestStep = Math.max(5 * stepM, 15);
  const longestTime = Math.max(5 * stepS, 8);
  const sequence = new Uint32Array(count);
  const along = new Float64Array(count);
  for (let k = 1; k < count; k++) {
    const [a, b] = [order[k - 1]!, order[k]!];
    const step = stepTo(k);
    const broken =
      cloud.file[a] !== cloud.file[b] ||
      (section !== null && section[a] !== section[b]) ||
      (told !== null && told[a] !== told[b]) ||
      step > longestStep ||
      timeTo(k) > longestTime ||
      timeTo(k) < 0;
    sequence[k] = sequence[k - 1]! + (broken ? 1 : 0);
    along[k] = broken ? 0 : along[k - 1]! + step;
  }
  return { sequence, along, stepM, stepS };
}

/** Course of every point, and whether it turns there: 1 where it does. */
function coursesOf(
  order: Uint32Array,
  cloud: PointCloud,
  { sequence, along, stepM }: Sequences,
): { east: Float32Array; north: Float32Array; turns: Uint8Array } {
  const { count } = cloud;
  const { x, y } = cloud.numbers as { x: Float64Array; y: Float64Array };
  const east = new Float32Array(count).fill(NaN);
  const north = new Float32Array(count).fill(NaN);
  const turns = new Uint8Array(count);
  /** A point is far enough away for a bend that is half a step short of its way. */
  const nearM = Math.max(bendM - stepM / 2, stepM / 2);
  let start = 0;
  for (let k = 1; k <= count; k++) {
    if (k < count && sequence[k] === sequence[k - 1]) continue;
    bendsWithin(start, k);
    start = k;
  }
  return { east, north, turns };

  function bendsWithin(from: number, end: number): void {
    // By the way, and not by the number of points: a machine turns slowly, and logs more of them.
    let [behind, ahead] = [from, from];
    for (let k = from; k < end; k++) {
      while (behind + 1 < k && along[k]! - along[behind + 1]! >= nearM) behind++;
      ahead = Math.max(ahead, Math.min(k + 1, end - 1));
      while (ahead + 1 < end && along[ahead]! - along[k]! < nearM) ahead++;
      const [before, here, after] = [order[behind]!, order[k]!, order[ahead]!];
      const [dx, dy] = [x[after]! - x[before]!, y[after]! - y[before]!];
      const way = Math.sqrt(dx * dx + dy * dy);
      if (way < 0.1) continue;
      [east[k], north[k]] = [dx / way, dy / way];
      const [ax, ay] = [x[here]! - x[before]!, y[here]! - y[before]!];
      const [bx, by] = [x[after]! - x[here]!, y[after]! - y[here]!];
      const [to, on] = [Math.sqrt(ax * ax + ay * ay), Math.sqrt(bx * bx + by * by)];
      if (Math.min(to, on) < Math.max(0.3 * nearM, 0.05)) continue;
      if (ax * bx + ay * by < sharpestBendCosine * to * on) turns[k] = 1;
    }
  }
}

/** What is left of the sequences between turns, where it is long enough to be a pass. */
function cutAtTurns(
  turns: Uint8Array,
  { sequence, along, stepM }: Sequences,
): Pick<Passes, "passAt" | "passes"> {
  const count = turns.length;
  const passAt = new Int32Array(count).fill(-1);
  const passes: Passes["passes"] = [];
  const close = (from: number, to: number): void => {
    if (to - from + 1 < fewestPoints || along[to]! - along[from]! < Math.max(shortestPassM, 3 * stepM))
      return;
    passAt.fill(passes.length, from, to + 1);
    passes.push({ from, to });
  };
  let start = 0;
  for (let k = 0; k < count; k++) {
    const ended = k > 0 && sequence[k] !== sequence[k - 1];
    if (ended || turns[k] === 1) {
      if (k > start) close(start, k - 1);
      start = turns[k] === 1 ? k + 1 : k;
    }
  }
  if (count > start) close(start, count - 1);
  return { passAt, passes };
}

/** Nine tenths of the points must not lie within a few metres. */
function checkSpread(cloud: PointCloud): void {
  const { x, y } = cloud.numbers;
  const spread = (values: Float64Array): number => {
    const sorted = Float64Array.from(sample(cloud.count, 20_000, (i) => values[i]!)).sort();
    return sorted[Math.floor(0.95 * (sorted.length - 1))]! - sorted[Math.floor(0.05 * (sorted.length - 1))]!;
  };
  const extent = Math.hypot(spread(x!), spread(y!));
  if (!(extent >= smallestFieldM))
    throw allInOnePlace(cloud.files.join(", "), cloud.count, Math.max(1, extent));
}
