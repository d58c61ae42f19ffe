/**
 * Next season's strips: what is asked of the planner, and its proposal as one plain-JSON object.
 *
 * Same rules as `result.ts`: rates in seeds/m², yields in kg/ha, money per hectare, lengths in metres; no NaN, no clock.
 */
import type { SeedsPerM2 } from "../numbers/units.ts";
import type { Interval, NextRate, Sowing, StripAdvice } from "./result.ts";
import type { SeedUnit, Settings, UnitChoice } from "./settings.ts";

/**
 * How treatments lie inside a block.
 * `blocks`: every strip in random order. `varieties-in-strips`: a variety's strips lie together, its rates in random
 * order (split plot; the drill is emptied once a variety). `rates-in-strips`: strips of one rate level lie together,
 * varieties in random order inside.
 */
export type LayoutKind = "blocks" | "varieties-in-strips" | "rates-in-strips";

/** The ground and the machines. */
export interface Ground {
  /** Length of a run between headlands, along the strips. */
  fieldLengthM: number;
  /** Room across the strips. */
  fieldWidthM: number;
  drillWidthM: number;
  /** Width of the combine's full cut. */
  harvestWidthM: number;
  /** Seeded ground left standing on each side of the cut. */
  edgeM: number;
  /** Unharvested length between two rows of blocks, where blocks lie one behind the other. */
  alleyM: number;
  /** Strips shorter than this are not laid out. */
  shortestStripM: number;
  /** Border strips on each side of a row of blocks. */
  borderStrips: number;
}

export interface PlanRequest {
  farm: string;
  field: string;
  season: number;
  /** Empty: the varieties of the past strips and lots, those with most to learn first, as many as fit. */
  varieties: string[];
  ground: Ground;
  layout: LayoutKind;
  /** Null: the planner chooses. */
  blocks: number | null;
  ratesPerVariety: number | null;
  /** Rates the person has set for every variety; null: the planner chooses. */
  ratesSeedsPerM2: SeedsPerM2[] | null;
  /** Ends of the rates that may be tried; null: from half to 1.75 times the crop's usual rate. */
  lowestRateSeedsPerM2: SeedsPerM2 | null;
  highestRateSeedsPerM2: SeedsPerM2 | null;
  /** Strips one is willing to plant, borders not counted; null: as many as 4 blocks of 5 rates need. */
  mostStrips: number | null;
  /** Yield to assume; null: the mean of the past strips. */
  expectedYieldKgPerHa: number | null;
  /** Gain that is worth seeing [money/ha]. */
  gainPerHa: number;
  /** Work and trouble of one strip, in money. */
  costPerStrip: number;
  /** Seasons that the answer is used for. */
  seasonsUsed: number;
  /** Which of the last two nobody gave; left out where both were. */
  assumed?: ("costPerStrip" | "seasonsUsed")[];
}

/** What a trial is expected to find out about one variety. */
export interface TrialFinds {
  /** Expected width of the 80% interval of the economic optimum when the trial is in. */
  intervalWidthSeedsPerM2: number;
  /** Money that the better decision is expected to bring in one season [per ha], and its simulation error. */
  valuePerHa: number;
  valueStandardErrorPerHa: number;
  /** Chance that the trial makes a rate 80% sure to beat today's, where one truly beats it by the asked gain; null where that is too rare to simulate. */
  chanceToSeeGain: number | null;
}

/** One set of rates. */
export interface RateDesign {
  ratesSeedsPerM2: number[];
  finds: TrialFinds;
  /** D-efficiency for a quadratic over the rates that may be tried, 0 to 1. */
  dEfficiency: number;
}

export interface VarietyPlan {
  variety: string;
  rateNowSeedsPerM2: number;
  /** Lowest and highest rate tested so far; null without strips. */
  testedSeedsPerM2: [number, number] | null;
  /** Chance of too much lodging in a season at the highest tested rate; null where the strips do not say. */
  lodgingChanceAtHighest: number | null;
  /** Area that the answer is used on; null where the lot does not say. */
  areaHa: number | null;
  /** Strips and environments that are known of it. */
  pastStrips: number;
  pastEnvironments: number;
  now: {
    economicOptimumSeedsPerM2: number;
    intervalSeedsPerM2: [number, number];
    /** The same as the report names it, open ends included; null where it names none. */
    range: Interval | null;
    /** Money lost by not knowing the best rate [per ha and season]: the most any trial could bring. */
    valueOfKnowingAllPerHa: number;
    /** Chance that some rate beats today's by the asked gain. */
    chanceOfGain: number;
    /** Chance that the economic optimum as it stands beats today's rate by anything. */
    chanceToBeatNow: number;
  };
  /** To be planted: the rates the person has set, else the searched ones where they are clearly better, else the habit. */
  chosen: RateDesign;
  /** As many rates, evenly apart: the habit. */
  habit: RateDesign;
  /** The rates that a search found to narrow the answer most; null where the person has set them. */
  searched: RateDesign | null;
}

/** What a comparison of two rate means of one variety could show in this trial alone, at `settings.testLevel`. */
export interface PairTest {
  errorSdKgPerHa: number;
  errorDf: number;
  /** Least significant difference, and the same in grain money; null without error degrees of freedom. */
  lsdKgPerHa: number | null;
  lsdPerHa: number | null;
  /** Chance that a difference of the asked gain shows as significant. */
  power: number | null;
}

/** One size of trial, summed or averaged over its varieties. */
export interface PlanOption {
  blocks: number;
  ratesPerVariety: number;
  strips: number;
  fits: boolean;
  intervalWidthSeedsPerM2: number;
  chanceToSeeGain: number | null;
  valuePerHa: number;
  /** Value on the area it is used on over `seasonsUsed`; null while an area is unknown. */
  value: number | null;
  /** Work of the strips, and grain money lost on strips at other than the best rate. */
  cost: number;
  /** Whether the value is worth the cost; null while an area is unknown. */
  pays: boolean | null;
  test: PairTest;
}

export interface PlannedStrip {
  /** Name on the stake: unique in the trial. */
  label: string;
  /** Row of blocks along the field, 1, 2, …. */
  tier: number;
  /** Order across the field inside its tier, borders counted. */
  position: number;
  /** "" for a border strip. */
  block: string;
  border: boolean;
  variety: string;
  rateSeedsPerM2: number;
  /** Corner nearest to the field's corner, and size. */
  acrossM: number;
  alongM: number;
  widthM: number;
  lengthM: number;
  sowing: Sowing | null;
}

export interface PlannedLayout {
  kind: LayoutKind;
  blocks: number;
  tiers: number;
  /** Drill passes in a strip. */
  passes: number;
  stripWidthM: number;
  stripLengthM: number;
  harvestWidthM: number;
  /** Area cut for the yield of one strip. */
  harvestAreaHa: number;
  usedWidthM: number;
  usedLengthM: number;
  strips: PlannedStrip[];
}

/** One simulated outcome of the proposed trial, put through the whole analysis together with the past strips. */
export interface SimulatedOutcome {
  /** Where the simulated truth lies among what is believed: a low, a middling and a high need of seed. */
  truth: "low" | "middle" | "high";
  /** Varieties whose strips were simulated: all that are planted, or of many a few. */
  simulated: string[];
  /** Whether they were analyzed without the strips of other varieties. */
  alone: boolean;
  varieties: {
    variety: string;
    trueEconomicOptimumSeedsPerM2: number;
    next: Pick<
      NextRate,
      | "rateNowSeedsPerM2"
      | "rateNextSeedsPerM2"
      | "economicOptimum"
      | "gainPerHa"
      | "chanceOfGain"
      | "evidence"
    >;
  }[];
}

/** Seed that the planned strips of a variety take, borders included. */
export interface SeedNeeded {
  variety: string;
  strips: number;
  areaHa: number;
  /** Null while the lot's seeds per weight are not known. */
  kg: number | null;
  /** In what the lot is sold in, not rounded to whole ones; null where its price does not say. */
  sold: { unit: SeedUnit; amount: number } | null;
}

export interface StripPlan {
  schema: "stripcurve-plan-1";
  engineVersion: string;
  units: UnitChoice;
  settings: Settings;
  request: PlanRequest;
  varieties: VarietyPlan[];
  /** Varieties that the strips do not reach, or that are not worth them. */
  leftOut: string[];
  chosen: PlanOption;
  options: PlanOption[];
  layout: PlannedLayout;
  /** In the order of the varieties; to be ordered besides what the fields take. */
  seedNeeded: SeedNeeded[];
  /** Which varieties need strips: at the usual prices the same as the report's. */
  advice: StripAdvice[];
  outcomes: SimulatedOutcome[];
}

/** Columns of a field sheet that are for whoever seeds: they come back with the strips and are not read. */
export const sheetOnlyColumns = [
  "strip",
  "drill_setting",
  "seeds_per_foot_of_row",
  "seeds_per_metre_of_row",
] as const;
