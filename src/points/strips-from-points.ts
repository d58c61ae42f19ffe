/**
 * The way from points to strips, in its steps: passes → seeded strips → delay → cleaning → one yield per strip.
 *
 * Points never become observations: what leaves here is one yield a strip, and how well it is known.
 */
import {
  delayAssumed,
  noOverlap,
  nothingHarvested,
  nothingSeeded,
  noStripsSeeded,
  headlandsSeen,
  cutsInTwoStrips,
  onePassOnly,
  partsApart,
  ratesMissing,
  sheetEitherWay,
  sheetUnmatched,
  stripsWithoutPoints,
  varietyUnknown,
  seasonUnknown,
  widthAssumed,
  yieldBeyondCrop,
  twoSeededFields,
} from "../messages/harvest.ts";
import { middleOf } from "./middle.ts";
import { sortFindings } from "../messages/finding.ts";
import { metresPerFoot, toBushelsPerAcre } from "../numbers/units.ts";
import type { InputFile } from "../read/tables/input-file.ts";
import { crops, type CropName } from "../vocabulary/crops.ts";
import {
  harvestSteps,
  leftOutReasons,
  type DelayTold,
  type Harvest,
  type HarvestedStrip,
  type HarvestMap,
  type HarvestStep,
  type NeighbourDifference,
} from "../vocabulary/harvest.ts";
import type { Finding } from "../vocabulary/trial.ts";
import { engineVersion } from "../version.ts";
import { correlationAlong, errorOfMean, type AlongCorrelation, type Series } from "./along-strips.ts";
import { clean, type Cleaned } from "./clean.ts";
import { findDelay } from "./delay.ts";
import { matchSheet, readFieldSheet, type SheetRow } from "./field-sheet.ts";
import { findPasses, type Passes } from "./passes.ts";
import type { PointCloud } from "./point-cloud.ts";
import { measured, toMarket } from "./point-yields.ts";
import { placeAll, readPoints, type PointsRead } from "./read-points.ts";
import { seededGround, stripAt, type SeededGround } from "./seeded-ground.ts";
import { workingWidth } from "./working-width.ts";

export interface HarvestRequest {
  crop: CropName;
  system: "us" | "metric";
  currency: string;
  season: number | null;
  farm: string;
  field: string;
  /** Variety where neither file nor sheet names one. */
  variety?: string;
  /** Header → what it is, with its unit, as answered. */
  columns?: Readonly<Record<string, string>>;
  /** Delay that the person gave [s]; null: find it. */
  delayS: number | null;
  combineWidthM: number | null;
  drillWidthM: number | null;
  off: readonly HarvestStep[];
  /** Whether to work out how strips move with each step off: takes as long again for each. */
  eachStepOff: boolean;
}

/** A monitor's flow of grain comes so much after the cut where nothing tells it: 8–14 s were found in the field. */
const usualDelayS = 10;
/** Cells along the strips for the correlation: shorter ones show the sensor, longer ones are too few. */
const cellM = 10;
const mostCells = 40;
/** Fields are apart that lie farther from one another than this [m]. */
const apartM = 300;
const mostMapPoints = 9_000;

/** Yield that half of the points of a field do not pass, by crop [t/ha]; about twice a very good farm's (common practice). */
const hardlyTPerHa: Record<CropName, number> = {
  ...{ wheat: 14, durum: 12, barley: 13, oats: 12, rye: 13, soybean: 8, corn: 22, canola: 8, flax: 5 },
};

/**
 * Points of drill and combine → strips.
 *
 * @throws TrialError with a code of `messages/harvest.ts` where the files show no strips
 */
export async function stripsFromPoints(
  yieldFiles: readonly InputFile[],
  seededFiles: readonly InputFile[],
  sheetFile: InputFile | null,
  request: HarvestRequest,
): Promise<Harvest> {
  const findings: Finding[] = [];
  const harvested = await readPoints(yieldFiles, request);
  const sown = seededFiles.length === 0 ? harvested : await readPoints(seededFiles, request);
  findings.push(...harvested.findings, ...(sown === harvested ? [] : sown.findings));
  const names = (read: PointsRead): string => read.cloud.files.join(", ");
  if (sown.cloud.numbers.rate === null) throw nothingSeeded(names(sown));
  const swapped = sown !== harvested && meetSwapped(harvested, sown);
  placeAll(sown === harvested ? [sown] : [sown, harvested]);
  if (sown.withoutRate + sown.withRateZero > 0)
    findings.push(ratesMissing(names(sown), sown.withoutRate, sown.withRateZero));

  const passes = findPasses(harvested.cloud);
  const drillPasses = sown === harvested ? passes : findPasses(sown.cloud);
  findings.push(...passes.findings, ...(sown === harvested ? [] : drillPasses.findings));
  if (passes.passes.length < 2) throw onePassOnly(names(harvested), passes.passes.length);
  checkParts(harvested, sown, findings);
  const drillWidth = workingWidth(sown.cloud, drillPasses, request.drillWidthM);
  const combineWidth = workingWidth(harvested.cloud, passes, request.combineWidthM);
  if (drillWidth === null) throw onePassOnly(names(sown), drillPasses.passes.length);
  if (combineWidth === null) throw onePassOnly(names(harvested), passes.passes.length);
  const length = (m: number): string =>
    request.system === "us" ? `${(m / metresPerFoot).toFixed(0)} ft` : `${m.toFixed(1)} m`;
  for (const [width, machine, read] of [
    [drillWidth, "drill", sown],
    [combineWidth, "combine", harvested],
  ] as const)
    if (width.assumed) findings.push(widthAssumed(names(read), length(width.metres), machine));

  const signal = measured(harvested.cloud, passes);
  if (signal === null) throw nothingHarvested(names(harvested));
  const sheet = sheetFile === null ? null : readFieldSheet(sheetFile, request.crop, request.field);
  const { ground, order, rows } = groundWithSheet(
    sown.cloud,
    drillPasses,
    drillWidth.metres,
    sheetFile,
    sheet?.rows ?? null,
    findings,
  );
  if (ground.strips.length === 0) throw noStripsSeeded(names(sown));
  if (ground.acrossRuns > 0) findings.push(headlandsSeen(names(sown), ground.acrossRuns));
  if (!meets(harvested.cloud, ground)) throw noOverlap(names(harvested), names(sown), swapped);

  const off = new Set(request.off);
  const delay = delayOf(harvested.cloud, passes, signal, combineWidth.metres, request, findings);
  const wish = { delayS: delay.seconds, widthM: combineWidth.metres, off };
  const cleaned = clean(harvested.cloud, passes, signal, ground.raster, wish);
  const sums = stripSums(harvested.cloud, passes, cleaned, ground.strips.length, request.crop, off);
  const kgPerHa = middleOf(sums.strips.filter(({ area }) => area > 0).map(({ mass, area }) => mass / area));
  const crop = crops[request.crop];
  if (kgPerHa > hardlyTPerHa[request.crop] * 1_000) {
    const told =
      request.system === "us"
        ? `${toBushelsPerAcre(kgPerHa, crop.poundsPerBushel).toFixed(0)} bu/ac`
        : `${(kgPerHa / 1_000).toFixed(1)} t/ha`;
    findings.push(yieldBeyondCrop(names(harvested), told, crop.name));
  }
  const errors = stripErrors(harvested.cloud, passes, cleaned, sums, ground, order);
  const strips = tellStrips(ground, order, rows, sums, errors.standardErrors);
  for (const strip of strips) strip.variety ||= request.variety ?? "";
  if (strips.every(({ variety }) => variety === "")) findings.push(varietyUnknown());
  const empty = strips.filter(({ yieldKgPerHa }) => yieldKgPerHa === null);
  if (empty.length > 0) findings.push(stripsWithoutPoints(empty.map(({ position }) => position)));
  const leftOut = leftOutReasons
    .map((reason, index) => ({
      reason: reason as Harvest["leftOut"][number]["reason"],
      points: cleaned.reason.reduce((sum, code) => sum + (code === index + 1 ? 1 : 0), 0),
    }))
    .filter(({ points }) => points > 0);
  const straddling = leftOut.find(({ reason }) => reason === "two-strips")?.points ?? 0;
  if (straddling > 0.15 * harvested.rowsRead)
    findings.push(
      cutsInTwoStrips(
        names(harvested),
        straddling / harvested.rowsRead,
        length(combineWidth.metres),
        length(drillWidth.metres),
      ),
    );
  const raw = stripSums(
    harvested.cloud,
    passes,
    clean(harvested.cloud, passes, signal, ground.raster, {
      ...wish,
      delayS: 0,
      off: new Set(harvestSteps as unknown as HarvestStep[]),
    }),
    ground.strips.length,
    request.crop,
    new Set(["moisture"]),
    true,
  );
  const moves = order
    .map((s) => raw.strips[s]!.mass / raw.strips[s]!.area - sums.strips[s]!.mass / sums.strips[s]!.area)
    .filter(Number.isFinite);
  const withoutStep = request.eachStepOff
    ? offOneByOne(
        harvested.cloud,
        passes,
        signal,
        ground,
        order,
        wish,
        sums,
        errors.standardErrors,
        request.crop,
      )
    : [];
  const sheetSeason = Number(sheet?.rows[0]?.cells.season ?? NaN);
  const season = request.season ?? (Number.isFinite(sheetSeason) ? sheetSeason : seasonOf(harvested.cloud));
  if (season === null) findings.push(seasonUnknown());
  return {
    ...{ engineVersion, crop: request.crop, units: { system: request.system, currency: request.currency } },
    season,
    farm: request.farm || (sheet?.rows[0]?.cells.farm ?? ""),
    field: request.field || (sheet?.rows[0]?.cells.field ?? ""),
    strips,
    differences: errors.differences,
    rateIsWeight: sown.cloud.rateIsWeight,
    rateClasses: ground.classes.map(({ rate, points }) => ({ rate, points })),
    delay,
    combineWidthM: combineWidth.metres,
    drillWidthM: drillWidth.metres,
    passes: passes.passes.length,
    pointsRead: harvested.rowsRead,
    pointsUsed: cleaned.reason.reduce((sum, code) => sum + (code === 0 ? 1 : 0), 0),
    leftOut,
    withoutPlace: harvested.withoutPlace,
    correlation:
      errors.correlation === null
        ? null
        : { rangeM: errors.correlation.rangeM, noise: errors.correlation.noise },
    withoutStep,
    rawDifference: {
      largestKgPerHa: moves.length === 0 ? 0 : Math.max(...moves.map(Math.abs)),
      meanAbsKgPerHa:
        moves.length === 0 ? 0 : moves.reduce((sum, one) => sum + Math.abs(one), 0) / moves.length,
    },
    switchedOff: [...request.off],
    map: mapOf(harvested.cloud, passes, cleaned, sown.cloud, ground, order),
    findings: sortFindings(findings),
  };
}

/** The year of the first time that is a date. */
function seasonOf(cloud: PointCloud): number | null {
  const first = cloud.numbers.time?.find((time) => time > 0) ?? 0;
  // Seconds since 1970; below 1980 they count from something else.
  return first < 10 * 31_556_952 ? null : 1970 + Math.floor(first / 31_556_952);
}

/** Whether places meet once latitude and longitude of the one are exchanged, though they do not as they are. */
function meetSwapped(a: PointsRead, b: PointsRead): boolean {
  if (!a.inDegrees || !b.inDegrees) return false;
  const [ax, ay] = [middleOf(a.cloud.numbers.x!.slice(0, 1000)), middleOf(a.cloud.numbers.y!.slice(0, 1000))];
  const [bx, by] = [middleOf(b.cloud.numbers.x!.slice(0, 1000)), middleOf(b.cloud.numbers.y!.slice(0, 1000))];
  const near = (x: number, y: number): boolean => Math.hypot(x - bx, y - by) < 0.2;
  return !near(ax, ay) && near(ay, ax);
}

function meets(cloud: PointCloud, ground: SeededGround): boolean {
  const every = Math.max(1, Math.floor(cloud.count / 20_000));
  for (let i = 0; i < cloud.count; i += every)
    if (stripAt(ground.raster, cloud.numbers.x![i]!, cloud.numbers.y![i]!) >= 0) return true;
  return false;
}

/** Parts of a cloud that lie far from one another, by cells of half that distance. */
function partsOf(cloud: PointCloud): number {
  const cell = apartM / 2;
  const counts = new Map<string, number>();
  for (let i = 0; i < cloud.count; i++) {
    const key = `${Math.floor(cloud.numbers.x![i]! / cell)} ${Math.floor(cloud.numbers.y![i]! / cell)}`;
    counts.set(key, (counts.get(key) ?? 0) + 1);
  }
  let parts = 0;
  const seen = new Set<string>();
  for (const start of counts.keys()) {
    if (seen.has(start)) continue;
    let points = 0;
    const waiting = [start];
    seen.add(start);
    for (let key = waiting.pop(); key !== undefined; key = waiting.pop()) {
      points += counts.get(key)!;
      const [c, r] = key.split(" ").map(Number) as [number, number];
      for (let dc = -2; dc <= 2; dc++) {
        for (let dr = -2; dr <= 2; dr++) {
          const next = `${c + dc} ${r + dr}`;
          if (!counts.has(next) || seen.has(next)) continue;
          seen.add(next);
          waiting.push(next);
        }
      }
    }
    if (points >= 0.02 * cloud.count) parts++;
  }
  return parts;
}

function checkParts(harvested: PointsRead, sown: PointsRead, findings: Finding[]): void {
  const parts = partsOf(sown.cloud);
  if (parts > 1) throw twoSeededFields(sown.cloud.files.join(", "), apartM);
  const cut = sown === harvested ? 1 : partsOf(harvested.cloud);
  if (cut > 1) findings.push(partsApart(harvested.cloud.files.join(", "), cut, apartM));
}

function groundWithSheet(
  cloud: PointCloud,
  passes: Passes,
  widthM: number,
  file: InputFile | null,
  rows: SheetRow[] | null,
  findings: Finding[],
): { ground: SeededGround; order: number[]; rows: (SheetRow | null)[] | null } {
  const joined = seededGround(cloud, passes, widthM);
  const order = acrossField(joined);
  if (rows === null || file === null) return { ground: joined, order, rows: null };
  // Neighbours that were seeded alike hang together; a sheet that lists them one by one parts them.
  for (const ground of [joined, seededGround(cloud, passes, widthM, false)]) {
    const inOrder = ground === joined ? order : acrossField(ground);
    const strips = inOrder.map((s) => ground.strips[s]!);
    const match = matchSheet(
      strips.map(({ rate }) => rate),
      strips.map(({ variety }) => variety),
      rows,
    );
    if (match.kind === "unmatched") continue;
    if (match.eitherWay) findings.push(sheetEitherWay(file.name));
    return {
      ground,
      order: match.turned ? inOrder.reverse() : inOrder,
      rows: match.turned ? match.rows.reverse() : match.rows,
    };
  }
  findings.push(sheetUnmatched(file.name, joined.strips.length, rows.length));
  return { ground: joined, order, rows: null };
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

/** Strips in the order in which they lie: side by side from the west or the south, row behind row where there are several. */
function acrossField(ground: SeededGround): number[] {
  const direction = directionOf(ground);
  const [cos, sin] = [Math.cos(direction), Math.sin(direction)];
  const toward = -sin + cos * 1e-9 >= 0 ? 1 : -1;
  const along = ground.strips.map(({ x, y }) => x * cos + y * sin);
  const across = ground.strips.map(({ x, y }) => toward * (-x * sin + y * cos));
  // Rows of strips: middles farther apart along than half a strip are of different rows.
  const byAlong = ground.strips.map((_, s) => s).sort((a, b) => along[a]! - along[b]!);
  const tier = new Array<number>(ground.strips.length).fill(0);
  const half = 0.5 * middleOf(ground.strips.map(({ lengthM }) => lengthM));
  let [at, first] = [0, along[byAlong[0] ?? 0] ?? 0];
  for (const s of byAlong) {
    if (along[s]! - first > half) [at, first] = [at + 1, along[s]!];
    tier[s] = at;
  }
  return ground.strips.map((_, s) => s).sort((a, b) => tier[a]! - tier[b]! || across[a]! - across[b]!);
}

function delayOf(
  cloud: PointCloud,
  passes: Passes,
  { signal, isFlow }: { signal: Float64Array; isFlow: boolean },
  widthM: number,
  { delayS, off }: HarvestRequest,
  findings: Finding[],
): DelayTold {
  const told = { standardErrorS: null, pairs: 0, why: "", curve: [] };
  if (off.includes("delay")) return { ...told, seconds: 0, how: "off" };
  const found = findDelay(cloud, passes, signal, widthM);
  const curve = found.curve;
  if (delayS !== null) return { ...told, curve, seconds: delayS, how: "given" };
  if ("seconds" in found) return { ...told, ...found, how: "estimated" };
  // A yield has mostly been put back by the monitor already; a bare flow has not.
  const seconds = isFlow && cloud.numbers.time !== null ? usualDelayS : 0;
  findings.push(delayAssumed(seconds, found.why));
  return { ...told, curve, seconds, how: "assumed", why: found.why };
}

interface StripSum {
  mass: number;
  area: number;
  points: number;
  moisture: number;
  moistureArea: number;
  values: { sum: number; square: number };
}

interface Sums {
  strips: StripSum[];
  /** Yield at market moisture by place in `order`. */
  market: Float64Array;
}

/** Mass over area of each strip. @param plain every point alike, as when points are averaged by hand */
function stripSums(
  cloud: PointCloud,
  passes: Passes,
  { reason, strip, yieldKgPerHa, areaM2 }: Cleaned,
  strips: number,
  cropName: CropName,
  off: ReadonlySet<HarvestStep>,
  plain = false,
): Sums {
  const crop = crops[cropName];
  const { moisture, dryYield } = cloud.numbers;
  const sums = Array.from({ length: strips }, (): StripSum => ({
    ...{ mass: 0, area: 0, points: 0, moisture: 0, moistureArea: 0 },
    values: { sum: 0, square: 0 },
  }));
  const market = new Float64Array(cloud.count).fill(NaN);
  const usual = moisture === null ? NaN : middleOf(moisture.filter((one) => one > 0).slice(0, 50_000));
  for (let k = 0; k < cloud.count; k++) {
    if (strip[k]! < 0 || !Number.isFinite(yieldKgPerHa[k]!)) continue;
    if (reason[k] !== 0 && !plain) continue;
    const wet = moisture?.[passes.order[k]!] ?? NaN;
    const pct = wet > 0 ? wet : usual;
    const value =
      dryYield === null && !off.has("moisture")
        ? toMarket(yieldKgPerHa[k]!, pct, crop.marketMoisturePct)
        : yieldKgPerHa[k]!;
    market[k] = value;
    const sum = sums[strip[k]!]!;
    const area = plain ? 1 : areaM2[k]!;
    sum.mass += value * area;
    sum.area += area;
    sum.points++;
    sum.values.sum += value;
    sum.values.square += value * value;
    if (pct > 0) {
      sum.moisture += pct * area;
      sum.moistureArea += area;
    }
  }
  return { strips: sums, market };
}

interface StripErrors {
  standardErrors: (number | null)[];
  differences: NeighbourDifference[];
  correlation: AlongCorrelation | null;
}

/** Cells along the strips, one correlation for all strips, and the same for the differences of neighbours. */
function stripErrors(
  cloud: PointCloud,
  passes: Passes,
  { reason, strip, areaM2 }: Cleaned,
  { strips, market }: Sums,
  ground: SeededGround,
  order: number[],
): StripErrors {
  const direction = directionOf(ground);
  const [cos, sin] = [Math.cos(direction), Math.sin(direction)];
  const longest = Math.max(...ground.strips.map(({ lengthM }) => lengthM), cellM);
  const size = Math.max(cellM, 1.5 * passes.stepM, longest / mostCells);
  const cells = ground.strips.map(() => new Map<number, { mass: number; area: number }>());
  for (let k = 0; k < cloud.count; k++) {
    if (reason[k] !== 0 || strip[k]! < 0 || !Number.isFinite(market[k]!)) continue;
    const i = passes.order[k]!;
    const cell = Math.floor((cloud.numbers.x![i]! * cos + cloud.numbers.y![i]! * sin) / size);
    const own = cells[strip[k]!]!;
    const sum = own.get(cell);
    if (sum === undefined) own.set(cell, { mass: market[k]! * areaM2[k]!, area: areaM2[k]! });
    else {
      sum.mass += market[k]! * areaM2[k]!;
      sum.area += areaM2[k]!;
    }
  }
  const series = cells.map((own): Series => {
    const full = middleOf([...own.values()].map(({ area }) => area));
    const used = [...own].filter(([, { area }]) => area > 0.3 * full).sort(([a], [b]) => a - b);
    return {
      place: used.map(([cell]) => cell * size),
      value: used.map(([, { mass, area }]) => mass / area),
      weight: used.map(([, { area }]) => area),
    };
  });
  const correlation = correlationAlong(series, size);
  const standardErrors = series.map((one, s) =>
    correlation === null || one.place.length === 0 || strips[s]!.area === 0
      ? null
      : errorOfMean(one, correlation),
  );
  const pairs: { first: number; second: number; series: Series }[] = [];
  for (let position = 0; position + 1 < order.length; position++) {
    const [a, b] = [series[order[position]!]!, series[order[position + 1]!]!];
    const there = new Map(b.place.map((place, index) => [Math.round(place / size), index]));
    const both = a.place.flatMap((place, index) => {
      const other = there.get(Math.round(place / size));
      return other === undefined ? [] : [{ place, value: b.value[other]! - a.value[index]! }];
    });
    if (both.length < 4) continue;
    pairs.push({
      first: position + 1,
      second: position + 2,
      series: {
        place: both.map(({ place }) => place),
        value: both.map(({ value }) => value),
        weight: both.map(() => 1),
      },
    });
  }
  const between = correlationAlong(
    pairs.map((pair) => pair.series),
    size,
  );
  const differences =
    between === null
      ? []
      : pairs.map(({ first, second, series: one }): NeighbourDifference => ({
          ...{ first, second },
          differenceKgPerHa: one.value.reduce((sum, value) => sum + value, 0) / one.value.length,
          standardErrorKgPerHa: errorOfMean(one, between),
        }));
  return { standardErrors, differences, correlation };
}

/** Variance of points about the mean of their strip, over all strips. */
function pointVariance({ strips }: Sums): number {
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

/** Blocks may be so much smaller than a full set of treatments before strips are counted off instead. */
const smallBlock = 0.6;

/**
 * Block of each strip in order: a new one where a treatment comes again. Where treatments stand in no such sets, as many
 * strips with a yield as there are treatments are a block.
 */
function blocksByPlace(ground: SeededGround, order: readonly number[], { strips }: Sums): number[] {
  const treatment = (s: number): string => `${ground.strips[s]!.variety} ${ground.strips[s]!.rateClass}`;
  const treatments = new Set(order.map(treatment)).size;
  const seen = new Set<string>();
  let block = 1;
  const bySets = order.map((s) => {
    if (seen.has(treatment(s))) {
      block++;
      seen.clear();
    }
    seen.add(treatment(s));
    return block;
  });
  if (order.length / block >= smallBlock * treatments) return bySets;
  const size = Math.max(treatments, 4);
  const harvested = Math.max(1, Math.round(strips.filter(({ points }) => points > 0).length / size));
  const each = strips.filter(({ points }) => points > 0).length / harvested;
  let before = 0;
  return order.map((s) => {
    const at = Math.min(harvested, Math.floor(before / Math.max(1, each)) + 1);
    if (strips[s]!.points > 0) before++;
    return at;
  });
}

function tellStrips(
  ground: SeededGround,
  order: number[],
  rows: (SheetRow | null)[] | null,
  sums: Sums,
  standardErrors: (number | null)[],
): HarvestedStrip[] {
  const told: HarvestedStrip[] = [];
  const blocks = blocksByPlace(ground, order, sums);
  const spread = pointVariance(sums);
  order.forEach((s, index) => {
    const [strip, sum] = [ground.strips[s]!, sums.strips[s]!];
    const row = rows?.[index] ?? null;
    // Strips that the sheet does not list are borders.
    if (rows !== null && row === null) return;
    const variety = row?.variety || strip.variety;
    const has = sum.area > 0 && sum.points > 0;
    const se = has ? standardErrors[s]! : null;
    told.push({
      ...{
        position: row?.position ?? index + 1,
        block: row === null ? String(blocks[index]) : row.block,
        variety,
      },
      ...{ rate: strip.rate, rateClass: strip.rateClass },
      yieldKgPerHa: has ? sum.mass / sum.area : null,
      standardErrorKgPerHa: se,
      points: sum.points,
      worth: se === null || se === 0 ? null : Math.min(sum.points, Math.max(1, spread / se ** 2)),
      areaHa: has ? sum.area / 10_000 : 0,
      lengthM: strip.lengthM,
      moisturePct: sum.moistureArea > 0 ? sum.moisture / sum.moistureArea : null,
      sheet: row === null ? null : (row.cells as Record<string, string>),
    });
  });
  return told;
}

function offOneByOne(
  cloud: PointCloud,
  passes: Passes,
  signal: { signal: Float64Array; isFlow: boolean },
  ground: SeededGround,
  order: number[],
  wish: { delayS: number; widthM: number; off: ReadonlySet<HarvestStep> },
  sums: Sums,
  standardErrors: (number | null)[],
  crop: CropName,
): Harvest["withoutStep"] {
  return (harvestSteps as unknown as HarvestStep[])
    .filter((step) => !wish.off.has(step))
    .map((step) => {
      const off = new Set([...wish.off, step]);
      const cleaned = clean(cloud, passes, signal, ground.raster, {
        ...wish,
        off,
        delayS: step === "delay" ? 0 : wish.delayS,
      });
      const { strips } = stripSums(cloud, passes, cleaned, ground.strips.length, crop, off);
      let [largest, moved, lost] = [0, 0, 0];
      for (const s of order) {
        const [before, after] = [sums.strips[s]!, strips[s]!];
        if (before.area === 0 && after.area > 0) lost++;
        if (before.area === 0 || after.area === 0) continue;
        const move = Math.abs(after.mass / after.area - before.mass / before.area);
        largest = Math.max(largest, move);
        if (move > (standardErrors[s] ?? Infinity)) moved++;
      }
      return { step, largestMoveKgPerHa: largest, moved, stripsLost: lost };
    });
}

function mapOf(
  cloud: PointCloud,
  passes: Passes,
  { reason, strip: stripAtPlace, yieldKgPerHa }: Cleaned,
  drill: PointCloud,
  ground: SeededGround,
  order: number[],
): HarvestMap {
  const position = new Map(order.map((s, index) => [s, index + 1]));
  const tidy = (value: number): number => Math.round(value * 10) / 10;
  const seeded: HarvestMap["seeded"] = [];
  const everySeeded = Math.max(1, Math.ceil(drill.count / mostMapPoints));
  for (let i = 0; i < drill.count; i += everySeeded) {
    const strip = position.get(ground.stripOf[i]!);
    if (strip !== undefined)
      seeded.push({ x: tidy(drill.numbers.x![i]!), y: tidy(drill.numbers.y![i]!), strip });
  }
  const harvested: HarvestMap["harvested"] = [];
  const every = Math.max(1, Math.ceil(cloud.count / mostMapPoints));
  for (let k = 0; k < cloud.count; k += every) {
    const i = passes.order[k]!;
    const value = yieldKgPerHa[k]!;
    harvested.push({
      ...{ x: tidy(cloud.numbers.x![i]!), y: tidy(cloud.numbers.y![i]!) },
      yieldKgPerHa: Number.isFinite(value) ? Math.round(value) : null,
      strip: position.get(stripAtPlace[k]!) ?? null,
      why:
        reason[k] === 0 ? null : (leftOutReasons[reason[k]! - 1] as HarvestMap["harvested"][number]["why"]),
    });
  }
  return { seeded, harvested };
}
