/** Messages about what kind of file each of a farm's files is. */
import { TrialError, type Finding, type Place } from "../vocabulary/trial.ts";
import { finding } from "./finding.ts";

export const fileUnknown = (file: string): TrialError =>
  new TrialError(
    "file-unknown",
    `${file} is neither a table of strips, nor seed lots, nor a season file, nor an earlier result: it has none of their column names. Say what it is, or leave it out.`,
  );

export const filesOfOneKind = (kind: string, files: readonly string[]): TrialError =>
  new TrialError(
    "file-kind-twice",
    `${files.join(" and ")} are each read as ${kind}, but only one can be used. Leave out one of them, or combine them.`,
  );

/** A price given for all varieties that none needs. */
export const seedPriceNotUsed = (from: string): string =>
  `${from} is not used: the lots price the seed of every variety.`;

/** Points that are given among the files of strips. */
export const pointsNotUsed = (file: string): string =>
  `${file} holds points that a machine logged, not strips, so it is not used. Make strips of the points first, so that each strip counts once.`;

/** Points given as strips would count each point as a strip. */
export const pointsAsStrips = (file: string, isHarvest: boolean): TrialError =>
  new TrialError(
    "points-as-strips",
    `${file} holds points of a ${isHarvest ? "combine" : "drill"}, not strips. Make strips of the points first, so that each strip counts once: stripcurve strips ${isHarvest ? JSON.stringify(file) : "HARVEST"} --seeded ${isHarvest ? "AS-APPLIED" : JSON.stringify(file)} -o strips.csv`,
  );

/** Lots in the same workbook as the strips. */
export const lotsBesideStrips = (sheet: string): Finding =>
  finding(
    "note",
    "lots-beside-strips",
    `The seed lots are read from ${sheet}, because no file of lots was given.`,
    {
      file: sheet,
    },
  );

/** Nobody named the crop, but the strips do. */
export const cropOfStrips = (crop: string): Finding =>
  finding(
    "note",
    "crop-of-strips",
    `No crop was given, but all strips say ${crop}: its bushel, moisture and usual rates are used.`,
    { column: "crop" },
  );

/** Nobody named the units, and all strips are metric. */
export const unitsOfStrips = (): Finding =>
  finding(
    "note",
    "units-of-strips",
    'All units in the strips are metric, so everything is shown in metric units. For acres, pounds and bushels write "units: us" in the season file or give --units us.',
  );

/** Only the prices of the lots name a currency. */
export const currencyOfLots = (currency: string): Finding =>
  finding(
    "note",
    "currency-of-lots",
    `The prices of the lots are in ${currency}, so all money is shown in ${currency}. For another currency write "currency" in the season file.`,
    { column: "seed_price" },
  );

/** Strips of two crops have no curve in common. */
export const otherCropApart = (crop: string, common: string): string =>
  `Grows ${crop}: shown on its own page, not combined with the others' ${common}.`;

/** A variety that two clients spell differently appears twice in the summary of all clients. */
export const speltOtherwise = (name: string, usual: string): string =>
  `Its ${JSON.stringify(name)} may be the ${JSON.stringify(usual)} of others, but is kept separate. If they are one variety, say so once in its columns.yaml: names: {variety: {${JSON.stringify(name)}: ${JSON.stringify(usual)}}}.`;

export const clientInPart = (left: string, reason: string): string =>
  `${reason} Its strips are read without ${left}, with the usual values instead, marked as assumed.`;

export const clientWithoutStrips = (files: readonly string[]): string =>
  `There is no table of strips in its folder${files.length === 0 ? "" : ` (only ${files.slice(0, 6).join(", ")})`}. Put a .csv or .xlsx with variety, season, rate and yield there.`;

export const notATable = "This is not a table of strips, so it was not read.";

/** A second file of lots, or a second season file. */
export const secondOfItsKind = (read: string): string =>
  `${read} is read instead; only one can be used. Combine the two, or remove one.`;

const quotedFields = (fields: readonly string[]): string =>
  fields
    .slice(0, 6)
    .map((field) => `“${field}”`)
    .join(", ") + (fields.length > 6 ? " and others" : "");

/** Files whose fields share a name but cannot be one field. */
export const farmsApart = (files: readonly string[], fields: readonly string[]): Finding =>
  finding(
    "doubt",
    "farms-apart",
    `${files.slice(0, 6).join(", ")}${files.length > 6 ? " and others" : ""} each have a field ${quotedFields(fields)} but with different yields at the same rates and blocks, so they are treated as different farms, named after their files. If they are one farm, say so in columns.yaml: files: {${JSON.stringify(files[0])}: {farm: …}}, with the same name for each.`,
    { column: "farm" },
  );

/** Files or tabs that name no field and cannot be from one field. */
export const fieldsApart = (
  files: readonly string[],
  names: readonly string[],
  answer: { tabs: string } | { files: string },
): Finding => {
  const [kind, name] = "tabs" in answer ? ["tabs", answer.tabs] : ["files", answer.files];
  return finding(
    "doubt",
    "fields-apart",
    `${files.slice(0, 6).join(", ")}${files.length > 6 ? " and others" : ""} name no field and have different yields at the same rates and blocks, so they are treated as different fields: ${quotedFields(names)}. If they are from one field, say so in columns.yaml: ${kind}: {${JSON.stringify(name)}: {field: …}}, with the same name for each.`,
    { column: "field" },
  );
};

/** Files that together make one layout. */
export const fieldOfTwoFiles = (fields: readonly string[]): Finding =>
  finding(
    "note",
    "field-of-two-files",
    `Several files have strips of ${quotedFields(fields)}, in other blocks, rates or seasons, so they are treated as one field. If they are different farms, give each its name in columns.yaml: files: {"file.csv": {farm: …}}.`,
    { column: "field" },
  );

/** One field with several grounds in a season. */
export const severalGrounds = (fields: readonly string[]): Finding =>
  finding(
    "note",
    "several-grounds",
    `${fields.every((field) => field === "") ? "The field holds" : `${quotedFields(fields)} ${fields.length === 1 ? "holds" : "hold"}`} more than one ground, so the strips of each ground are treated as a trial of their own.`,
    { column: "ground" },
  );

/** A strip of a file whose strips are all in another file too. */
export const rowOfCopy = (place: Place, original: string, answer: string): Finding =>
  finding(
    "stops",
    "row-of-copy",
    `Every strip of this file is in ${original} too, with the same yield, so it counts once: the row is left out. If these are other strips, say so once in columns.yaml: ${answer}.`,
    { ...place },
  );

/** @param answer  how columns.yaml says what the file holds */
export const copiedInPart = (
  file: string,
  original: string,
  count: number,
  of: number,
  answer: (holds: string) => string,
): Finding =>
  finding(
    "doubt",
    "copied-in-part",
    `${count} of its ${of} strips are in ${original} too, with the same yields, and all count twice. If one is an edited copy of the other, say so in columns.yaml: ${answer("not read")}. If not: ${answer("strips")}.`,
    { file },
  );

/** @param flag  the option that takes such a file */
export const notStrips = (file: string, what: string, flag: string): TrialError =>
  new TrialError(
    "file-not-strips",
    `${file} is ${what}, not a table of strips. Give it as ${flag} ${JSON.stringify(file)}.`,
  );
