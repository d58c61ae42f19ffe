import { Ajv2020 } from "ajv/dist/2020.js";
import fc from "fast-check";
import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { parse } from "yaml";
import { quantities } from "../../../src/read/units/column-units.ts";
import { readLots } from "../../../src/read/lots.ts";
import { lotsSchema, seasonSchema, stripsSchema } from "../../../src/read/schemas.ts";
import { readSeason, seasonKeys } from "../../../src/read/season-file/season.ts";
import { seasonTemplate } from "../../../src/read/season-file/season-template.ts";
import { defaultSettings } from "../../../src/vocabulary/settings.ts";
import { TrialError } from "../../../src/vocabulary/trial.ts";
import { bytesOf, metric, readCsv, us } from "./read-csv.ts";

interface Field {
  name: string;
  type: string;
  units?: string[];
  constraints?: { required?: boolean };
}
const fieldsOf = (schema: Record<string, unknown>): Field[] => schema["fields"] as Field[];

/** Fields and types as Table Schema 1.0 has them: https://specs.frictionlessdata.io/table-schema/ (Descriptor; Types and formats). */
const tableSchemaDescriptor = {
  type: "object",
  required: ["fields"],
  properties: {
    fields: {
      type: "array",
      minItems: 1,
      items: {
        type: "object",
        required: ["name"],
        properties: {
          name: { type: "string" },
          type: {
            enum: [
              "string",
              "number",
              "integer",
              "boolean",
              "object",
              "array",
              "date",
              "time",
              "datetime",
              "year",
              "yearmonth",
              "duration",
              "geopoint",
              "geojson",
              "any",
            ],
          },
          description: { type: "string" },
          trueValues: { type: "array", items: { type: "string" } },
          falseValues: { type: "array", items: { type: "string" } },
          constraints: { type: "object", properties: { required: { type: "boolean" } } },
        },
      },
    },
    missingValues: { type: "array", items: { type: "string" } },
  },
};

const ajv = new Ajv2020({ allErrors: true, allowUnionTypes: true });
const sample: Record<string, string> = {
  string: "Ost",
  number: "12",
  year: "2026",
  date: "2026-04-28",
  boolean: "yes",
};

describe("Table Schemas", () => {
  it.each([
    ["strips", stripsSchema()],
    ["lots", lotsSchema()],
  ])("of %s are as the specification has them", (_, schema) => {
    const valid = ajv.compile(tableSchemaDescriptor);
    valid(schema);
    expect(valid.errors).toBeNull();
  });

  it("of strips name every column and unit that reading understands, and what is needed", () => {
    const needed = fieldsOf(stripsSchema()).filter(({ constraints }) => constraints?.required);
    expect(needed.map(({ name }) => name)).toEqual(["variety", "season", "rate"]);
    for (const { name, units = [], type } of fieldsOf(stripsSchema())) {
      for (const unit of units.length > 0 ? units : [""]) {
        const header = { variety: "Ost", season: "2026", "rate (seeds/m2)": "300", "yield (kg/ha)": "4000" };
        const plain = Object.entries(header).filter(([key]) => key.split(" ")[0] !== name);
        const value =
          name === "exclude"
            ? "no"
            : name === "crop"
              ? "wheat"
              : name === "season"
                ? "2026"
                : name === "rate" && unit.startsWith("thousand")
                  ? "3000"
                  : unit === "share"
                    ? "0.12"
                    : sample[type]!;
        const others = [...plain, ["seeds/lb", "12000"], ["germ", "95"]].filter(
          ([key]) =>
            !(name === "seeds_per_lb" && key === "seeds/lb") &&
            !(name === "germination_pct" && key === "germ"),
        );
        const cells = [...others, [unit === "" ? name : `${name} (${unit})`, value]];
        const text = `${cells.map(([key]) => key).join(";")}\n${cells.map(([, cell]) => cell).join(";")}\n`;
        // A share of today's rate needs to know that.
        const { strips, columns, findings } = readCsv(text, { rateNowSeedsPerM2: 300 });
        expect(columns.at(-1), text).toMatchObject({ column: name, ...(unit === "" ? {} : { unit }) });
        expect(strips, `${text} ${findings[0]?.message}`).toHaveLength(1);
      }
    }
  });

  it("of lots name every column that reading understands", () => {
    const fields = fieldsOf(lotsSchema());
    const own: Record<string, string> = {
      seed_price_unit: "$/bu",
      rate_now: "1200000",
      lowest_rate: "900000",
      recommended_rate: "1300000",
      seeds_per_lb: "12960",
      seeds_per_kg: "28571",
      tkw_g: "35",
    };
    const value = ({ name, type }: Field): string => own[name] ?? sample[type]!;
    const text = `${fields.map(({ name }) => name).join(",")}\n${fields.map(value).join(",")}\n`;
    const { lots, findings } = readLots({ name: "lots.csv", bytes: bytesOf(text) }, defaultSettings, us);
    expect(findings).toEqual([]);
    expect(Object.values(lots[0]!).filter((one) => one === null)).toHaveLength(1);
  });

  it("name units of the same table that reading goes by", () => {
    const rate = fieldsOf(stripsSchema()).find(({ name }) => name === "rate")!;
    expect(rate.units).toEqual(quantities.stripRate.units.map(({ name }) => name));
  });
});

describe("the JSON Schema of the season file", () => {
  const valid = ajv.compile(seasonSchema());
  const errors = (text: string) => {
    valid(parse(text));
    return valid.errors;
  };

  it("holds the demo's season and both templates", () => {
    const demo = readFileSync(new URL("../../../data-demo/season.yaml", import.meta.url), "utf8");
    for (const text of [demo, seasonTemplate(us), seasonTemplate(metric), ""])
      expect(errors(text)).toBeNull();
  });

  it("has the keys that reading knows, and no others", () => {
    expect(Object.keys(seasonSchema()["properties"] as object).sort()).toEqual([...seasonKeys].sort());
  });

  it("allows all that reading accepts", () => {
    const entry = fc.tuple(
      fc.constantFrom(...seasonKeys, "grian_price"),
      fc.constantFrom(
        "",
        "1",
        "12 %",
        "6.20 $/bu",
        "20 $/million seeds",
        "7.5 in",
        "2 $/ac",
        "2027-04-20",
        "wheat",
        "us",
        "$",
        "1-9",
        "1.2 million/ac",
        "[80 %, 95 %]",
        "[linear]",
        "[{ protein: 13, premium: 0.1 $/bu }]",
        "{ flat: yes }",
        "{ need: 300 }",
        "true",
        "[]",
        "{}",
        "{ loss: 6 %, flat: false }",
        "abc",
      ),
    );
    let accepted = 0;
    fc.assert(
      fc.property(fc.uniqueArray(entry, { maxLength: 3, selector: ([key]) => key }), (pairs) => {
        const text = pairs.map(([key, value]) => `${key}: ${value}\n`).join("");
        try {
          readSeason({ name: "season.yaml", bytes: bytesOf(text) });
        } catch (error) {
          if (error instanceof TrialError) return;
          throw error;
        }
        accepted++;
        expect(errors(text), text).toBeNull();
      }),
      { seed: 20260428, numRuns: 3000 },
    );
    expect(accepted).toBeGreaterThan(400);
  });

  it("refuses misspelt keys, wrong shapes and unknown keys inside", () => {
    for (const text of [
      "grian_price: 6",
      "forms: quadratic",
      "seed: [1]",
      "priors: { fat: yes }",
      "protein_schedule: [{ protein: 14 }]",
    ]) {
      expect(errors(text), text).not.toBeNull();
    }
  });
});
