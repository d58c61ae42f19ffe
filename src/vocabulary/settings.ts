/**
 * Every choice of an analysis with its default, in the engine's units.
 *
 * The season file (`read/season.ts`) says the same choices in the person's words and units.
 */
import { crops, standLossOf, type Crop, type CropName } from "./crops.ts";
import type { RegionNeeds } from "./region.ts";
import type { LodgingScale } from "./trial.ts";
import { nearestStep } from "../numbers/written-numbers.ts";
import { fromMoneyPerAcre, fromPerAcre, fromPricePerBushel } from "../numbers/units.ts";

/** Choices with a default that money or seed rests on: told as assumed where nobody gave them. */
export const assumable = [
  "grain_price",
  "seed_price",
  "row_spacing",
  "stand_loss",
  "late_per_day",
  "lodging_limit",
  "largest_step",
  "best_seeding_date",
  "planned_seeding_date",
] as const;
export type Assumable = (typeof assumable)[number];

/** The shares of a lot that are taken as 100% where nobody gave them. */
export type LotAssumable = "germination_pct" | "purity_pct";

/** How the person wants numbers told. */
export interface UnitChoice {
  system: "us" | "metric";
  currency: string;
}

/** What seed is sold in, as its price says: a bushel, a bag of 50 lb, a unit of 80,000 seeds. */
export interface SeedUnit {
  /** "bu", "bag", "million seeds"; "" where only a size is said, such as a price per 100 kg. */
  noun: string;
  /** What one holds where the noun does not say it, as written: "50 lb"; else "". */
  size: string;
  /** The same as kg, or as thousand seeds as bought; one of them is null. */
  kg: number | null;
  thousandSeeds: number | null;
}

/** A bag of seed: what one variety costs and weighs next season. */
export interface Lot {
  variety: string;
  rateNowSeedsPerM2: number | null;
  /** No rate below is advised; null: the settings' own holds. */
  lowestRateSeedsPerM2: number | null;
  /** The rate that came with the variety, from its supplier or tag; null where none was given. */
  recommendedSeedsPerM2: number | null;
  seedsPerKg: number | null;
  /** Shares, 0 to 1. */
  germination: number;
  purity: number;
  /** Which of these two nobody gave; left out where both were. */
  assumed?: LotAssumable[];
  /** Money per kg of seed as bought, treatment included; null where seed is not sold by weight or has no price. */
  pricePerKg: number | null;
  /** Money per thousand seeds as bought, treatment included; null where seed is not sold by count. */
  pricePerThousandSeeds: number | null;
  /** What the price is for; null without a price. */
  soldIn: SeedUnit | null;
  treated: boolean;
  /** Area to be sown with it, for the order; null where not said. */
  areaHa: number | null;
}

/** A lot that nobody has described yet: pure seed that all germinates, without size, price or area. */
export const unknownLot = (variety: string): Lot => ({
  variety,
  rateNowSeedsPerM2: null,
  lowestRateSeedsPerM2: null,
  recommendedSeedsPerM2: null,
  seedsPerKg: null,
  germination: 1,
  purity: 1,
  assumed: ["germination_pct", "purity_pct"],
  pricePerKg: null,
  pricePerThousandSeeds: null,
  soldIn: null,
  treated: false,
  areaHa: null,
});

/** A lot with what somebody gives of it; a germination or purity that is given is no longer assumed. */
export function withGiven(lot: Lot, given: Partial<Lot>): Lot {
  const { assumed = [], ...rest } = { ...lot, ...given };
  const left = assumed.filter(
    (column) => given[column === "germination_pct" ? "germination" : "purity"] === undefined,
  );
  return left.length === 0 ? rest : { ...rest, assumed: left };
}

/**
 * Weak beliefs on lodging that the scores start from, in log odds: normal for a variety's mean level and for the slope over
 * two standard deviations of the rates; half-normal scales for the spreads of seasons, fields in a season, varieties in a
 * field, and varieties' slopes.
 */
export interface LodgingPriors {
  levelMean: number;
  levelSd: number;
  slopeSd: number;
  seasonSpread: number;
  fieldSpread: number;
  varietySpread: number;
  slopeSpread: number;
}

/** Weak beliefs that the decision starts from. The report states them; `flat` lets all response curves count alike. */
export interface Priors {
  flat: boolean;
  /** Rate where the rise of yield ends; null: midway between the crop's usual rate and the middle of those tested. */
  needSeedsPerM2: number | null;
  needSdLog: number;
  /** Sd of log need between the varieties of a farm, part of `needSdLog`. */
  needBetweenSdLog: number;
  /** Share of yield lost at 0.6 of the need, median and sd of its logarithm. */
  lossMedian: number;
  lossSdLog: number;
  /** Chance that yield never falls at high rates; else median and sd of the logarithm of the share lost. */
  noDeclineChance: number;
  declineMedian: number;
  declineSdLog: number;
  /** Half-normal scale of the season-to-season spread of log need. */
  seasonSpread: number;
  /** The same of the spread between the fields of a season, and of what lasts from season to season between fields. */
  fieldInSeasonSpread: number;
  fieldSpread: number;
  /** Sd of how strongly yield answers to the rate in an environment, as a share. */
  strengthSpread: number;
  /** Correlation between environments of what no curve gets right. */
  misfitCorrelation: number;
  /** Sd in log by which the need of a variety lies from the rate that came with it, where a lot gives one: our choice. */
  recommendedSdLog: number;
  noResponseChance: number;
  /** Sd of a strip by chance, as a share of the yield, where strips do not say; it counts for four degrees of freedom. */
  stripError: number;
  lodging: LodgingPriors;
}

/** The response forms that are fitted to strips, from the plainest to the most bent. */
export const formNames = ["none", "linear", "quadratic", "linear-plateau", "quadratic-plateau"] as const;
export type FormName = (typeof formNames)[number];

/** Premium (positive) or discount (negative) at a protein content; between two entries it runs straight. */
export interface ProteinStep {
  proteinPct: number;
  premiumPerKg: number;
}

export interface Settings {
  crop: CropName;
  /** Which of these choices nobody gave. */
  assumed: Assumable[];
  /** Money per kg of grain. */
  grainPricePerKg: number;
  /** Money per thousand viable seeds where a variety's lot gives no price. */
  seedPricePerThousand: number;
  lots: Lot[];
  /** Today's rate where a variety's lot gives none; null: not known. */
  rateNowSeedsPerM2: number | null;
  /** The lowest rate that the person accepts where a lot says none, because of weeds; null: none. */
  lowestRateSeedsPerM2: number | null;
  /** Forms fitted to each variety in each environment. */
  forms: FormName[];
  /** Levels of the two intervals told. */
  intervalLevels: [number, number];
  /** Significance level of tests and of the least significant difference. */
  testLevel: number;
  /** Largest change of a rate in one season, as a share of today's rate. */
  largestStep: number;
  /** Rates that earn within this sum of the best are the flat zone. */
  flatZonePerHa: number;
  /** Smallest steps a drill can be set to. */
  rateStepSeedsPerM2: number;
  /** Scale of lodging scores whose header names none. */
  lodgingScale: LodgingScale;
  /**
   * Lodging above this share of the scale is too much, and how often that may happen. Yields hold the grain that lodging
   * cost: the guard is for what they do not show, and so not strict. The defaults are ours, without source.
   */
  lodgingLimit: number;
  lodgingChance: number;
  /** Loss where lodged, money per hectare at the worst score: slower combining and grain left lying. */
  lodgingCostPerHa: number;
  /** Share of viable seeds that give no plant, where the farm's own stands do not say. */
  standLoss: number;
  rowSpacingM: number;
  bestSeedingDate: string | null;
  plannedSeedingDate: string | null;
  /** More seed per day late, as a share, and the highest rate lateness may ask for. */
  latePerDay: number;
  lateCapSeedsPerM2: number;
  proteinSchedule: ProteinStep[];
  priors: Priors;
  /** What farms of the region say of needs, in place of the prior of the need; null: the farm stands alone. */
  region: RegionNeeds | null;
  /** Named task streams of `maths/random.ts` start from it. */
  seed: number;
}

export const defaultUnits: UnitChoice = { system: "us", currency: "$" };

export const defaultSettings: Settings = {
  crop: "wheat",
  assumed: [...assumable],
  grainPricePerKg: fromPricePerBushel(6, 60),
  seedPricePerThousand: 0.02,
  lots: [],
  rateNowSeedsPerM2: null,
  lowestRateSeedsPerM2: null,
  forms: ["none", "linear", "quadratic", "linear-plateau", "quadratic-plateau"],
  intervalLevels: [0.8, 0.95],
  testLevel: 0.05,
  largestStep: 0.1,
  flatZonePerHa: fromMoneyPerAcre(2),
  rateStepSeedsPerM2: fromPerAcre(10_000),
  lodgingScale: "zero-to-nine",
  lodgingLimit: 0.3,
  lodgingChance: 0.3,
  lodgingCostPerHa: 0,
  standLoss: standLossOf("wheat").assumed,
  rowSpacingM: 0.1905,
  bestSeedingDate: null,
  plannedSeedingDate: null,
  latePerDay: 0.01,
  lateCapSeedsPerM2: fromPerAcre(1_600_000),
  proteinSchedule: [],
  priors: {
    flat: false,
    needSeedsPerM2: null,
    needSdLog: 0.3,
    needBetweenSdLog: 0.15,
    lossMedian: 0.08,
    lossSdLog: 0.8,
    noDeclineChance: 0.5,
    declineMedian: 0.04,
    declineSdLog: 1,
    seasonSpread: 0.1,
    fieldInSeasonSpread: 0.1,
    fieldSpread: 0.15,
    strengthSpread: 0.3,
    misfitCorrelation: 0.03,
    recommendedSdLog: 0.25,
    noResponseChance: 0.05,
    stripError: 0.05,
    // Rates count from their mean in units of two standard deviations, as Gelman (2008, Stat. Med. 27:2865) advises, so that
    // a slope of 1 is the change from a thin to a thick strip; the scale of 2.5 follows Gelman et al. 2008 (Ann. Appl. Stat.
    // 2:1360). The others are ours: over the seasons a variety lodges on anything from 0.3 to 88% of its scale, more likely
    // on little; seasons from hardly different to a flat and an upright one; fields of a season, and varieties in them,
    // rather alike.
    lodging: {
      levelMean: -2,
      levelSd: 2,
      slopeSd: 2.5,
      seasonSpread: 1.2,
      fieldSpread: 0.5,
      varietySpread: 0.5,
      slopeSpread: 0.5,
    },
  },
  region: null,
  seed: 1,
};

/** Where round numbers differ for who measures in metres and hectares. Row spacing: common practice. */
const metricDefaults: Partial<Settings> = {
  grainPricePerKg: 0.22,
  flatZonePerHa: 5,
  rateStepSeedsPerM2: 5,
  lateCapSeedsPerM2: 400,
  rowSpacingM: 0.125,
};

/** Steps that drills are set to, the coarsest first [seeds/ac, seeds/m²]. */
const drillSteps = { us: [10_000, 5_000, 2_000, 1_000, 500, 200], metric: [5, 2, 1, 0.5, 0.2, 0.1] };

/** Of the usual rate, what lateness may ask for at most: as much as the cap of small grains is of theirs. Our choice. */
const lateCapOfUsual = 4 / 3;

/**
 * The defaults, in round numbers of the person's units.
 *
 * The drill's step is within 2% of the crop's usual rate: one much above that would keep a season's change of at most 10% from
 * being made. More seed for late seeding is a rule for crops that tiller; the cap of others is for a person's own rule.
 */
export function defaultsIn(system: UnitChoice["system"], crop: CropName = defaultSettings.crop): Settings {
  const settings = system === "us" ? defaultSettings : { ...defaultSettings, ...metricDefaults };
  const steps = drillSteps[system].map((step) => (system === "us" ? fromPerAcre(step) : step));
  const { tillers, poundsPerBushel, prices, rowSpacingM, usualSeedsPerM2 }: Crop = crops[crop];
  const step = steps.find((one) => one <= 0.02 * usualSeedsPerM2) ?? settings.rateStepSeedsPerM2;
  return {
    ...settings,
    ...(prices && {
      grainPricePerKg:
        system === "us" ? fromPricePerBushel(prices.grainPerBushel, poundsPerBushel) : prices.grainPerKg,
      seedPricePerThousand: prices.perThousandSeeds,
    }),
    crop,
    rowSpacingM: rowSpacingM?.[system] ?? settings.rowSpacingM,
    rateStepSeedsPerM2: step,
    latePerDay: tillers ? settings.latePerDay : 0,
    lateCapSeedsPerM2: tillers
      ? settings.lateCapSeedsPerM2
      : nearestStep(lateCapOfUsual * usualSeedsPerM2, step),
    standLoss: standLossOf(crop).assumed,
  };
}

export const isAssumed = ({ assumed }: Pick<Settings, "assumed">, what: Assumable): boolean =>
  assumed.includes(what);

/** The same settings for another crop: what nobody gave takes the usual value of that crop. */
export function forCrop(settings: Settings, system: UnitChoice["system"], crop: CropName): Settings {
  if (settings.crop === crop) return settings;
  const before = defaultsIn(system, settings.crop);
  const usual = defaultsIn(system, crop);
  const { grainPricePerKg, seedPricePerThousand, latePerDay, rowSpacingM, standLoss } = usual;
  const { rateStepSeedsPerM2, lateCapSeedsPerM2 } = usual;
  return {
    ...settings,
    crop,
    ...(isAssumed(settings, "grain_price") && { grainPricePerKg }),
    ...(isAssumed(settings, "seed_price") && { seedPricePerThousand }),
    ...(isAssumed(settings, "late_per_day") && { latePerDay }),
    ...(isAssumed(settings, "row_spacing") && { rowSpacingM }),
    ...(isAssumed(settings, "stand_loss") && { standLoss }),
    ...(settings.rateStepSeedsPerM2 === before.rateStepSeedsPerM2 && { rateStepSeedsPerM2 }),
    ...(settings.lateCapSeedsPerM2 === before.lateCapSeedsPerM2 && { lateCapSeedsPerM2 }),
  };
}

/** The need assumed for a variety that nothing is known about: as the priors state, else the crop's usual rate [seeds/m²]. */
export const usualNeed = (crop: CropName, { needSeedsPerM2 }: Pick<Priors, "needSeedsPerM2">): number =>
  needSeedsPerM2 ?? crops[crop].usualSeedsPerM2;
