/** The points of combine and drill, each in its passes and with its working width. */
import {
  columnNowhere,
  combinesSeveral,
  nothingSeeded,
  onePassOnly,
  partsApart,
  placesCoarse,
  placesRounded,
  placesUnlike,
  pointsRepeated,
  ratesMissing,
  sectionsUntold,
  timesCoarse,
  twoSeededFields,
  widthAssumed,
} from "../messages/harvest.ts";
import { answerKey } from "../read/answers/answers.ts";
import type { InputFile } from "../read/tables/input-file.ts";
import type { Finding } from "../vocabulary/trial.ts";
import { areUnordered, courseDoubts, lengthTold, widthDoubts } from "./harvest-doubts.ts";
import type { HarvestRequest } from "./harvest-request.ts";
import { middleOf } from "./middle.ts";
import { findPasses, type Passes } from "./passes.ts";
import type { PointCloud } from "./point-cloud.ts";
import { withoutRepeats } from "./repeated-points.ts";
import { machinesAtOnce } from "./machines-at-once.ts";
import { spreadTimes } from "./row-times.ts";
import { isNarrower } from "./strip-raster.ts";
import { placeAll, readPoints, type PointsRead } from "./read-points.ts";
import { passWidths, workingWidth, type WorkingWidth } from "./working-width.ts";

/** One machine's points in the order that it drove. */
export interface Machine {
  read: PointsRead;
  passes: Passes;
  /** Usual working width, and that of each pass [m]. */
  widthM: number;
  fullM: Float64Array;
}

export interface Machines {
  combine: Machine;
  /** The combine itself where its file holds the seeding rate as well. */
  drill: Machine;
  /** Whether places meet once latitude and longitude of one are exchanged, though they do not as they are. */
  swapped: boolean;
}

export const namesOf = ({ cloud }: PointsRead): string => cloud.files.join(", ");

/** Fields are apart that lie farther from one another than this [m]. */
const apartM = 300;

/**
 * @param findings  what is doubtful is added
 * @throws TrialError where no rate was seeded, places are of two kinds, fields are two, or passes fewer than two
 */
export async function readMachines(
  yieldFiles: readonly InputFile[],
  seededFiles: readonly InputFile[],
  request: HarvestRequest,
  findings: Finding[],
): Promise<Machines> {
  const harvested = await readPoints(yieldFiles, request);
  const sown = seededFiles.length === 0 ? harvested : await readPoints(seededFiles, request);
  const reads = sown === harvested ? [harvested] : [harvested, sown];
  for (const read of reads) findings.push(...read.findings, ...onceEach(read), ...finerTimes(read));
  findings.push(...namedNowhere(reads, request));
  if (sown.cloud.numbers.rate === null) throw nothingSeeded(namesOf(sown));
  if (sown.inDegrees !== harvested.inDegrees)
    throw placesUnlike(namesOf(harvested), namesOf(sown), harvested.inDegrees);
  const swapped = sown !== harvested && meetSwapped(harvested, sown);
  placeAll(sown === harvested ? [harvested] : [sown, harvested]);
  if (sown.withoutRate + sown.withRateZero > 0)
    findings.push(
      ratesMissing(namesOf(sown), sown.rateHeader ?? "rate", sown.withoutRate, sown.withRateZero),
    );
  return { ...inPasses(harvested, sown, request, findings), swapped };
}

/** Headers that somebody said the meaning of, and that no file has. */
function namedNowhere(
  reads: readonly PointsRead[],
  { columns = {}, callWish }: Pick<HarvestRequest, "columns" | "callWish">,
): Finding[] {
  const headers = [...new Set(reads.flatMap((read) => read.headers))];
  const known = new Set(headers.map(answerKey));
  return Object.keys(columns)
    .filter((named) => !known.has(answerKey(named)))
    .map((named) => columnNowhere(named, headers, callWish));
}

/** Takes out of what was read what is there twice. */
function onceEach(read: PointsRead): Finding[] {
  const { cloud, repeated } = withoutRepeats(read.cloud);
  // A machine that stood logs the same again and again, and is told otherwise.
  if (repeated === 0 || cloud.count < fewestOwn * read.cloud.count) return [];
  read.cloud = cloud;
  read.rowsRead -= repeated;
  return [pointsRepeated(namesOf(read), repeated)];
}
/** Spreads times that several points share over them. */
function finerTimes(read: PointsRead): Finding[] {
  const cutTo = spreadTimes(read.cloud);
  return cutTo === null ? [] : [timesCoarse(namesOf(read), cutTo)];
}

/** Of the points of files that were given several times, at least so many are their own. */
const fewestOwn = 0.05;

function inPasses(
  harvested: PointsRead,
  sown: PointsRead,
  request: HarvestRequest,
  findings: Finding[],
): Pick<Machines, "combine" | "drill"> {
  const combine = { read: harvested, passes: findPasses(harvested.cloud) };
  const drill = sown === harvested ? combine : { read: sown, passes: findPasses(sown.cloud) };
  const machines = drill === combine ? [combine] : [combine, drill];
  for (const { passes } of machines) findings.push(...passes.findings);
  for (const { read } of machines) findings.push(...roundedDoubts(read, request));
  const { length: passes } = combine.passes.passes;
  if (passes < 2)
    throw onePassOnly(namesOf(harvested), areUnordered(harvested.cloud, combine.passes) ? 0 : passes);
  checkParts(harvested, sown, request, findings);
  for (const machine of machines) findings.push(...courseDoubts(machine, request.system));
  const drillWidth = widthOf(drill, request.drillWidthM);
  const combineWidth = widthOf(combine, request.combineWidthM);
  for (const [width, name, { read }] of [
    [drillWidth, "drill", drill],
    [combineWidth, "combine", combine],
  ] as const)
    if (width.assumed)
      findings.push(widthAssumed(namesOf(read), lengthTold(width.metres, request.system), name));
  findings.push(...widthDoubts(drill, drillWidth, request.system));
  findings.push(...combineDoubts(combine, request));
  if (drill !== combine) findings.push(...sectionDoubts(drill, drillWidth.metres, request));
  return {
    combine: ofWidth(combine, combineWidth.metres, request.combineWidthM !== null),
    drill: ofWidth(drill, drillWidth.metres, request.drillWidthM !== null),
  };
}

/** Sections that were off at this share of the points are worth a word. */
const someNarrower = 0.01;

/** Whether the drill worked narrower than it is, and nothing says on which side. */
function sectionDoubts(
  { read: { cloud }, passes }: Pick<Machine, "read" | "passes">,
  widthM: number,
  { drillWidthM, system }: HarvestRequest,
): Finding[] {
  const fullM = passWidths(cloud, passes, widthM, drillWidthM !== null);
  const narrower = passes.order.filter((i, k) => {
    const pass = passes.passAt[k]!;
    return pass >= 0 && isNarrower(cloud, i, fullM[pass]!);
  }).length;
  if (narrower <= someNarrower * cloud.count) return [];
  return [sectionsUntold(cloud.files.join(", "), narrower, lengthTold(widthM, system))];
}

/** Whether several combines were at work in the same hours. */
function combineDoubts({ read }: Pick<Machine, "read">, { weighed }: HarvestRequest): Finding[] {
  const machines = machinesAtOnce(read.cloud);
  return machines.length < 2 ? [] : [combinesSeveral(namesOf(read), machines, (weighed ?? null) !== null)];
}

const ofWidth = (machine: Pick<Machine, "read" | "passes">, widthM: number, isTold: boolean): Machine => ({
  ...machine,
  widthM,
  fullM: passWidths(machine.read.cloud, machine.passes, widthM, isTold),
});

/** Places that are rounded to this show no passes [m]. */
const coarseM = 5;
/** Places that are rounded to this are worth a word [m]. */
const roundedM = 0.9;

/** @throws TrialError `places-coarse` */
function roundedDoubts({ cloud }: PointsRead, { system }: HarvestRequest): Finding[] {
  const told = lengthTold(cloud.roundedM, system);
  if (cloud.roundedM >= coarseM) throw placesCoarse(cloud.files.join(", "), told);
  return cloud.roundedM >= roundedM ? [placesRounded(cloud.files.join(", "), told)] : [];
}

function widthOf({ read, passes }: Pick<Machine, "read" | "passes">, given: number | null): WorkingWidth {
  const width = workingWidth(read.cloud, passes, given);
  if (width === null) throw onePassOnly(namesOf(read), passes.passes.length);
  return width;
}

function meetSwapped(a: PointsRead, b: PointsRead): boolean {
  if (!a.inDegrees || !b.inDegrees) return false;
  const [ax, ay] = [middleOf(a.cloud.numbers.x!.slice(0, 1000)), middleOf(a.cloud.numbers.y!.slice(0, 1000))];
  const [bx, by] = [middleOf(b.cloud.numbers.x!.slice(0, 1000)), middleOf(b.cloud.numbers.y!.slice(0, 1000))];
  const near = (x: number, y: number): boolean => Math.hypot(x - bx, y - by) < 0.2;
  return !near(ax, ay) && near(ay, ax);
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

function checkParts(
  harvested: PointsRead,
  sown: PointsRead,
  { callWish }: HarvestRequest,
  findings: Finding[],
): void {
  const parts = partsOf(sown.cloud);
  if (parts > 1) throw twoSeededFields(namesOf(sown), apartM, callWish);
  const cut = sown === harvested ? 1 : partsOf(harvested.cloud);
  if (cut > 1) findings.push(partsApart(namesOf(harvested), cut, apartM));
}
