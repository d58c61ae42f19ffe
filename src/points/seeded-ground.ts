/** The drill's points → strips of seeded ground: which variety was sown where, and at what rate. */
import { kept } from "../maths/kept.ts";
import { rateClasses, classOf, type RateClass } from "./rate-classes.ts";
import { middleOf } from "./middle.ts";
import type { Passes } from "./passes.ts";
import type { PointCloud } from "./point-cloud.ts";
import { alongTheField, joinNeighbours, segmentsOf } from "./seeded-runs.ts";
import { paint, type Raster } from "./strip-raster.ts";
import { passWidths } from "./working-width.ts";

/** Ground of one rate and variety that hangs together. */
export interface SeededStrip {
  rateClass: number;
  variety: string;
  /** The middle of its class where the class is narrow, else of its own points. */
  rate: number;
  /** Seeds in a kilogram, where the points say it; NaN where they do not. */
  seedsPerKg: number;
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

/** Classes whose runs differ by no more than this share have one rate. */
const narrow = 0.03;

const emptyStrip = (rateClass: number, variety: string): SeededStrip => ({
  rateClass,
  variety,
  rate: NaN,
  seedsPerKg: NaN,
  points: 0,
  lengthM: 0,
  x: 0,
  y: 0,
});

/** A strip with all rates and seeds/kg that were logged on it. */
interface Seen {
  strip: SeededStrip;
  rates: number[];
  seeds: number[];
}

/**
 * @param widthM usual working width of the drill
 * @param joined whether neighbouring passes of the same rate and variety are one strip
 * @param fullM  working width of each pass
 */
export function seededGround(
  cloud: PointCloud,
  passes: Passes,
  widthM: number,
  joined = true,
  fullM = passWidths(cloud, passes, widthM),
): SeededGround {
  const { segments, acrossRuns } = alongTheField(segmentsOf(cloud, passes), cloud, passes);
  const classes = rateClasses(segments.map(({ from, to, rate }) => ({ rate, points: to - from + 1 })));
  for (const segment of segments) segment.rateClass = classOf(segment.rate, classes);
  const group = joined ? joinNeighbours(cloud, passes, segments, widthM) : segments.map((_, s) => s);
  const strips: SeededStrip[] = [];
  const stripOf = new Int32Array(cloud.count).fill(-1);
  const stripOfSegment = new Int32Array(segments.length).fill(-1);
  const stripOfGroup = new Map<number, { at: number; strip: SeededStrip }>();
  segments.forEach((segment, s) => {
    const { at, strip } = kept(stripOfGroup, group[s]!, () => {
      const fresh = emptyStrip(segment.rateClass, cloud.texts[segment.variety]!);
      return { at: strips.push(fresh) - 1, strip: fresh };
    });
    stripOfSegment[s] = at;
    strip.lengthM = Math.max(
      strip.lengthM,
      segment.before + passes.along[segment.to]! - passes.along[segment.from]! + segment.after,
    );
    for (let k = segment.from; k <= segment.to; k++) stripOf[passes.order[k]!] = at;
  });
  const rate = cloud.numbers.rate!;
  const { seedsPerKg } = cloud.numbers;
  const seen = strips.map((strip): Seen => ({ strip, rates: [], seeds: [] }));
  for (let i = 0; i < cloud.count; i++) {
    if (stripOf[i]! < 0) continue;
    const { strip, rates, seeds } = seen[stripOf[i]!]!;
    strip.points++;
    strip.x += cloud.numbers.x![i]!;
    strip.y += cloud.numbers.y![i]!;
    if (rate[i]! > 0) rates.push(rate[i]!);
    if (seedsPerKg !== null && seedsPerKg[i]! > 0) seeds.push(seedsPerKg[i]!);
  }
  const rateOfClass = classes.map((one, c) => ({
    rate: one.rate,
    isNarrow: segments.every((run) => run.rateClass !== c || Math.abs(run.rate / one.rate - 1) <= narrow),
  }));
  for (const { strip, rates, seeds } of seen) {
    strip.x /= strip.points;
    strip.y /= strip.points;
    strip.seedsPerKg = middleOf(seeds);
    const known = rates.sort((a, b) => a - b);
    const own = known[known.length >> 1];
    const { rate: meant, isNarrow } = rateOfClass[strip.rateClass]!;
    strip.rate = isNarrow || own === undefined ? meant : own;
  }
  const raster = paint(cloud, passes, segments, { fullM, widthM, stripOf: stripOfSegment });
  return { strips, classes, widthM, acrossRuns, raster, stripOf };
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
