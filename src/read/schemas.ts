/**
 * What the input files may hold, for other programs and for editors: Table Schemas of strips and lots, the JSON Schema of
 * the season file. All are made from the tables that reading itself goes by.
 *
 * Table Schema: Frictionless Data specification, version 1. JSON Schema: draft 2020-12.
 */
import { quantities } from "./units/column-units.ts";
import { lotColumns, stripColumns, type CellKind, type Column } from "./strips/columns.ts";
import {
  cropKind,
  currencyKind,
  formKind,
  levelKind,
  premiumKind,
  priorEntries,
  proteinKind,
  seasonEntries,
  unitSystem,
  type SeasonEntry,
} from "./season-file/season-entries.ts";

export type Schema = Record<string, unknown>;

const fieldTypes: Record<CellKind, string> = {
  text: "string",
  number: "number",
  money: "number",
  season: "year",
  date: "date",
  lodging: "number",
  crop: "string",
  "yes-no": "boolean",
};

function field({ name, also, kind, quantity, needed, meaning }: Column): Schema {
  const units = quantity === null ? [] : quantities[quantity].units.map((unit) => unit.name);
  return {
    name,
    type: fieldTypes[kind],
    description: meaning,
    ...(kind === "yes-no" ? { trueValues: ["yes", "true", "1"], falseValues: ["no", "false", "0"] } : {}),
    ...(units.length > 0 ? { units } : {}),
    ...(also.length > 0 ? { otherNames: also } : {}),
    ...(needed ? { constraints: { required: true } } : {}),
  };
}

const tableSchema = (title: string, columns: readonly Column[]): Schema => ({
  $schema: "https://specs.frictionlessdata.io/schemas/table-schema.json",
  title,
  description:
    "Column names ignore case, spaces and underscores; a unit goes after the name in brackets, such as rate (million seeds/ac).",
  fields: columns.map(field),
  missingValues: ["", "-", "NA"],
});

/** Table Schema of the strips file. */
export const stripsSchema = (): Schema =>
  tableSchema("Strips of variety × seeding-rate trials", stripColumns);

/** Table Schema of the lots file. */
export const lotsSchema = (): Schema => tableSchema("Lots of next season's seed", lotColumns);

/** Every entry may also be left empty. */
const orEmpty = (schema: Schema): Schema => ({
  ...schema,
  type: [...new Set([...[schema["type"]].flat(), "null"])],
});

const entries = (list: readonly SeasonEntry[]): Schema =>
  Object.fromEntries(list.map(({ key, schema }) => [key, orEmpty(schema)]));

/** JSON Schema of the season file, as YAML is read into plain values. */
export const seasonSchema = (): Schema => ({
  $schema: "https://json-schema.org/draft/2020-12/schema",
  title: "Season file",
  type: ["object", "null"],
  additionalProperties: false,
  properties: {
    units: orEmpty({ ...unitSystem.schema, description: "What numbers without a unit are in." }),
    currency: orEmpty({ ...currencyKind.schema, description: "Sign or letters of the currency." }),
    crop: orEmpty({ ...cropKind.schema, description: "Crop, for bushel weight and market moisture." }),
    ...entries(seasonEntries),
    protein_schedule: {
      type: ["array", "null"],
      description: "Premium or discount for protein, straight between the steps.",
      items: {
        type: "object",
        additionalProperties: false,
        required: ["protein", "premium"],
        properties: { protein: proteinKind.schema, premium: premiumKind.schema },
      },
    },
    interval_levels: {
      type: ["array", "null"],
      description: "Levels of the two ranges that are shown.",
      items: levelKind.schema,
      minItems: 2,
      maxItems: 2,
    },
    forms: {
      type: ["array", "null"],
      description: "Shapes of the curve that are fitted.",
      items: formKind.schema,
      minItems: 1,
    },
    priors: {
      type: ["object", "null"],
      description: "Assumptions before any strip is seen.",
      additionalProperties: false,
      properties: entries(priorEntries),
    },
  },
});
