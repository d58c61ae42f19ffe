/**
 * What farms of a region share, and what it comes to: evidence without a name, a place or a yield level, and a region's
 * needs with how unlike the farms are.
 *
 * Plain JSON. Rates in seeds/m²; yields as shares of their mean; logarithms are natural.
 */
import type { CropName } from "./crops.ts";
import type { GroundKind } from "./ground-words.ts";

/** Level of the intervals that a region tells. */
export const regionLevel = 0.8;
/** So much more water is what a change of the need with water is told for. */
export const moreWaterMm = 100;

/**
 * The strips of one variety in one field and season as a few sums, levels of blocks taken off: for a curve f at the rates,
 * the residual sum of squares is total − 2 Σ cross·f + Σ Σ f·weight·f. They are sufficient for every curve that is weighed.
 */
export interface SharedSums {
  variety: string;
  season: number;
  /** Number of the field within the farm, from 1; it names nothing. */
  field: number;
  strips: number;
  /** Distinct rates, rising, length K, and strips at each. */
  ratesSeedsPerM2: number[];
  counts: number[];
  /** Lower triangle of a K × K matrix, row by row, diagonal included: strips, less what the blocks take. */
  weight: number[];
  /** Length K: sums of yields less their block's mean, as shares of the mean yield. */
  cross: number[];
  /** Sum of squares of the same, and strips less blocks. */
  total: number;
  degrees: number;
  /** Kind of ground, and water that the crop could use, to the nearest inch; absent where the farm did not note them. */
  ground?: GroundKind;
  waterMm?: number;
}

/** One farm, nameless. */
export interface SharedFarm {
  sums: SharedSums[];
}

/** What `stripcurve share` writes: farms of one crop. */
export interface EvidenceFile {
  schema: "stripcurve-evidence-1";
  crop: CropName;
  farms: SharedFarm[];
}

/** One part of what is believed of a log need: a normal distribution with its share. */
export interface NormalPart {
  weight: number;
  logNeed: number;
  sd: number;
}

/** A stretch of what is believed of a variety's need, and how the variety answers to the rate there. */
export interface RegionPart extends NormalPart {
  /** Chances of the shapes of rise, in the order of `riseNames`; they sum to 1. */
  rises: number[];
  /** Share of yield lost at 0.6 of the need on a farm of the region, log-normal. */
  lossMedian: number;
  lossSdLog: number;
}

/** A variety over the farms of a region. */
export interface RegionVariety {
  variety: string;
  farms: number;
  seasons: number;
  strips: number;
  /** Lowest and highest rate tested anywhere, and how many different ones. */
  testedSeedsPerM2: [number, number];
  testedRates: number;
  /** Need of the variety on a middling farm, in middling seasons: middle, 80% interval, and the whole of it in parts. */
  needSeedsPerM2: number;
  lowerSeedsPerM2: number;
  upperSeedsPerM2: number;
  need: RegionPart[];
  /** How strongly it answers to the rate on a farm of the region, whatever the need, and the chance of no response. */
  lossMedian: number;
  lossSdLog: number;
  noResponseChance: number;
  /** Chance that yield never falls beyond the need, where it falls it falls as the priors state. */
  noDeclineChance: number;
}

/** How unlike the farms are: sds of log need of a usual farm as a whole, and of a variety on a farm besides; weights sum to 1. */
export interface FarmsUnlike {
  weight: number;
  farmSdLog: number;
  varietyOnFarmSdLog: number;
  /** Share of farms that are unlike all others in all their varieties. */
  oddFarmShare: number;
}

/** By how much a log need changes, over the farms that show it. */
export interface NeedShift {
  farms: number;
  /** Mean over the farms, and its 80% interval. */
  logShift: number;
  lower: number;
  upper: number;
  /** Standard error of the mean, and sd between farms. */
  sd: number;
  betweenFarmsSdLog: number;
}

/** The need on one kind of ground against another, by farms that grew a variety on both. */
export interface GroundShift extends NeedShift {
  ground: GroundKind;
  against: GroundKind;
}

/** The need with `moreWaterMm` more water, by farms that noted unlike seasons. */
export interface WaterShift extends NeedShift {
  seasons: number;
}

/** What a farm leans on. */
export interface RegionNeeds {
  farms: number;
  unlike: FarmsUnlike[];
  varieties: RegionVariety[];
  /** Each two kinds of ground once, in the order of their names. */
  grounds: GroundShift[];
  /** Null where too few farms noted water. */
  water: WaterShift | null;
}

/** What `stripcurve region` writes. */
export interface Region extends RegionNeeds {
  schema: "stripcurve-region-4";
  engineVersion: string;
  crop: CropName;
  strips: number;
  /** Varieties on fewer farms than this are left out. */
  fewestFarms: number;
  leftOut: { variety: string; farms: number }[];
  /** Marks of the strips inside, by which a farm that leans on the region finds its own; nothing can be read from them. */
  marks: string[];
}
