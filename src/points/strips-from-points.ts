/**
 * The way from points to strips, in its steps: machines in their passes → sown strips → delay, cleaning and one yield per strip.
 *
 * Points never become observations: what leaves here is one yield a strip, and how well it is known.
 */
import {
  cutsShared,
  seasonUnknown,
  stripsShort,
  stripsWithoutPoints,
  varietyUnknown,
} from "../messages/harvest.ts";
import { sortFindings } from "../messages/finding.ts";
import type { InputFile } from "../read/tables/input-file.ts";
import { leftOutReasons, type Harvest, type HarvestedStrip } from "../vocabulary/harvest.ts";
import type { Finding } from "../vocabulary/trial.ts";
import { engineVersion } from "../version.ts";
import { readFieldSheet } from "./field-sheet.ts";
import { lengthTold } from "./harvest-doubts.ts";
import type { HarvestRequest } from "./harvest-request.ts";
import { harvestedStrips, measuredYields, type HarvestedStrips } from "./harvested-strips.ts";
import { limits } from "./limits.ts";
import { namesOf, readMachines, type Machines } from "./machines.ts";
import { middleOf } from "./middle.ts";
import type { PointCloud } from "./point-cloud.ts";
import { sownStrips } from "./sown-strips.ts";
import { mapOf, offOneByOne, tellStrips } from "./tell-strips.ts";

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
  const machines = await readMachines(yieldFiles, seededFiles, request, findings);
  const signal = measuredYields(machines.combine);
  const sheet = sheetFile && { file: sheetFile, ...readFieldSheet(sheetFile, request.crop, request.field) };
  const sown = sownStrips(machines, sheet, findings);
  const cut = harvestedStrips(machines.combine, signal, sown, request, findings);
  const strips = tellStrips(sown, cut, request.variety ?? "");
  const told = sheet?.rows[0]?.cells ?? {};
  const season = request.season ?? seasonOnSheet(told.season) ?? seasonOf(machines.combine.read.cloud);
  const points = countPoints(cut);
  findings.push(...stripDoubts(strips, request), ...sharedDoubts(machines, cut, points, request));
  if (season === null) findings.push(seasonUnknown(request.callWish));
  const { combine, drill } = machines;
  return {
    engineVersion,
    crop: request.crop,
    units: { system: request.system, currency: request.currency },
    season,
    farm: request.farm || (told.farm ?? ""),
    field: request.field || (told.field ?? ""),
    strips,
    differences: cut.errors.differences,
    rateIsWeight: drill.read.cloud.rateIsWeight,
    rateClasses: sown.ground.classes.map(({ rate, from, to, points }, index) => ({
      rate,
      lowest: from,
      highest: to,
      points,
      strips: strips.filter(({ rateClass }) => rateClass === index).length,
    })),
    delay: cut.delay,
    combineWidthM: combine.widthM,
    drillWidthM: drill.widthM,
    passes: combine.passes.passes.length,
    pointsRead: combine.read.rowsRead,
    pointsUsed: points.used,
    leftOut: points.leftOut,
    withoutPlace: combine.read.withoutPlace,
    correlation: cut.errors.correlation && {
      rangeM: cut.errors.correlation.rangeM,
      noise: cut.errors.correlation.noise,
    },
    withoutStep: request.eachStepOff ? offOneByOne(new Set(request.off), cut) : [],
    rawDifference: fromRaw(cut, sown.order),
    switchedOff: [...request.off],
    scale: cut.scale,
    map: mapOf(machines, sown, cut),
    findings: sortFindings(findings),
  };
}

/** Every point of the harvest is used, or left out for one reason. */
interface PointCounts {
  used: number;
  leftOut: Harvest["leftOut"];
}

function countPoints({ cleaned }: HarvestedStrips): PointCounts {
  const counts = new Array<number>(leftOutReasons.length + 1).fill(0);
  for (const code of cleaned.reason) counts[code]!++;
  const [used, ...leftOut] = counts;
  return {
    used: used!,
    leftOut: leftOutReasons
      .map((reason, index) => ({ reason, points: leftOut[index]! }))
      .filter(({ points }) => points > 0),
  };
}

/** Strips shorter than so many times what is left out at each end have little left. */
const endsInShort = 4;

function stripDoubts(
  strips: readonly HarvestedStrip[],
  { callWish, system, off }: HarvestRequest,
): Finding[] {
  const lengthM = middleOf(strips.map((strip) => strip.lengthM));
  const areShort = lengthM < endsInShort * limits.insideM && !off.includes("change-over");
  const empty = strips.filter(({ yieldKgPerHa }) => yieldKgPerHa === null);
  return [
    ...(strips.every(({ variety }) => variety === "") ? [varietyUnknown(callWish)] : []),
    ...(areShort ? [stripsShort(lengthTold(lengthM, system), limits.insideTold[system])] : []),
    ...(empty.length > 0 ? [stripsWithoutPoints(empty.map(({ position }) => position))] : []),
  ];
}

function sharedDoubts(
  { combine, drill }: Machines,
  cut: HarvestedStrips,
  { used, leftOut }: PointCounts,
  { system }: HarvestRequest,
): Finding[] {
  const shared = cut.sums.strips.reduce((sum, one) => sum + one.shared, 0);
  const untold = leftOut.find(({ reason }) => reason === "shared-cut")?.points ?? 0;
  if (shared + untold <= leastShared * (used + untold)) return [];
  const width = (metres: number): string => lengthTold(metres, system);
  return [cutsShared(namesOf(combine.read), shared, untold, width(combine.widthM), width(drill.widthM))];
}

/** How far yields lie from plain means of all points. */
function fromRaw({ raw, sums }: HarvestedStrips, order: readonly number[]): Harvest["rawDifference"] {
  const moves = order
    .map((s) => {
      const { mass, area } = sums.strips[s]!;
      return Math.abs(raw[s]! - mass / area);
    })
    .filter(Number.isFinite);
  if (moves.length === 0) return { largestKgPerHa: 0, meanAbsKgPerHa: 0 };
  return {
    largestKgPerHa: Math.max(...moves),
    meanAbsKgPerHa: moves.reduce((sum, one) => sum + one, 0) / moves.length,
  };
}

function seasonOnSheet(told: string | undefined): number | null {
  const season = Number(told?.trim() || NaN);
  return Number.isFinite(season) ? season : null;
}

/** The year of the first time that is a date. */
function seasonOf(cloud: PointCloud): number | null {
  const first = cloud.numbers.time?.find((time) => time > 0) ?? 0;
  // Seconds since 1970; below 1980 they count from something else.
  return first < 10 * 31_556_952 ? null : 1970 + Math.floor(first / 31_556_952);
}
