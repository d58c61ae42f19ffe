/** The words of a harvest as points: steps, reasons, and the strips that come of it. Plain data, without coordinates. */
import type { Finding } from "./trial.ts";

/** What can be switched off, in the order in which it is done. */
export const harvestSteps = [
  "delay",
  "no-grain",
  "speed",
  "swath",
  "overlap",
  "starts-and-ends",
  "far-out",
  "shares",
  "change-over",
  "moisture",
] as const;
export type HarvestStep =
  | "delay"
  | "no-grain"
  | "speed"
  | "swath"
  | "overlap"
  | "starts-and-ends"
  | "far-out"
  | "shares"
  | "change-over"
  | "moisture";

/** Why a point is left out; the first that holds is counted. */
export const leftOutReasons = [
  "header-up",
  "turning",
  "no-yield",
  "no-grain",
  "speed",
  "short-swath",
  "overlap",
  "start-of-pass",
  "end-of-pass",
  "far-out",
  "not-seeded",
  "shared-cut",
  "strip-end",
  "change-over",
] as const;
export type LeftOutReason =
  | "header-up"
  | "turning"
  | "no-yield"
  | "no-grain"
  | "speed"
  | "short-swath"
  | "overlap"
  | "start-of-pass"
  | "end-of-pass"
  | "far-out"
  | "not-seeded"
  | "shared-cut"
  | "strip-end"
  | "change-over";

/** One strip as harvested. The strip is the unit: its points say how well its mean is known, and are no observations. */
export interface HarvestedStrip {
  /** Order across the field, from the west or the south: 1, 2, 3 …. */
  position: number;
  block: string;
  variety: string;
  /** Viable seeds/m², or kg/ha where `rateIsWeight` of the harvest. */
  rate: number;
  rateClass: number;
  /** Seeds in a kilogram of the lot, where the drill's file says it. */
  seedsPerKg: number | null;
  /** At market moisture; null where no point was left. */
  yieldKgPerHa: number | null;
  standardErrorKgPerHa: number | null;
  /** Points used, and how many independent ones they are worth. */
  points: number;
  /** Those of them whose cut was shared with another strip. */
  shared: number;
  worth: number | null;
  areaHa: number;
  lengthM: number;
  moisturePct: number | null;
  /** Row of the field sheet, header → cell, where one was given. */
  sheet: Record<string, string> | null;
  /** Factor of the scale that is in the yield; null where the yield is the monitor's own. */
  scaleFactor: number | null;
}

/** Columns of a strips file made of points that are for its reader: no analysis weighs a strip by its points. */
export const harvestOnlyColumns = [
  "standard_error",
  "monitor_points",
  "points_worth",
  "yield_from",
  "scale_factor",
] as const;

/** Two rates next to each other are in two classes where the higher is above the lower by more than this, in logarithms. */
export const rateGap = 0.05;

/** Rates of strips that count as one. */
export interface RateClassTold {
  /** Middle of its points' rates, and the lowest and highest rate of a run in it; seeds/m², or kg/ha where `rateIsWeight`. */
  rate: number;
  lowest: number;
  highest: number;
  points: number;
  strips: number;
}

/** Two strips side by side, compared along their whole length. */
export interface NeighbourDifference {
  first: number;
  second: number;
  differenceKgPerHa: number;
  standardErrorKgPerHa: number;
}

/** How the monitor's yields are calibrated to the scale: not at all, all by one factor, or each weighed strip or pass by its own. */
export const scaleUses = ["none", "one", "each"] as const;
export type ScaleUse = "none" | "one" | "each";

export interface WeighedLoad {
  /** Position of the strip, or name of the pass. */
  name: string;
  /** As moist as the monitor's. */
  scaleKg: number;
  monitorKg: number;
  /** The scale's grain over the monitor's. */
  factor: number;
}

/** Weights of a weigh wagon beside the monitor's. */
export interface ScaleFactors {
  of: "strip" | "pass";
  use: ScaleUse;
  loads: WeighedLoad[];
  /** All grain weighed over what the monitor has of it. */
  factor: number;
  /** Standard deviation of the loads' factors, of their mean; null of one load. */
  scatterPct: number | null;
}

export interface DelayTold {
  seconds: number;
  how: "estimated" | "assumed" | "given" | "off";
  standardErrorS: number | null;
  pairs: number;
  /** Why it was not estimated; "" where it was. */
  why: string;
  curve: { seconds: number; disagreement: number }[];
}

/** Places for the map, in metres from the middle of the field; thinned to what a page can show. */
export interface HarvestMap {
  seeded: { x: number; y: number; strip: number }[];
  /** In the order of section and time; `strip` is null where no strip has the point. */
  harvested: {
    x: number;
    y: number;
    yieldKgPerHa: number | null;
    strip: number | null;
    /** How much of the cut lies in that strip, of what lies in strips. */
    share: number;
    why: LeftOutReason | null;
  }[];
}

export interface Harvest {
  engineVersion: string;
  crop: string;
  units: { system: "us" | "metric"; currency: string };
  season: number | null;
  farm: string;
  field: string;
  strips: HarvestedStrip[];
  differences: NeighbourDifference[];
  rateIsWeight: boolean;
  /** Lowest first. */
  rateClasses: RateClassTold[];
  delay: DelayTold;
  combineWidthM: number;
  drillWidthM: number;
  passes: number;
  pointsRead: number;
  pointsUsed: number;
  leftOut: { reason: LeftOutReason; points: number }[];
  withoutPlace: number;
  /** Range of the correlation along strips [m] and the share of it that is noise from cell to cell. */
  correlation: { rangeM: number; noise: number } | null;
  /** Largest move of a strip's yield, and how many move by more than their standard error, with the step left off. */
  withoutStep: { step: HarvestStep; largestMoveKgPerHa: number; moved: number; stripsLost: number }[];
  rawDifference: { largestKgPerHa: number; meanAbsKgPerHa: number };
  switchedOff: HarvestStep[];
  /** Null where nothing was weighed. */
  scale: ScaleFactors | null;
  map: HarvestMap;
  findings: Finding[];
}
