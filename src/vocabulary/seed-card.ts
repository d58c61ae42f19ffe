import type { LateStop, RateByField, SoldAmount } from "./result.ts";
import type { LotAssumable } from "./settings.ts";

/** Days past the best seeding date; dates further apart are of two years (our choice: longer than any season of seeding). */
export const mostDaysLate = 150;

/** Length of row that is caught to set a drill [m]: 100 ft, or 30 m (common practice). */
export const catchLengths = { us: 30.48, metric: 30 } as const;

/**
 * The seed card: one rate of one lot in every way that a person meets it between the bag and the first leaves.
 *
 * Same rules as `result.ts`: engine units, no NaN, what is not known is null.
 */
export interface SeedCard {
  variety: string | null;
  /** The rate the card is for: viable seeds, lateness included. */
  rateSeedsPerM2: number;
  /** Where the rate comes from, as it was asked. */
  from: "rate" | "stand" | "weight" | "row" | "catch" | "lot" | "advice";
  /** The rate for seeding on time and the days past the best date, where the card is for late seeding. */
  late: {
    inTimeSeedsPerM2: number;
    days: number;
    /** What, and not the days, sets the rate: lodging, the highest tested rate, or the cap of the settings. */
    stoppedBy: LateStop | null;
  } | null;
  /** The lowest rate that the person accepts, where it binds; else null. */
  lowest: {
    rateSeedsPerM2: number;
    /** The strips ask for less, and the advice keeps to it; false: the card's rate is below it. */
    kept: boolean;
  } | null;
  seed: {
    seedsPerKg: number | null;
    germination: number;
    purity: number;
    /** Which of these two nobody gave: 100% is assumed. */
    assumed: LotAssumable[];
    treated: boolean;
  };
  seedsSownPerM2: number;
  kgPerHa: number | null;
  rowSpacingM: number;
  seedsPerMetreOfRow: number;
  /** Where the strips advise another rate for each field: what to set there; else null. */
  byField: { by: RateByField["by"]; fields: FieldCard[] } | null;
  catchTest: {
    lengthM: number;
    /** Seeds that one row drops over the length, and their weight. */
    seeds: number;
    grams: number | null;
    wheelTurns: number | null;
  };
  stand: {
    loss: number;
    plantsPerM2: number;
    plantsPerMetreOfRow: number;
    rowCount: { lengthM: number; plants: number };
    hoopCount: { diameterM: number; plants: number };
    /** Length of one row that covers a thousandth of an acre (US) or one square metre (metric). */
    unitAreaRowM: number;
  };
  /** What was weighed from one row, and the rate that the drill really sowed. */
  caught: { grams: number; rateSeedsPerM2: number; kgPerHa: number; shareOfTarget: number } | null;
  /** Plants that were counted, and what they say of the stand loss at this rate. */
  counted: { plants: number; plantsPerM2: number; standLoss: number } | null;
  /** Null while nobody gave a price. */
  cost: { perThousandSeeds: number; perHa: number } | null;
  areaHa: number | null;
  orderKg: number | null;
  /** The same in what the lot is sold in; null where its price does not say. */
  sold: SoldAmount | null;
}

/** What to set at the drill on one field, or on one kind of ground. */
export interface FieldCard {
  field: string;
  /** Viable seeds, lateness included, and what, instead of the days, sets it. */
  rateSeedsPerM2: number;
  stoppedBy: LateStop | null;
  seedsPerMetreOfRow: number;
  /** Null where the lot's seeds per weight are not known. */
  kgPerHa: number | null;
  /** Of one row, over the length of the card's catch test. */
  catchGrams: number | null;
}
