/**
 * Messages about single values and about rows that repeat one another.
 *
 * Codes `row-…` name a row that is not used; there is exactly one for each. Codes `value-…` name a value that is left
 * out of a strip that is used.
 */
import type { Finding, Place } from "../vocabulary/trial.ts";
import { fixed, plainStyle } from "../numbers/written-numbers.ts";
import { finding } from "./finding.ts";
import { ofAbout } from "./ranges.ts";
import { firstFew } from "./listing.ts";

interface Named {
  /** Column of the strips file. */
  column: string;
  /** The quantity in words, "yield". */
  name: string;
}

/** A row is left out because it is worthless without this value. */
export const impossibleStrip = (
  { column, name }: Named,
  told: string,
  limits: string,
  place: Place,
): Finding =>
  finding(
    "stops",
    `row-impossible-${column}`,
    `A ${name} ${ofAbout(told)} is impossible (${limits}). The strip is left out. Check the number and the unit in the header.`,
    { ...place, column, value: told },
  );

/** The value is left out, the strip stays. */
export const impossibleValue = (
  { column, name }: Named,
  told: string,
  limits: string,
  place: Place,
): Finding =>
  finding(
    "stops",
    `value-impossible-${column}`,
    `A ${name} ${ofAbout(told)} is impossible (${limits}). The value is left out, the strip's yield is used. Check the number and the unit in the header.`,
    { ...place, column, value: told },
  );

export const doubtfulValue = ({ column, name }: Named, told: string, limits: string, place: Place): Finding =>
  finding(
    "doubt",
    `doubtful-${column}`,
    `A ${name} ${ofAbout(told)} is unusual (${limits}). It is used. Check the number and the unit in the header.`,
    { ...place, column, value: told },
  );

export const yieldOfNought = (place: Place): Finding =>
  finding(
    "doubt",
    "yield-of-nought",
    "The yield is 0, and it is used. If the strip was not harvested, leave the cell empty.",
    { ...place, column: "yield", value: "0" },
  );

/** `rate` as the person gives it; `seeds` the same in the unit of the stand. */
export const moreThanSeeds = (stand: string, rate: string, seeds: string, place: Place): Finding =>
  finding(
    "doubt",
    "stand-above-seeds",
    `A stand of ${stand} is more than was sown: ${rate} would give ${seeds} at most. Check the stand, the rate and the units of both.`,
    { ...place, column: "stand", value: stand },
  );

export const fewOfSeeds = (stand: string, rate: string, seeds: string, place: Place): Finding =>
  finding(
    "doubt",
    "stand-far-below-seeds",
    `A stand of ${stand} is very thin for ${rate}: a plant for every seed would be ${seeds}. If the count is right, the yield says little about the rate. Check the stand, the rate and the units of both.`,
    { ...place, column: "stand", value: stand },
  );

export const seededInOtherYear = (seeded: string, season: number, place: Place): Finding =>
  finding(
    "doubt",
    "seeded-in-other-year",
    `Seeded ${seeded} does not fit season ${season}: a crop is sown in the year of its harvest or the autumn before.`,
    { ...place, column: "seeded", value: seeded },
  );

/** One finding in place of many more rows of a file with the same doubt. */
export const moreOfTheSame = (code: string, count: number, column: string | null, file: string): Finding =>
  finding(
    "doubt",
    code,
    `${fixed(count, 0, plainStyle)} more rows of this file are doubtful in the same way, and not listed one by one.`,
    {
      file,
      column,
    },
  );

const rowText = ({ file, row }: Place, other: Place): string =>
  file === other.file ? `row ${row}` : `row ${row} of ${file}`;

export const averageOfBlocks = (place: Place): Finding =>
  finding(
    "stops",
    "row-average",
    "This row has no block, and its yield is the mean of the blocks of this variety and rate: it is an average, and no strip. The row is left out. If it is a strip, enter its block.",
    { ...place, column: "block" },
  );

export const stripTwice = (first: Place, place: Place): Finding =>
  finding(
    "stops",
    "row-twice",
    `This is the strip of ${rowText(first, place)} again: same field, block, position, variety, rate and yield. It is left out, so that no strip counts twice.`,
    place,
  );

export const perhapsTwice = (first: Place, place: Place): Finding =>
  finding(
    "doubt",
    "perhaps-twice",
    `Everything recorded is the same as in ${rowText(first, place)}. Both are used. If one strip was written down twice, take one out; positions across the field would show which is which.`,
    place,
  );

export const samePosition = (first: Place, position: number, place: Place): Finding =>
  finding(
    "doubt",
    "position-taken",
    `Position ${position} is already taken by ${rowText(first, place)} of the same variety and block. Both are used. Check the positions.`,
    { ...place, column: "position", value: String(position) },
  );

/** `spelling: name` for all but the first of the names, which is kept. */
const yamlPairs = ([name, ...others]: readonly string[]): string =>
  others
    .slice(0, 6)
    .map((other) => `${JSON.stringify(other)}: ${JSON.stringify(name)}`)
    .join(", ");

export const alikeNames = (column: string, names: readonly string[]): Finding =>
  finding(
    "doubt",
    `alike-${column}-names`,
    `${firstFew(names.map((name) => `“${name}”`))} are probably one ${column}, but are treated as different. If they are the same, spell them the same way, or say it once in columns.yaml: names: {${column}: {${yamlPairs(names)}}}.`,
    { column },
  );

export const varietyWithoutLot = (varieties: readonly string[]): Finding =>
  finding(
    "note",
    "variety-without-lot",
    `The lots do not list ${firstFew(varieties)}. Seed is priced as in the settings, and pounds cannot be worked out.`,
    { column: "variety" },
  );

/** `near` says which lots may be a variety of the strips, "Casin may be Cassin". */
export const lotWithoutStrips = (varieties: readonly string[], near: readonly string[] = []): Finding =>
  finding(
    "doubt",
    "lot-without-strips",
    `No strips of ${firstFew(varieties)}, though there is a lot.${near.length === 0 ? "" : ` ${firstFew(near)}.`} If it was tested, spell it as in the strips.`,
    { column: "variety" },
  );
