/** Points that are used → the yield of each strip, and how well it is known. */
import { middleOf } from "./middle.ts";
import { crops, type CropName } from "../vocabulary/crops.ts";
import { remembered } from "../maths/remembered.ts";
import type { HarvestStep, NeighbourDifference } from "../vocabulary/harvest.ts";
import { correlationAlong, errorOfMean, type AlongCorrelation, type Series } from "./along-strips.ts";
import type { Cleaned } from "./clean.ts";
import type { Passes } from "./passes.ts";
import type { PointCloud } from "./point-cloud.ts";
import { toMarket } from "./point-yields.ts";
import { directionOf, type SeededGround } from "./seeded-ground.ts";
import { unmixCuts, type Cut, type StripPart } from "./shared-cuts.ts";

/** Cells along the strips: shorter ones show the sensor, longer ones are too few for a correlation. */
const cellM = 10;
const mostCells = 40;
/** A part of a strip is left out if it holds less than this share of the information that the same ground harvested alone would. */
const leastWorth = 0.25;
/** As is a cell with less ground than this share of the strip's usual one from the correlation. */
const leastGround = 0.3;

export interface StripSum {
  mass: number;
  area: number;
  points: number;
  /** Points whose cut was shared with another strip. */
  shared: number;
  moisture: number;
  moistureArea: number;
  values: { sum: number; square: number };
}

export interface StripYields {
  strips: StripSum[];
  /** Cells along each strip. */
  series: Series[];
  sizeM: number;
  /** Places in `order` that are out after all: of no strip in their cut it can be told what it gave. */
  untold: number[];
}

/** Middle of each column of moistures that was asked for: the same for all ways through its points. */
const usualMoisture = remembered((moisture: Float64Array) =>
  middleOf(moisture.filter((one) => one > 0).slice(0, 50_000)),
);

/** Yield of each place at market moisture, and its moisture [%]; NaN where nothing is known. */
function atMarket(
  cloud: PointCloud,
  passes: Passes,
  { yieldKgPerHa }: Cleaned,
  cropName: CropName,
  off: ReadonlySet<HarvestStep>,
): { market: Float64Array; moisturePct: Float64Array } {
  const { moisture, dryYield } = cloud.numbers;
  const usual = moisture === null ? NaN : usualMoisture(moisture);
  const market = new Float64Array(cloud.count).fill(NaN);
  const moisturePct = new Float64Array(cloud.count).fill(NaN);
  const bring = dryYield === null && !off.has("moisture");
  for (let k = 0; k < cloud.count; k++) {
    const value = yieldKgPerHa[k]!;
    if (!Number.isFinite(value)) continue;
    const wet = moisture?.[passes.order[k]!] ?? NaN;
    moisturePct[k] = wet > 0 ? wet : usual;
    market[k] = bring ? toMarket(value, moisturePct[k]!, crops[cropName].marketMoisturePct) : value;
  }
  return { market, moisturePct };
}

const emptySum = (): StripSum => ({
  mass: 0,
  area: 0,
  points: 0,
  shared: 0,
  moisture: 0,
  moistureArea: 0,
  values: { sum: 0, square: 0 },
});

/** Mean of all points of each strip, left out or not, every point alike: as points are averaged by hand. */
export function plainMeans(
  cloud: PointCloud,
  passes: Passes,
  cleaned: Cleaned,
  strips: number,
  cropName: CropName,
): number[] {
  const { market } = atMarket(cloud, passes, cleaned, cropName, new Set(["moisture"]));
  const sums = Array.from({ length: strips }, () => ({ value: 0, points: 0 }));
  market.forEach((value, k) => {
    if (value !== value || cleaned.strip[k]! < 0) return;
    const sum = sums[cleaned.strip[k]!]!;
    sum.value += value;
    sum.points++;
  });
  return sums.map(({ value, points }) => value / points);
}

/** What a strip gave, in all and cell by cell. */
interface Harvested {
  sum: StripSum;
  parts: { cell: number; part: StripPart }[];
}

/**
 * Mass over area of each strip, cell by cell along it; where cuts are shared by strips, what each gave is worked out in
 * the cell by least squares.
 *
 * @param rank of each strip across the field
 */
export function stripYields(
  cloud: PointCloud,
  passes: Passes,
  cleaned: Cleaned,
  ground: SeededGround,
  rank: readonly number[],
  cropName: CropName,
  off: ReadonlySet<HarvestStep>,
): StripYields {
  const { strip, share, others, areaM2 } = cleaned;
  const { market, moisturePct } = atMarket(cloud, passes, cleaned, cropName, off);
  const strips = ground.strips.map((): Harvested => ({ sum: emptySum(), parts: [] }));
  const longest = Math.max(...ground.strips.map(({ lengthM }) => lengthM), cellM);
  const sizeM = Math.max(cellM, 1.5 * passes.stepM, longest / mostCells);
  const untold: number[] = [];
  for (const [cell, places] of cellsAlong(cloud, passes, cleaned, market, directionOf(ground), sizeM)) {
    const known = new Set<number>();
    for (const part of partsOf(places, cleaned, market, rank)) {
      if (!(part.worthArea >= leastWorth * part.area)) continue;
      known.add(part.strip);
      const { sum, parts } = strips[part.strip]!;
      parts.push({ cell, part });
      sum.mass += part.value * part.area;
      sum.area += part.area;
    }
    for (const k of places) {
      const own = known.has(strip[k]!);
      if (!own && !known.has(others[2 * k]!) && !known.has(others[2 * k + 1]!)) untold.push(k);
      if (own) countPoint(k);
    }
  }
  return {
    strips: strips.map(({ sum }) => sum),
    series: strips.map(({ parts }) => seriesOf(parts, sizeM)),
    sizeM,
    untold,
  };

  /** A point is counted with the strip that most of its cut lies in. */
  function countPoint(k: number): void {
    const { sum } = strips[strip[k]!]!;
    sum.points++;
    if (share[k]! < 1) sum.shared++;
    sum.values.sum += market[k]!;
    sum.values.square += market[k]! ** 2;
    if (!(moisturePct[k]! > 0)) return;
    sum.moisture += moisturePct[k]! * areaM2[k]!;
    sum.moistureArea += areaM2[k]!;
  }
}

/** The places that are used, by cells of `sizeM` along the strips. */
function cellsAlong(
  cloud: PointCloud,
  passes: Passes,
  { reason, strip }: Cleaned,
  market: Float64Array,
  direction: number,
  sizeM: number,
): Map<number, number[]> {
  const { x, y } = cloud.numbers as { x: Float64Array; y: Float64Array };
  const [cos, sin] = [Math.cos(direction), Math.sin(direction)];
  const cells = new Map<number, number[]>();
  for (let k = 0; k < cloud.count; k++) {
    if (reason[k] !== 0 || strip[k]! < 0 || market[k] !== market[k]) continue;
    const i = passes.order[k]!;
    const cell = Math.floor((x[i]! * cos + y[i]! * sin) / sizeM);
    const there = cells.get(cell);
    if (there === undefined) cells.set(cell, [k]);
    else there.push(k);
  }
  return cells;
}

/** What each strip gave in a cell: mass over area, or by least squares where cuts are shared. */
function partsOf(
  places: readonly number[],
  cleaned: Cleaned,
  market: Float64Array,
  rank: readonly number[],
): StripPart[] {
  const { strip, share, areaM2 } = cleaned;
  if (places.some((k) => share[k]! < 1)) {
    const cuts = places.map((k) => cutAt(k, cleaned, market));
    return unmixCuts(cuts, rank);
  }
  const plain = new Map<number, StripPart>();
  for (const k of places) {
    const part = plain.get(strip[k]!) ?? { strip: strip[k]!, value: 0, area: 0, worthArea: 0 };
    part.value += market[k]! * areaM2[k]!;
    part.area += areaM2[k]!;
    plain.set(strip[k]!, part);
  }
  return [...plain.values()].map((part) => ({
    ...part,
    value: part.value / part.area,
    worthArea: part.area,
  }));
}

function cutAt(k: number, cleaned: Cleaned, market: Float64Array): Cut {
  const { strip, share, others, otherShares, areaM2 } = cleaned;
  const at = [2 * k, 2 * k + 1].filter((one) => others[one]! >= 0);
  return {
    value: market[k]!,
    area: areaM2[k]!,
    strips: [strip[k]!, ...at.map((one) => others[one]!)],
    shares: [share[k]!, ...at.map((one) => otherShares[one]!)],
  };
}

/** The cells of a strip in their order, without those that hold too little of its ground. */
function seriesOf(own: readonly { cell: number; part: StripPart }[], sizeM: number): Series {
  const full = middleOf(own.map(({ part }) => part.area));
  const used = own.filter(({ part }) => part.area > leastGround * full).sort((a, b) => a.cell - b.cell);
  return {
    place: used.map(({ cell }) => cell * sizeM),
    value: used.map(({ part }) => part.value),
    weight: used.map(({ part }) => part.area),
    spread: used.map(({ part }) => part.area / part.worthArea),
  };
}

export interface StripErrors {
  standardErrors: (number | null)[];
  differences: NeighbourDifference[];
  correlation: AlongCorrelation | null;
}

/** One correlation for all strips, and the same for the differences of neighbours. */
export function stripErrors({ strips, series, sizeM }: StripYields, order: readonly number[]): StripErrors {
  const correlation = correlationAlong(series, sizeM);
  const standardErrors = series.map((one, s) =>
    correlation === null || one.place.length === 0 || strips[s]!.area === 0
      ? null
      : errorOfMean(one, correlation),
  );
  const pairs: { first: number; second: number; series: Series }[] = [];
  for (let position = 0; position + 1 < order.length; position++) {
    const [a, b] = [series[order[position]!]!, series[order[position + 1]!]!];
    const there = new Map(b.place.map((place, index) => [Math.round(place / sizeM), index]));
    const both = a.place.flatMap((place, index) => {
      const other = there.get(Math.round(place / sizeM));
      return other === undefined
        ? []
        : [
            {
              place,
              value: b.value[other]! - a.value[index]!,
              spread: (a.spread![index]! + b.spread![other]!) / 2,
            },
          ];
    });
    if (both.length < 4) continue;
    pairs.push({
      first: position + 1,
      second: position + 2,
      series: {
        place: both.map(({ place }) => place),
        value: both.map(({ value }) => value),
        weight: both.map(() => 1),
        spread: both.map(({ spread }) => spread),
      },
    });
  }
  const between = correlationAlong(
    pairs.map((pair) => pair.series),
    sizeM,
  );
  const differences =
    between === null
      ? []
      : pairs.map(({ first, second, series: one }): NeighbourDifference => ({
          first,
          second,
          differenceKgPerHa: one.value.reduce((sum, value) => sum + value, 0) / one.value.length,
          standardErrorKgPerHa: errorOfMean(one, between),
        }));
  return { standardErrors, differences, correlation };
}

/** Variance of points about the mean of their strip, over all strips. */
export function pointVariance(strips: readonly StripSum[]): number {
  const squares = strips.reduce(
    (sum, { points, values }) => sum + (points === 0 ? 0 : values.square - values.sum ** 2 / points),
    0,
  );
  return (
    squares /
    Math.max(
      1,
      strips.reduce((sum, { points }) => sum + Math.max(0, points - 1), 0),
    )
  );
}
