/** The drill's points → strips of seeded ground: where which rate of which variety lies. */
import { rateClasses, classOf, type RateClass } from "./rate-classes.ts";
import { Nearby } from "./nearby.ts";
import type { Passes } from "./passes.ts";
import type { PointCloud } from "./point-cloud.ts";

/** Ground of one rate and variety that hangs together. */
export interface SeededStrip {
  rateClass: number;
  variety: string;
  /** Rate, the middle of its points. */
  rate: number;
  points: number;
  lengthM: number;
  /** Its middle. */
  x: number;
  y: number;
}

export interface SeededGround {
  strips: SeededStrip[];
  classes: RateClass[];
  widthM: number;
  /** Points whose rate is of no class: the drill was changing over, or off. */
  betweenClasses: number;
  raster: Raster;
  /** Strip by point of the drill, −1 for none. */
  stripOf: Int32Array;
}

/** Strip + 1 by cell of a fine grid; 0 where nothing was seeded, `severalStrips` where two passes of different strips overlap. */
export interface Raster {
  cellM: number;
  left: number;
  bottom: number;
  columns: number;
  rows: number;
  strip: Uint16Array;
}

export const stripAt = (
  { cellM, left, bottom, columns, rows, strip }: Raster,
  x: number,
  y: number,
): number => {
  const column = Math.floor((x - left) / cellM);
  const row = Math.floor((y - bottom) / cellM);
  return column < 0 || row < 0 || column >= columns || row >= rows ? -1 : strip[row * columns + column]! - 1;
};

/** Rate of another class for less than this is the drill's stutter and not a strip [m]. */
const shortestStripM = 60;
const stutterM = 12;
const mostCells = 12_000_000;

interface Segment {
  pass: number;
  from: number;
  to: number;
  rateClass: number;
  variety: number;
}

/**
 * @param widthM working width of the drill
 * @param joined whether neighbouring passes of the same rate and variety are one strip
 */
export function seededGround(cloud: PointCloud, passes: Passes, widthM: number, joined = true): SeededGround {
  const rate = cloud.numbers.rate!;
  const classes = rateClasses(rate);
  const segments = segmentsOf(cloud, passes, classes);
  const group = joined ? joinNeighbours(cloud, passes, segments, widthM) : segments.map((_, s) => s);
  const strips: SeededStrip[] = [];
  const stripOf = new Int32Array(cloud.count).fill(-1);
  const stripOfSegment = new Int32Array(segments.length).fill(-1);
  const stripOfGroup = new Map<number, number>();
  segments.forEach((segment, s) => {
    let strip = stripOfGroup.get(group[s]!);
    if (strip === undefined) {
      strip = strips.length;
      stripOfGroup.set(group[s]!, strip);
      strips.push({
        ...{ rateClass: segment.rateClass, variety: cloud.texts[segment.variety]! },
        ...{ rate: NaN, points: 0, lengthM: 0, x: 0, y: 0 },
      });
    }
    stripOfSegment[s] = strip;
    strips[strip]!.lengthM = Math.max(
      strips[strip]!.lengthM,
      passes.along[segment.to]! - passes.along[segment.from]!,
    );
    for (let k = segment.from; k <= segment.to; k++) stripOf[passes.order[k]!] = strip;
  });
  const rates: number[][] = strips.map(() => []);
  for (let i = 0; i < cloud.count; i++) {
    const strip = stripOf[i]!;
    if (strip < 0) continue;
    const one = strips[strip]!;
    one.points++;
    one.x += cloud.numbers.x![i]!;
    one.y += cloud.numbers.y![i]!;
    if (rate[i]! > 0) rates[strip]!.push(rate[i]!);
  }
  strips.forEach((strip, s) => {
    strip.x /= strip.points;
    strip.y /= strip.points;
    const known = rates[s]!.sort((a, b) => a - b);
    strip.rate = known[known.length >> 1] ?? classes[strip.rateClass]!.rate;
  });
  let betweenClasses = 0;
  for (let i = 0; i < cloud.count; i++) if (rate[i]! > 0 && classOf(rate[i]!, classes) < 0) betweenClasses++;
  const raster = paint(cloud, passes, segments, stripOfSegment, widthM);
  return { strips, classes, widthM, betweenClasses, raster, stripOf };
}

/** Runs of one class and variety along the passes; short stutters inside a run belong to it. */
function segmentsOf(cloud: PointCloud, passes: Passes, classes: RateClass[]): Segment[] {
  const rate = cloud.numbers.rate!;
  const { variety } = cloud.names;
  const segments: Segment[] = [];
  passes.passes.forEach(({ from, to }, pass) => {
    let runs: Segment[] = [];
    for (let k = from; k <= to; k++) {
      const i = passes.order[k]!;
      const here = {
        pass,
        from: k,
        to: k,
        rateClass: classOf(rate[i]!, classes),
        variety: variety?.[i] ?? 0,
      };
      const last = runs.at(-1);
      if (last !== undefined && last.rateClass === here.rateClass && last.variety === here.variety)
        last.to = k;
      else runs.push(here);
    }
    const length = (run: Segment): number => passes.along[run.to]! - passes.along[run.from]!;
    const settled: Segment[] = [];
    for (const run of runs.filter((one) => one.rateClass >= 0 && length(one) > 0)) {
      const last = settled.at(-1);
      const alike = last !== undefined && last.rateClass === run.rateClass && last.variety === run.variety;
      if (alike && passes.along[run.from]! - passes.along[last.to]! < Math.max(stutterM, 4 * passes.stepM))
        last.to = run.to;
      else settled.push({ ...run });
    }
    runs = settled.filter((run) => length(run) >= shortestStripM);
    segments.push(...runs);
  });
  return segments;
}

/** Passes of the same rate and variety side by side are one strip. */
function joinNeighbours(cloud: PointCloud, passes: Passes, segments: Segment[], widthM: number): number[] {
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
      const [i, course] = [passes.order[k]!, passes.course[k]!];
      const [cos, sin] = [Math.cos(course), Math.sin(course)];
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
      const alike =
        segments[other]!.rateClass === segment.rateClass && segments[other]!.variety === segment.variety;
      if (alike && times > 0.5 * looked) parent[root(s)] = root(other);
    }
  });
  return segments.map((_, s) => root(s));
}

/** Each piece of a pass fills the cells within half a working width of it; the nearest pass has the cell. */
function paint(
  cloud: PointCloud,
  passes: Passes,
  segments: Segment[],
  stripOfSegment: Int32Array,
  widthM: number,
): Raster {
  const { x, y } = cloud.numbers;
  let [left, right, bottom, top] = [Infinity, -Infinity, Infinity, -Infinity];
  for (const { from, to } of segments) {
    for (let k = from; k <= to; k++) {
      const i = passes.order[k]!;
      left = Math.min(left, x![i]!);
      right = Math.max(right, x![i]!);
      bottom = Math.min(bottom, y![i]!);
      top = Math.max(top, y![i]!);
    }
  }
  if (segments.length === 0) [left, right, bottom, top] = [0, 1, 0, 1];
  const half = widthM / 2;
  [left, bottom] = [left - half, bottom - half];
  const [across, up] = [right + half - left, top + half - bottom];
  const cellM = Math.max(0.3, Math.sqrt((across * up) / mostCells));
  const columns = Math.ceil(across / cellM) + 1;
  const rows = Math.ceil(up / cellM) + 1;
  const strip = new Uint16Array(columns * rows);
  const distance = new Float32Array(columns * rows).fill(Infinity);
  segments.forEach(({ from, to }, s) => {
    const value = stripOfSegment[s]! + 1;
    for (let k = from; k < to; k++) {
      const [a, b] = [passes.order[k]!, passes.order[k + 1]!];
      const [ax, ay, bx, by] = [x![a]!, y![a]!, x![b]!, y![b]!];
      const length = Math.hypot(bx - ax, by - ay);
      if (length < 0.05) continue;
      const [cos, sin] = [(bx - ax) / length, (by - ay) / length];
      const from0 = Math.max(0, Math.floor((Math.min(ay, by) - half - bottom) / cellM));
      const to0 = Math.min(rows - 1, Math.ceil((Math.max(ay, by) + half - bottom) / cellM));
      const left0 = Math.max(0, Math.floor((Math.min(ax, bx) - half - left) / cellM));
      const right0 = Math.min(columns - 1, Math.ceil((Math.max(ax, bx) + half - left) / cellM));
      for (let row = from0; row <= to0; row++) {
        for (let column = left0; column <= right0; column++) {
          const [dx, dy] = [left + (column + 0.5) * cellM - ax, bottom + (row + 0.5) * cellM - ay];
          const along = dx * cos + dy * sin;
          if (along < -cellM || along > length + cellM) continue;
          const lateral = Math.abs(dy * cos - dx * sin);
          const cell = row * columns + column;
          if (lateral > half || lateral >= distance[cell]!) continue;
          distance[cell] = lateral;
          strip[cell] = value;
        }
      }
    }
  });
  return { cellM, left, bottom, columns, rows, strip };
}
