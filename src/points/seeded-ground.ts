/** The drill's points → strips of seeded ground: where which rate of which variety lies. */
import { rateClasses, classOf, type RateClass } from "./rate-classes.ts";
import { rateNoise, steadyRuns } from "./rate-runs.ts";
import { Nearby } from "./nearby.ts";
import type { Passes } from "./passes.ts";
import type { PointCloud } from "./point-cloud.ts";

/** Ground of one rate and variety that hangs together. */
export interface SeededStrip {
  rateClass: number;
  variety: string;
  /** The middle of its class where the class is narrow, else of its own points. */
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
  /** Runs that lie across the others, as on headlands: no strips. */
  acrossRuns: number;
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

/** Another rate for less than this is no strip [m]: its ends alone take 30 m each. */
const shortestStripM = 60;
/** Classes whose runs differ by no more than this share have one rate. */
const narrow = 0.03;
/** Neighbouring passes whose rates differ by more than this share are two strips, though of one class. */
const oneStrip = 0.05;
const mostCells = 12_000_000;
const finestCellM = 0.15;
const cellsAcross = 80;
/** A pass is painted in straight pieces of this share of its width. */
const pieceShare = 1 / 3;

interface Segment {
  pass: number;
  from: number;
  to: number;
  before: number;
  after: number;
  rate: number;
  rateClass: number;
  variety: number;
}

/**
 * @param widthM working width of the drill
 * @param joined whether neighbouring passes of the same rate and variety are one strip
 */
export function seededGround(cloud: PointCloud, passes: Passes, widthM: number, joined = true): SeededGround {
  const { segments, acrossRuns } = alongTheField(segmentsOf(cloud, passes), cloud, passes);
  const classes = rateClasses(segments.map(({ from, to, rate }) => ({ rate, points: to - from + 1 })));
  const isNarrow = classes.map(() => true);
  for (const segment of segments) {
    segment.rateClass = classOf(segment.rate, classes);
    if (Math.abs(segment.rate / classes[segment.rateClass]!.rate - 1) > narrow)
      isNarrow[segment.rateClass] = false;
  }
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
        rateClass: segment.rateClass,
        variety: cloud.texts[segment.variety]!,
        rate: NaN,
        points: 0,
        lengthM: 0,
        x: 0,
        y: 0,
      });
    }
    stripOfSegment[s] = strip;
    strips[strip]!.lengthM = Math.max(
      strips[strip]!.lengthM,
      segment.before + passes.along[segment.to]! - passes.along[segment.from]! + segment.after,
    );
    for (let k = segment.from; k <= segment.to; k++) stripOf[passes.order[k]!] = strip;
  });
  const rate = cloud.numbers.rate!;
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
    const own = known[known.length >> 1];
    strip.rate = isNarrow[strip.rateClass]! || own === undefined ? classes[strip.rateClass]!.rate : own;
  });
  const raster = paint(cloud, passes, segments, stripOfSegment, widthM);
  return { strips, classes, widthM, acrossRuns, raster, stripOf };
}

/** Runs of steady rate and one variety along the passes, long enough for a strip. */
function segmentsOf(cloud: PointCloud, passes: Passes): Segment[] {
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
function alongTheField(
  all: Segment[],
  cloud: PointCloud,
  passes: Passes,
): { segments: Segment[]; acrossRuns: number } {
  const { x, y } = cloud.numbers;
  const chords = all.map(({ from, to }) => {
    const [a, b] = [passes.order[from]!, passes.order[to]!];
    const [dx, dy] = [x![b]! - x![a]!, y![b]! - y![a]!];
    const length = Math.max(Math.sqrt(dx * dx + dy * dy), 1e-6);
    // Of twice the angle, so that to and fro are one direction.
    return { cos: (dx * dx - dy * dy) / length ** 2, sin: (2 * dx * dy) / length ** 2, length };
  });
  const cos = chords.reduce((sum, chord) => sum + chord.length * chord.cos, 0);
  const sin = chords.reduce((sum, chord) => sum + chord.length * chord.sin, 0);
  const segments = all.filter((_, s) => chords[s]!.cos * cos + chords[s]!.sin * sin > 0);
  return { segments, acrossRuns: all.length - segments.length };
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
      const alike =
        segments[other]!.rateClass === segment.rateClass &&
        segments[other]!.variety === segment.variety &&
        Math.abs(segments[other]!.rate / segment.rate - 1) <= oneStrip;
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
  let reach = 0;
  for (const { from, to, before, after } of segments) {
    reach = Math.max(reach, before, after);
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
  const border = half + reach;
  [left, bottom] = [left - border, bottom - border];
  const [across, up] = [right + border - left, top + border - bottom];
  const cellM = Math.max(finestCellM, widthM / cellsAcross, Math.sqrt((across * up) / mostCells));
  const columns = Math.ceil(across / cellM) + 1;
  const rows = Math.ceil(up / cellM) + 1;
  const strip = new Uint16Array(columns * rows);
  const distance = new Float32Array(columns * rows).fill(Infinity);
  segments.forEach(({ from, to, before, after }, s) => {
    const value = stripOfSegment[s]! + 1;
    let next = from;
    for (let k = from; k < to; k = next) {
      do next++;
      while (next < to && passes.along[next]! - passes.along[k]! < pieceShare * widthM);
      const [a, b] = [passes.order[k]!, passes.order[next]!];
      let [ax, ay, bx, by] = [x![a]!, y![a]!, x![b]!, y![b]!];
      let length = Math.hypot(bx - ax, by - ay);
      if (length < 0.05) continue;
      const [cos, sin] = [(bx - ax) / length, (by - ay) / length];
      if (k === from) [ax, ay, length] = [ax - before * cos, ay - before * sin, length + before];
      if (next === to) [bx, by, length] = [bx + after * cos, by + after * sin, length + after];
      const [besideX, besideY] = [half * Math.abs(sin) + cellM, half * Math.abs(cos) + cellM];
      const from0 = Math.max(0, Math.floor((Math.min(ay, by) - besideY - bottom) / cellM));
      const to0 = Math.min(rows - 1, Math.ceil((Math.max(ay, by) + besideY - bottom) / cellM));
      const left0 = Math.max(0, Math.floor((Math.min(ax, bx) - besideX - left) / cellM));
      const right0 = Math.min(columns - 1, Math.ceil((Math.max(ax, bx) + besideX - left) / cellM));
      for (let row = from0; row <= to0; row++) {
        const dy = bottom + (row + 0.5) * cellM - ay;
        // Of a slanting piece a row crosses a part of its box alone.
        const [middle, part] =
          Math.abs(sin) < 0.01 ? [0, Infinity] : [(dy * cos) / sin, half / Math.abs(sin) + cellM];
        const first = Math.max(left0, Math.floor((ax + middle - part - left) / cellM));
        const last = Math.min(right0, Math.ceil((ax + middle + part - left) / cellM));
        for (let column = first; column <= last; column++) {
          const dx = left + (column + 0.5) * cellM - ax;
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

/** Direction that the strips run in [radians], from the cells that each of them covers. */
export function directionOf(ground: SeededGround): number {
  let [cos, sin] = [0, 0];
  const { raster } = ground;
  const sums = ground.strips.map(() => ({ n: 0, x: 0, y: 0, xx: 0, xy: 0, yy: 0 }));
  const every = Math.max(1, Math.floor(Math.sqrt(raster.strip.length / 200_000)));
  for (let row = 0; row < raster.rows; row += every) {
    for (let column = 0; column < raster.columns; column += every) {
      const s = raster.strip[row * raster.columns + column]! - 1;
      if (s < 0) continue;
      const [x, y, sum] = [column * raster.cellM, row * raster.cellM, sums[s]!];
      sum.n++;
      sum.x += x;
      sum.y += y;
      sum.xx += x * x;
      sum.xy += x * y;
      sum.yy += y * y;
    }
  }
  for (const { n, x, y, xx, xy, yy } of sums) {
    if (n < 10) continue;
    cos += xx - (x * x) / n - (yy - (y * y) / n);
    sin += 2 * (xy - (x * y) / n);
  }
  return Math.atan2(sin, cos) / 2;
}
