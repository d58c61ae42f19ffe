/** What speaks against a harvest's points: places, courses, widths, yields and moistures that cannot be of this machine or crop. */
import {
  coursesUnlike,
  moistureBeyondCrop,
  passesUnlike,
  pointsUnordered,
  stepsUnlike,
  yieldBelowCrop,
  yieldBeyondCrop,
} from "../messages/harvest.ts";
import { metresPerFoot, toBushelsPerAcre } from "../numbers/units.ts";
import { crops, type CropName } from "../vocabulary/crops.ts";
import type { Finding } from "../vocabulary/trial.ts";
import { middleOf } from "./middle.ts";
import { isInOrder, type Passes } from "./passes.ts";
import type { PointCloud } from "./point-cloud.ts";
import type { PointsRead } from "./read-points.ts";
import type { StripSum } from "./strip-yields.ts";
import { passSpacing, type WorkingWidth } from "./working-width.ts";

interface Machine {
  read: PointsRead;
  passes: Passes;
}

type System = "us" | "metric";

export const lengthTold = (m: number, system: System): string =>
  system === "us" ? `${(m / metresPerFoot).toFixed(0)} ft` : `${m.toFixed(1)} m`;

const fileOf = ({ cloud }: PointsRead): string => cloud.files.join(", ");

/** Steps by places and as logged are alike up to this factor: swapped degrees and feet for metres are farther apart. */
const stepsAlike = 1.3;

/** How far a machine went from point to point by its speed, else by its distances [m]; null where it logged neither. */
function loggedStep(
  { numbers: { speed, distance } }: PointCloud,
  { passAt, order, stepS }: Passes,
): number | null {
  const middle = (values: Float64Array): number =>
    middleOf(
      Float64Array.from(
        order.filter((_, k) => passAt[k]! >= 0),
        (i) => values[i]!,
      ).filter((value) => value > 0),
    );
  const step =
    speed !== null && stepS > 0 ? middle(speed) * stepS : distance === null ? NaN : middle(distance);
  return step > 0 ? step : null;
}

/** A course is another than the heading that was logged when it is farther off than this [degrees], for half of the points. */
const headingsAlike = 30;
/** Points in no pass, of those without times, that are more than this share do not stand in the order of the machine's way. */
const outOfOrder = 0.5;

/** Middle angle between the heading that was logged and the course by the places [degrees]; null where none was logged. */
function courseOff(
  { numbers: { heading } }: PointCloud,
  { order, passAt, east, north }: Passes,
): number | null {
  if (heading === null) return null;
  const degree = Math.PI / 180;
  const off: number[] = [];
  order.forEach((i, k) => {
    if (passAt[k]! < 0 || !(heading[i]! >= 0)) return;
    const [toNorth, toEast] = [Math.cos(heading[i]! * degree), Math.sin(heading[i]! * degree)];
    const ahead = toNorth * north[k]! + toEast * east[k]!;
    const aside = toNorth * east[k]! - toEast * north[k]!;
    if (ahead === ahead) off.push(Math.abs(Math.atan2(aside, ahead)) / degree);
  });
  return off.length === 0 ? null : middleOf(off);
}

const betweenPasses = ({ passAt }: Passes): number =>
  passAt.reduce((sum, pass) => sum + (pass < 0 ? 1 : 0), 0);

/** Whether points without times do not follow one another as the machine went. */
export const areUnordered = (cloud: PointCloud, passes: Passes): boolean =>
  !isInOrder(cloud) && betweenPasses(passes) > outOfOrder * cloud.count;

/** Whether a machine went as its file says: as far, in that direction, and point after point. */
export function courseDoubts({ read, passes }: Machine, system: System): Finding[] {
  const findings: Finding[] = [];
  const { cloud } = read;
  const logged = loggedStep(cloud, passes);
  if (logged !== null && Math.abs(Math.log(passes.stepM / logged)) > Math.log(stepsAlike))
    findings.push(stepsUnlike(fileOf(read), lengthTold(passes.stepM, system), lengthTold(logged, system)));
  const off = courseOff(cloud, passes);
  if (off !== null && off > headingsAlike) findings.push(coursesUnlike(fileOf(read), off));
  if (areUnordered(read.cloud, passes))
    findings.push(pointsUnordered(fileOf(read), betweenPasses(passes), cloud.count));
  return findings;
}

/** Neighbouring sections are looked for within so many of their widths. */
const sectionsWithin = 4;

/** Whether the drill's passes are as far from one another as it is wide. */
export function widthDoubts({ read, passes }: Machine, width: WorkingWidth, system: System): Finding[] {
  // Of many lines in a wide cell only some are looked at: sections need narrow ones.
  const within = read.cloud.names.section === null ? undefined : sectionsWithin * width.metres;
  const spacing = width.assumed ? null : passSpacing(read.cloud, passes, within);
  if (spacing === null || Math.abs(Math.log(spacing / width.metres)) <= Math.log(stepsAlike)) return [];
  return [passesUnlike(fileOf(read), lengthTold(spacing, system), lengthTold(width.metres, system))];
}

/** Yield that a strip in the middle of a field's does not pass, by crop [t/ha]; about twice a very good farm's (common practice). */
const hardlyTPerHa: Record<CropName, number> = {
  wheat: 14,
  durum: 12,
  barley: 13,
  oats: 12,
  rye: 13,
  soybean: 8,
  corn: 22,
  canola: 8,
  flax: 5,
};

/** Moisture at harvest that the middle of a field is between, by crop [%] (common practice). */
const usualMoisturePct: Record<CropName, readonly [number, number]> = {
  wheat: [7, 22],
  durum: [7, 22],
  barley: [7, 22],
  oats: [7, 22],
  rye: [7, 22],
  soybean: [6, 20],
  corn: [11, 38],
  canola: [4, 14],
  flax: [4, 14],
};

/** Less than this share of the yield that is hardly passed is not worth a combine's fuel (common practice). */
const hardlyHarvested = 1 / 30;

/** Whether yields and moistures are those of the crop. */
export function cropDoubts(
  read: PointsRead,
  strips: readonly StripSum[],
  { crop: name, system }: { crop: CropName; system: System },
): Finding[] {
  const findings: Finding[] = [];
  const crop = crops[name];
  const kgPerHa = middleOf(strips.filter(({ area }) => area > 0).map(({ mass, area }) => mass / area));
  const most = hardlyTPerHa[name] * 1_000;
  const told =
    system === "us"
      ? `${toBushelsPerAcre(kgPerHa, crop.poundsPerBushel).toFixed(0)} bu/ac`
      : `${(kgPerHa / 1_000).toFixed(1)} t/ha`;
  if (kgPerHa > most) findings.push(yieldBeyondCrop(fileOf(read), told, crop.name));
  if (kgPerHa < hardlyHarvested * most) findings.push(yieldBelowCrop(fileOf(read), told, crop.name));
  const { moisture } = read.cloud.numbers;
  const moisturePct = moisture === null ? NaN : middleOf(moisture.filter((pct) => pct > 0));
  const [driest, wettest] = usualMoisturePct[name];
  if (moisturePct < driest || moisturePct > wettest)
    findings.push(moistureBeyondCrop(fileOf(read), moisturePct, [driest, wettest], crop.name));
  return findings;
}
