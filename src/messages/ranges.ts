/** Messages about lots, prices and options that cannot be meant, or hardly. */
import { TrialError, type Finding } from "../vocabulary/trial.ts";
import { finding, type Whereabouts } from "./finding.ts";
import { shown } from "./reading.ts";

/** A value beside what is usual, all as the person reads it. */
export interface Strange {
  /** The quantity in words, "germination". */
  name: string;
  value: string;
  lowest: string;
  highest: string;
  /** What it may be meant to be. */
  meant: string | null;
}

/** "of 3.5"; a value too small to show in the person's unit is "close to 0", not "of 0". */
export const ofAbout = (value: string): string => (/[1-9]/.test(value) ? `of ${value}` : `close to ${value}`);

const article = (name: string): string => (/^[aeiou]/.test(name) ? "An" : "A");
const meaning = (meant: string | null): string => (meant === null ? "" : ` Is ${meant} meant?`);

/** @param where where it is: "lots.csv, row 2, column rate_now", or the name of an option */
export const outOfRange = (where: string, { name, value, lowest, highest, meant }: Strange): TrialError =>
  new TrialError(
    "value-out-of-range",
    `${where}: ${article(name).toLowerCase()} ${name} ${ofAbout(value)} is impossible; usual is ${lowest} to ${highest}.${meaning(meant)} Correct the number or its unit.`,
  );

export const unusualValue = (cell: Whereabouts, { name, value, lowest, highest, meant }: Strange): Finding =>
  finding(
    "doubt",
    `doubtful-${cell.column ?? "value"}`,
    `${article(name)} ${name} ${ofAbout(value)} is unusual (usual is ${lowest} to ${highest}). It is used.${meaning(meant)} Check the number and its unit.`,
    cell,
  );

export const lotCell = (file: string, row: number, column: string): string =>
  `${shown(file)}, row ${row}, column ${column}`;

/** @param what name of the option */
export const wishOutOfRange = (what: string, value: string, lowest: string, highest: string): TrialError =>
  new TrialError(
    "value-out-of-range",
    `${what}: ${value} is impossible; it must be between ${lowest} and ${highest}. Correct the number or its unit.`,
  );

/** @param what name of the option that the rate follows from */
export const rateFollowing = (what: string, rate: string, lowest: string, highest: string): TrialError =>
  new TrialError(
    "value-out-of-range",
    `${what}: this would be a rate of ${rate}, and a drill sows ${lowest} to ${highest}. Correct the number or its unit, and check seed size, row spacing and the length of the row.`,
  );

/** @param variety the one without seeds per weight; null where the lots differ */
export const rateByWeight = (what: string, text: string, variety: string | null): TrialError =>
  new TrialError(
    "rate-by-weight",
    `${what} "${text}" is a weight, and strips are planned in viable seeds. ${
      variety === null
        ? "The lots differ in seed size, so one weight is a different number of seeds in each."
        : `No lot gives the seeds per pound or kg of ${shown(variety)}, so the weight cannot be turned into seeds.`
    } Give the rate in seeds, like "1.2 million seeds/ac".`,
  );
