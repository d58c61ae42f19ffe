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
  cutsShared,
  onePassOnly,
  partsApart,
  placesUnlike,
  ratesMissing,
  sheetEitherWay,
  sheetUnmatched,
  stripsWithoutPoints,
  varietyUnknown,
  seasonUnknown,
  widthAssumed,
  yieldsAllMissing,
  twoSeededFields,
  type CallHarvestWish,
} from "../messages/harvest.ts";
import { scaleFar, scaleScatters, weighedUnmet } from "../messages/weighed.ts";
import { middleOf } from "./middle.ts";
import { sortFindings } from "../messages/finding.ts";
import type { InputFile } from "../read/tables/input-file.ts";
import type { CropName } from "../vocabulary/crops.ts";
import {
  harvestSteps,
  leftOutReasons,
  type DelayTold,
  type Harvest,
  type HarvestedStrip,
  type HarvestMap,
  type HarvestStep,
  type ScaleFactors,
  type ScaleUse,
} from "../vocabulary/harvest.ts";
import type { Finding } from "../vocabulary/trial.ts";
import { engineVersion } from "../version.ts";
import { clean, type Cleaned } from "./clean.ts";
import { Cuts } from "./cuts.ts";
import { findDelay } from "./delay.ts";
import { matchSheet, readFieldSheet, type SheetRow } from "./field-sheet.ts";
import { areUnordered, courseDoubts, cropDoubts, lengthTold, widthDoubts } from "./harvest-doubts.ts";
import { findPasses, type Passes } from "./passes.ts";
import type { PointCloud } from "./point-cloud.ts";
import { measured } from "./point-yields.ts";
import { placeAll, readPoints, type PointsRead } from "./read-points.ts";
import { directionOf, seededGround, stripAt, type SeededGround } from "./seeded-ground.ts";
import { plainMeans, pointVariance, stripErrors, stripYields, type StripYields } from "./strip-yields.ts";
import { calibrated, readWeighed, scaleFactors } from "./weighed.ts";
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
  /** Weights of a weigh wagon, and whether yields are brought to them. */
  weighed?: { file: InputFile; use: ScaleUse } | null;
  off: readonly HarvestStep[];
  /** Whether to work out how strips move with each step off: takes as long again for each. */
  eachStepOff: boolean;
  callWish?: CallHarvestWish;
}

/** A monitor's flow of grain comes so much after the cut where nothing tells it: 8–14 s were found in the field. */
const usualDelayS = 10;
/** Fields are apart that lie farther from one another than this [m]. */
const apartM = 300;
const mostMapPoints = 9_000;
/** Cuts shared by strips are worth a word where they are more than this share of what is used. */
const leastShared = 0.05;

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
  if (sown.inDegrees !== harvested.inDegrees)
    throw placesUnlike(names(harvested), names(sown), harvested.inDegrees);
  const swapped = sown !== harvested && meetSwapped(harvested, sown);
  placeAll(sown === harvested ? [sown] : [sown, harvested]);
  if (sown.withoutRate + sown.withRateZero > 0)
    findings.push(ratesMissing(names(sown), sown.withoutRate, sown.withRateZero));

  const passes = findPasses(harvested.cloud);
  const drillPasses = sown === harvested ? passes : findPasses(sown.cloud);
  findings.push(...passes.findings, ...(sown === harvested ? [] : drillPasses.findings));
  if (passes.passes.length < 2)
    throw onePassOnly(names(harvested), areUnordered(harvested.cloud, passes) ? 0 : passes.passes.length);
  checkParts(harvested, sown, findings);
  const machines =
    sown === harvested
      ? [{ read: harvested, passes }]
      : [
          { read: harvested, passes },
          { read: sown, passes: drillPasses },
        ];
  for (const machine of machines) findings.push(...courseDoubts(machine, request.system));
  const drillWidth = workingWidth(sown.cloud, drillPasses, request.drillWidthM);
  const combineWidth = workingWidth(harvested.cloud, passes, request.combineWidthM);
  if (drillWidth === null) throw onePassOnly(names(sown), drillPasses.passes.length);
  if (combineWidth === null) throw onePassOnly(names(harvested), passes.passes.length);
  const length = (m: number): string => lengthTold(m, request.system);
  for (const [width, machine, read] of [
    [drillWidth, "drill", sown],
    [combineWidth, "combine", harvested],
  ] as const)
    if (width.assumed) findings.push(widthAssumed(names(read), length(width.metres), machine));
  findings.push(...widthDoubts({ read: sown, passes: drillPasses }, drillWidth, request.system));

  const signal = measured(harvested.cloud, passes);
  if (signal === null) {
    if (harvested.yieldHeader !== null) throw yieldsAllMissing(names(harvested), harvested.yieldHeader);
    throw nothingHarvested(names(harvested));
  }
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
  const wish = { delayS: delay.seconds, off };
  const cuts = new Cuts(harvested.cloud, passes, ground.raster, combineWidth.metres);
  const rank = ground.strips.map((_, s) => order.indexOf(s));
  const asLogged = clean(harvested.cloud, passes, signal, cuts, wish);
  const nameOfStrip = (s: number): string | null => {
    const at = rank[s]!;
    if (rows === null) return String(at + 1);
    return rows[at] === null ? null : String(rows[at]!.position);
  };
  const scale = scaleOf(harvested.cloud, passes, asLogged, nameOfStrip, request, findings);
  const withScale = (one: Cleaned): Cleaned =>
    scale === null ? one : calibrated(harvested.cloud, passes, one, scale, nameOfStrip);
  const yieldsOf = (one: Cleaned, without: ReadonlySet<HarvestStep>): StripYields =>
    stripYields(harvested.cloud, passes, one, ground, rank, request.crop, without);
  const cleaned = withScale(asLogged);
  const sums = yieldsOf(cleaned, off);
  const unscaled = scale === null || scale.use === "none" ? null : yieldsOf(asLogged, off);
  const sharedCut = leftOutReasons.indexOf("shared-cut") + 1;
  for (const k of sums.untold) cleaned.reason[k] = sharedCut;
  findings.push(...cropDoubts(harvested, sums.strips, request));
  const errors = stripErrors(sums, order);
  const strips = tellStrips(ground, order, rows, sums, errors.standardErrors, unscaled);
  for (const strip of strips) strip.variety ||= request.variety ?? "";
  if (strips.every(({ variety }) => variety === "")) findings.push(varietyUnknown(request.callWish));
  const empty = strips.filter(({ yieldKgPerHa }) => yieldKgPerHa === null);
  if (empty.length > 0) findings.push(stripsWithoutPoints(empty.map(({ position }) => position)));
  const leftOut = leftOutReasons
    .map((reason, index) => ({
      reason: reason as Harvest["leftOut"][number]["reason"],
      points: cleaned.reason.reduce((sum, code) => sum + (code === index + 1 ? 1 : 0), 0),
    }))
    .filter(({ points }) => points > 0);
  const shared = sums.strips.reduce((sum, one) => sum + one.shared, 0);
  const untold = leftOut.find(({ reason }) => reason === "shared-cut")?.points ?? 0;
  if (
    shared + untold >
    leastShared * (cleaned.reason.reduce((sum, code) => sum + (code === 0 ? 1 : 0), 0) + untold)
  )
    findings.push(
      cutsShared(names(harvested), shared, untold, length(combineWidth.metres), length(drillWidth.metres)),
    );
  const raw = plainMeans(
    harvested.cloud,
    passes,
    withScale(
      clean(harvested.cloud, passes, signal, cuts, {
        ...wish,
        delayS: 0,
        off: new Set(harvestSteps as unknown as HarvestStep[]),
      }),
    ),
    ground.strips.length,
    request.crop,
  );
  const moves = order
    .map((s) => raw[s]! - sums.strips[s]!.mass / sums.strips[s]!.area)
    .filter(Number.isFinite);
  const withoutStep = request.eachStepOff
    ? offOneByOne(off, rank, sums, errors.standardErrors, (without, step) =>
        yieldsOf(
          withScale(
            clean(harvested.cloud, passes, signal, cuts, {
              ...wish,
              off: without,
              delayS: step === "delay" ? 0 : wish.delayS,
            }),
          ),
          without,
        ),
      )
    : [];
  const sheetSeason = Number(sheet?.rows[0]?.cells.season ?? NaN);
  const season = request.season ?? (Number.isFinite(sheetSeason) ? sheetSeason : seasonOf(harvested.cloud));
  if (season === null) findings.push(seasonUnknown(request.callWish));
  return {
    engineVersion,
    crop: request.crop,
    units: { system: request.system, currency: request.currency },
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
    scale,
    map: mapOf(harvested.cloud, passes, cleaned, sown.cloud, ground, order),
    findings: sortFindings(findings),
  };
}

/** Factors beyond this are far from what a monitor shows that was calibrated (common practice). */
const farFactor = 0.1;
/** As is a scatter of factors from load to load above this [%] (common practice). */
const muchScatterPct = 3;

/** What the scale says beside the monitor; null where nothing was weighed. */
function scaleOf(
  cloud: PointCloud,
  passes: Passes,
  cleaned: Cleaned,
  nameOfStrip: (strip: number) => string | null,
  { weighed, crop, system }: HarvestRequest,
  findings: Finding[],
): ScaleFactors | null {
  if (weighed === undefined || weighed === null) return null;
  const { file, use } = weighed;
  const read = readWeighed(file, crop, system);
  findings.push(...read.findings);
  const isDry = cloud.numbers.dryYield !== null;
  const { factors, unmet } = scaleFactors(cloud, passes, cleaned, read.loads, nameOfStrip, crop, isDry, use);
  if (unmet.length > 0)
    findings.push(
      weighedUnmet(
        file.name,
        unmet[0]!.of,
        unmet.map(({ name }) => name),
      ),
    );
  if (factors === null) return null;
  const far = factors.loads.filter(({ factor }) => Math.abs(factor - 1) > farFactor);
  if (far.length > 0)
    findings.push(
      scaleFar(
        file.name,
        factors.of,
        far.map(({ name, factor }) => [name, factor]),
      ),
    );
  if (factors.scatterPct !== null && factors.scatterPct > muchScatterPct)
    findings.push(scaleScatters(file.name, factors.scatterPct, factors.loads.length));
  return factors;
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
  // One number a cell: as far as the earth is round, rows are fewer than this.
  const rows = 2 ** 22;
  const keyOf = (column: number, row: number): number => column * rows + row;
  const counts = new Map<number, number>();
  for (let i = 0; i < cloud.count; i++) {
    const key = keyOf(Math.floor(cloud.numbers.x![i]! / cell), Math.floor(cloud.numbers.y![i]! / cell));
    counts.set(key, (counts.get(key) ?? 0) + 1);
  }
  let parts = 0;
  const seen = new Set<number>();
  for (const start of counts.keys()) {
    if (seen.has(start)) continue;
    let points = 0;
    const waiting = [start];
    seen.add(start);
    for (let key = waiting.pop(); key !== undefined; key = waiting.pop()) {
      points += counts.get(key)!;
      for (let dc = -2; dc <= 2; dc++) {
        for (let dr = -2; dr <= 2; dr++) {
          const next = key + keyOf(dc, dr);
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
  { delayS, off, callWish }: HarvestRequest,
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
  findings.push(delayAssumed(seconds, found.why, callWish));
  return { ...told, curve, seconds, how: "assumed", why: found.why };
}

/** Blocks may be so much smaller than a full set of treatments before strips are counted off instead. */
const smallBlock = 0.6;

/**
 * Block of each strip in order: a new one where a treatment comes again. Where treatments stand in no such sets, as many
 * strips with a yield as there are treatments are a block.
 */
function blocksByPlace(ground: SeededGround, order: readonly number[], { strips }: StripYields): number[] {
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
  sums: StripYields,
  standardErrors: (number | null)[],
  unscaled: StripYields | null,
): HarvestedStrip[] {
  const told: HarvestedStrip[] = [];
  const blocks = blocksByPlace(ground, order, sums);
  const spread = pointVariance(sums.strips);
  order.forEach((s, index) => {
    const [strip, sum] = [ground.strips[s]!, sums.strips[s]!];
    const row = rows?.[index] ?? null;
    // Strips that the sheet does not list are borders.
    if (rows !== null && row === null) return;
    const variety = row?.variety || strip.variety;
    const has = sum.area > 0 && sum.points > 0;
    const se = has ? standardErrors[s]! : null;
    told.push({
      position: row?.position ?? index + 1,
      block: row === null ? String(blocks[index]) : row.block,
      variety,
      rate: strip.rate,
      rateClass: strip.rateClass,
      yieldKgPerHa: has ? sum.mass / sum.area : null,
      standardErrorKgPerHa: se,
      points: sum.points,
      shared: sum.shared,
      worth: se === null || se === 0 ? null : Math.min(sum.points, Math.max(1, spread / se ** 2)),
      areaHa: has ? sum.area / 10_000 : 0,
      lengthM: strip.lengthM,
      moisturePct: sum.moistureArea > 0 ? sum.moisture / sum.moistureArea : null,
      sheet: row === null ? null : (row.cells as Record<string, string>),
      scaleFactor: has && unscaled !== null ? sum.mass / unscaled.strips[s]!.mass : null,
    });
  });
  return told;
}

function offOneByOne(
  off: ReadonlySet<HarvestStep>,
  rank: readonly number[],
  sums: StripYields,
  standardErrors: (number | null)[],
  yieldsWithout: (off: ReadonlySet<HarvestStep>, step: HarvestStep) => StripYields,
): Harvest["withoutStep"] {
  return (harvestSteps as unknown as HarvestStep[])
    .filter((step) => !off.has(step))
    .map((step) => {
      const { strips } = yieldsWithout(new Set([...off, step]), step);
      let [largest, moved, lost] = [0, 0, 0];
      for (const s of rank.keys()) {
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
  { reason, strip: stripAtPlace, share, yieldKgPerHa }: Cleaned,
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
      x: tidy(cloud.numbers.x![i]!),
      y: tidy(cloud.numbers.y![i]!),
      yieldKgPerHa: Number.isFinite(value) ? Math.round(value) : null,
      strip: position.get(stripAtPlace[k]!) ?? null,
      share: Math.round(1_000 * share[k]!) / 1_000,
      why:
        reason[k] === 0 ? null : (leftOutReasons[reason[k]! - 1] as HarvestMap["harvested"][number]["why"]),
    });
  }
  return { seeded, harvested };
}
