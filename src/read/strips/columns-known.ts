/** Every column and entry that reading understands, from the tables that reading itself goes by. */
import type { KnownColumn, KnownFile } from "../../vocabulary/known-columns.ts";
import { lodgingScaleNames } from "../../numbers/lodging-scales.ts";
import { crops } from "../../vocabulary/crops.ts";
import { formNames } from "../../vocabulary/settings.ts";
import { priorEntries, seasonEntries } from "../season-file/season-entries.ts";
import { quantities } from "../units/column-units.ts";
import { lotColumns, stripColumns, type Column } from "./columns.ts";
import { lodgingWordsTold } from "./lodging-words.ts";
import { lotSynonyms, stripLastNames, stripSynonyms } from "./synonyms.ts";

function known(column: Column, synonyms: readonly string[]): KnownColumn {
  const { name, needed, also, quantity, kind } = column;
  const words = kind === "lodging" ? ` Words are understood: ${lodgingWordsTold}.` : "";
  return {
    name,
    needed,
    meaning: `${column.meaning}${words}`,
    also: [...new Set([...also, ...synonyms, ...Object.keys(column.unitNames)])].filter(
      (other) => other.toLowerCase() !== name.toLowerCase(),
    ),
    units:
      kind === "lodging"
        ? lodgingScaleNames
        : quantity === null
          ? []
          : quantities[quantity].units.map((unit) => unit.name),
  };
}

const namesOf = (names: Partial<Record<string, readonly string[]>>, { name }: Column): readonly string[] =>
  names[name] ?? [];

const entryKnown = (name: string, meaning: unknown): KnownColumn => ({
  name,
  needed: false,
  also: [],
  units: [],
  meaning: typeof meaning === "string" ? meaning : "",
});

/** Entries of a season file that say how the others are read, and those that hold lists. */
const seasonFirst: readonly (readonly [string, string])[] = [
  ["units", "us or metric: what numbers without a unit are in, and how answers are shown."],
  ["currency", "Sign or letters, such as $, € or USD."],
  ["crop", `${Object.keys(crops).join(", ")}.`],
];
const seasonLists: readonly (readonly [string, string])[] = [
  ["protein_schedule", "Premium or discount for protein: a list of { protein: 14%, premium: 0.10 $/bu }."],
  ["interval_levels", "Levels of the two ranges that are shown: [80%, 95%]."],
  ["forms", `Shapes of the curve that are fitted in each field and season: ${formNames.join(", ")}.`],
];

/** Strips, lots, season file and answers, in this order. */
export const columnsKnown = (): KnownFile[] => [
  {
    title:
      "Strips (.csv, .xlsx): a row for each strip, or columns for rates, repetitions or seasons across, or the table on its side",
    columns: (stripColumns as readonly Column[]).map((column) =>
      known(column, [...namesOf(stripSynonyms, column), ...namesOf(stripLastNames, column)]),
    ),
    example:
      "variety,season,field,block,rate (million/ac),yield (bu/ac),moisture (%)\nOstrindel,2026,North,1,1.20,64.8,13.6\n",
  },
  {
    title: "Lots (--lots): a row for each variety's seed",
    columns: (lotColumns as readonly Column[]).map((column) => known(column, namesOf(lotSynonyms, column))),
    example:
      "variety,rate_now (million/ac),seeds_per_lb,germination_pct,seed_price ($/bu)\nOstrindel,1.30,13500,95,15\n",
  },
  {
    title: "Season file (--season): stripcurve season makes one to fill in",
    columns: [
      ...seasonFirst.map(([name, meaning]) => entryKnown(name, meaning)),
      ...seasonEntries.map(({ key, schema }) => entryKnown(key, schema["description"])),
      ...seasonLists.map(([name, meaning]) => entryKnown(name, meaning)),
      ...priorEntries.map(({ key, schema }) => entryKnown(`priors: ${key}`, schema["description"])),
    ],
    example: "crop: wheat\ngrain_price: 6.20 $/bu\nrow_spacing: 7.5 in\n",
  },
  {
    title: "Answers (columns.yaml beside the files, or --answers): stripcurve check --save-answers makes one",
    columns: (
      [
        ["columns", "Header as it stands: what it is, with its unit; or: not used."],
        ["values", "Column that is the same for all strips: its value with its unit."],
        [
          "tabs",
          "Tab of a workbook: strips, lots, not read; season, field, farm or variety, where its name is that; or values.",
        ],
        ["files", "File: the same."],
        [
          "names",
          "variety, field or farm: spelling: the name that it is; the same name for one of its own. season or rate: what it means: the year, or the rate.",
        ],
        ["lodging_words", "Word: score from 0 upright to 9 flat."],
        ["thousands", "Columns whose small numbers are thousands."],
        ["fill_down", "Columns whose empty cells repeat the one above."],
        ["said_no", "Questions that were answered with no, so that they are not asked again."],
      ] as const
    ).map(([name, meaning]) => entryKnown(name, meaning)),
    example:
      'columns: {Yld wet: yield (bu/ac), Combine: not used}\nvalues: {strip_length: 1200 ft, strip_width: 30 ft}\ntabs: {"2025": season, seed: lots}\nnames: {variety: {Bowdrey: Bowdry}, rate: {low: 900000}}\nlodging_words: {wobbly: 3}\nthousands: [rate]\n',
  },
];
