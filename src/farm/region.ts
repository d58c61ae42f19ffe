/** Farms of one region: what a farm shares, what the region learns from it, and a farm that uses the region. */
import { checkTrial } from "../check/index.ts";
import {
  alikeInRegion,
  farmInRegion,
  noEvidence,
  otherCrop,
  regionSpellsOtherwise,
  sameFarmTwice,
} from "../messages/region.ts";
import { farmEvidence, growingPlaces, marksOf } from "../model/region/farm-evidence.ts";
import { farmLikelihoods, regionGrid, type FarmLikelihood } from "../model/region/farm-likelihoods.ts";
import { regionOf, usualFewestFarms } from "../model/region/region-of.ts";
import { fitSeasons } from "../model/seasons/fit-seasons.ts";
import { readEvidence, readRegion } from "../read/region-files.ts";
import type { InputFile } from "../read/tables/input-file.ts";
import type { CropName } from "../vocabulary/crops.ts";
import type { EvidenceFile, Region, SharedFarm } from "../vocabulary/region.ts";
import { defaultsIn, type Settings } from "../vocabulary/settings.ts";
import { probablyOne, probableName } from "../vocabulary/spelling.ts";
import type { Farm } from "./farm.ts";
import type { Apart } from "./second-thread.ts";

/** A farm's evidence and whose it is; the name is not passed on. */
export interface NamedEvidence {
  name: string;
  crop: CropName;
  farm: SharedFarm;
}

type FarmStrips = Pick<Farm, "trial" | "settings" | "units">;

/** What a farm's strips say about its varieties, with no names but theirs and no level of yield. */
export function evidenceOf({ trial, settings, units }: FarmStrips): SharedFarm {
  const checked = checkTrial(trial, settings, units);
  const { fits } = fitSeasons(checked, { ...settings, forms: ["none"] });
  const places = growingPlaces(checked);
  return farmEvidence(fits.map((fit) => ({ ...fit, ...places.get(fit.environment)! })));
}

/**
 * The file that a farm shares.
 *
 * @throws TrialError `region-empty` where no variety has two rates side by side
 */
export function shareEvidence(farms: readonly FarmStrips[]): EvidenceFile {
  const [first] = farms;
  const shared = farms.map(evidenceOf).filter(({ sums }) => sums.length > 0);
  if (first === undefined || shared.length === 0) throw noEvidence();
  const contents = shared
    .map((farm) => ({ farm, content: JSON.stringify(farm) }))
    .sort((a, b) => (a.content < b.content ? -1 : 1));
  return {
    schema: "stripcurve-evidence-1",
    crop: first.settings.crop,
    farms: contents.map(({ farm }) => farm),
  };
}

/** Every farm of a file of evidence. */
export const namedEvidence = (file: InputFile): NamedEvidence[] => {
  const { crop, farms } = readEvidence(file);
  return farms.map((farm, f) => ({
    name: farms.length === 1 ? file.name : `${file.name}, farm ${f + 1}`,
    crop,
    farm,
  }));
};

export interface RegionChoices {
  priors?: Settings["priors"];
  /** Varieties grown on fewer farms than this are left out. */
  fewestFarms?: number;
}

export interface MadeRegion {
  region: Region;
  /** Remarks on it. */
  remarks: string[];
}

/**
 * The region of many farms.
 *
 * Strips that two farms hold count once, with the farm that holds more.
 *
 * @throws TrialError `region-empty` without a farm; `region-other-crop` where crops are mixed
 */
export function makeRegion(
  evidence: readonly NamedEvidence[],
  { priors = defaultsIn("us").priors, fewestFarms = usualFewestFarms }: RegionChoices = {},
): MadeRegion {
  const { farms, crop, remarks } = farmsOf(evidence);
  return { region: regionOf(farms, { crop, priors }, fewestFarms), remarks };
}

/** What farms' strips say about their varieties' needs, farm by farm. */
export function needsOnFarms(
  farms: readonly SharedFarm[],
  settings: Pick<Settings, "crop" | "priors">,
): FarmLikelihood[][] {
  const likelihoodsOf = farmLikelihoods(regionGrid(settings), settings);
  return farms.map((farm) => likelihoodsOf(farm));
}

/** The same as `makeRegion`, with half of the farms read in a second thread. */
export async function makeRegionBeside(
  works: Apart<{ needsOnFarms: typeof needsOnFarms }>,
  evidence: readonly NamedEvidence[],
  { priors = defaultsIn("us").priors, fewestFarms = usualFewestFarms }: RegionChoices = {},
): Promise<MadeRegion> {
  const { farms, crop, remarks } = farmsOf(evidence);
  const settings = { crop, priors };
  const there = farms.filter((_, f) => f % 2 === 1);
  const fromThere = works.needsOnFarms(there, settings);
  const here = farms.filter((_, f) => f % 2 === 0);
  const fromHere = needsOnFarms(here, settings);
  const likelihoods = [...fromHere, ...(await fromThere)];
  const known = new Map([...here, ...there].map((farm, f) => [farm, likelihoods[f]!]));
  return { region: regionOf(farms, settings, fewestFarms, known), remarks };
}

/** Every farm with the strips that count for it. */
function farmsOf(evidence: readonly NamedEvidence[]): {
  farms: SharedFarm[];
  crop: CropName;
  remarks: string[];
} {
  const first = evidence[0];
  if (first === undefined) throw noEvidence();
  for (const { name, crop } of evidence) if (crop !== first.crop) throw otherCrop(name, crop, first.crop);
  const remarks: string[] = [];
  const holder = new Map<string, string>();
  const farms: SharedFarm[] = [];
  const inOrder = [...evidence]
    .map((one) => ({ ...one, marks: marksOf(one.farm), content: JSON.stringify(one.farm) }))
    .sort(
      (a, b) =>
        b.marks.length - a.marks.length || (a.content < b.content ? -1 : a.content > b.content ? 1 : 0),
    );
  for (const { name, farm, marks } of inOrder) {
    const twice = marks.find((mark) => holder.has(mark));
    if (twice !== undefined) remarks.push(sameFarmTwice(holder.get(twice)!, name));
    const own = farm.sums.filter((_, i) => !holder.has(marks[i]!));
    marks.forEach((mark) => holder.set(mark, holder.get(mark) ?? name));
    if (own.length > 0) farms.push({ sums: own });
  }
  return { farms, crop: first.crop, remarks: [...remarks, ...alikeVarieties(farms)] };
}

/** Remarks on varieties whose names differ only by a probable misspelling. */
function alikeVarieties(farms: readonly SharedFarm[]): string[] {
  const farmsOf = new Map<string, number>();
  for (const { sums } of farms)
    for (const variety of new Set(sums.map((one) => one.variety)))
      farmsOf.set(variety, (farmsOf.get(variety) ?? 0) + 1);
  const names = [...farmsOf].map(([name, weight]) => ({ name, weight, uses: new Set<string>() }));
  return probablyOne(names).map((group) =>
    alikeInRegion(group.map((variety) => ({ variety, farms: farmsOf.get(variety)! }))),
  );
}

/** Varieties of the farm that the region may spell differently. */
function spelledOtherwise(
  { trial, settings }: Pick<Farm, "trial" | "settings">,
  known: readonly string[],
): string[] {
  const own = [...trial.strips, ...settings.lots].map(({ variety }) => variety);
  return [...new Set(own)].sort().flatMap((variety) => {
    const inRegion = known.includes(variety) ? null : probableName(variety, known);
    return inRegion === null ? [] : [regionSpellsOtherwise(variety, inRegion)];
  });
}

/**
 * The farm with its region in place of the prior of the need.
 *
 * @throws TrialError as `readRegion` does; `region-other-crop`
 */
export function leanOnRegion(farm: Farm, file: InputFile): Farm {
  const region = readRegion(file);
  if (region.crop !== farm.settings.crop) throw otherCrop(file.name, region.crop, farm.settings.crop);
  const { farms, unlike, varieties, grounds, water } = region;
  const inside = new Set(region.marks);
  const marks = farm.trial.strips.length === 0 ? [] : marksOf(evidenceOf(farm));
  const own = marks.filter((mark) => inside.has(mark)).length;
  return {
    ...farm,
    settings: { ...farm.settings, region: { farms, unlike, varieties, grounds, water } },
    remarks: [
      ...farm.remarks,
      ...(own === 0 ? [] : [farmInRegion(own, marks.length)]),
      ...spelledOtherwise(
        farm,
        varieties.map(({ variety }) => variety),
      ),
    ],
  };
}
