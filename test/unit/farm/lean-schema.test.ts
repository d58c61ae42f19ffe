/** The schema that the desk carries checks as the published one does. */
import { readFileSync } from "node:fs";
import { Validator } from "@cfworker/json-schema";
import { describe, expect, it } from "vitest";
import { leanSchema, schemaToCheckBy } from "../../../src/farm/lean-schema.ts";
import { makeResult } from "../../fixtures/result.ts";

const published = JSON.stringify({
  type: "object",
  description: "A farm.",
  properties: {
    name: { type: "string", description: "As written." },
    acres: { type: "number" },
    fields: {
      type: "array",
      items: { type: "object", properties: { note: { type: "string" } }, additionalProperties: false },
    },
  },
  required: ["name", "fields"],
  additionalProperties: false,
});

describe("a packed schema", () => {
  const checks = (text: string, found: unknown): boolean =>
    new Validator(schemaToCheckBy(text), "7").validate(found).valid;

  it("holds no meanings, and names what may be left out instead of what may not", () => {
    expect(JSON.parse(leanSchema(published))).toEqual({
      type: "object",
      properties: {
        name: { type: "string" },
        acres: { type: "number" },
        fields: {
          type: "array",
          items: { type: "object", properties: { note: { type: "string" } }, optional: ["note"] },
        },
      },
      optional: ["acres"],
      lean: true,
    });
  });

  it("numbers its definitions, and leads to them as before", () => {
    const named = JSON.stringify({
      $ref: "#/definitions/Pair%3CField%3E",
      definitions: {
        Field: { type: "object", properties: { note: { type: "string" } }, required: ["note"] },
        "Pair<Field>": { type: "array", items: { $ref: "#/definitions/Field" } },
      },
    });
    expect(leanSchema(named)).not.toMatch(/Field|Pair/);
    for (const schema of [named, leanSchema(named)])
      expect([checks(schema, [{ note: "a" }]), checks(schema, [{}]), checks(schema, {})]).toEqual([
        true,
        false,
        false,
      ]);
  });

  it("asks for what the published one asks for, and no more", () => {
    for (const schema of [published, leanSchema(published)]) {
      expect(checks(schema, { name: "Windlass", fields: [{}], more: 1 })).toBe(true);
      expect(checks(schema, { fields: [] })).toBe(false);
      expect(checks(schema, { name: "Windlass", fields: [{ note: 3 }] })).toBe(false);
    }
  });

  it("of a result refuses what lacks entries, as the published one does", () => {
    const whole = readFileSync("dist/schemas/result.schema.json", "utf8");
    const lean = leanSchema(whole);
    const result = JSON.parse(JSON.stringify(makeResult())) as Record<string, unknown>;
    expect(checks(lean, result)).toBe(true);
    for (const left of ["beliefs", "learning", "next"]) {
      const { [left]: _, ...rest } = result;
      expect([left, checks(lean, rest)]).toEqual([left, checks(whole, rest)]);
    }
    expect(lean.length).toBeLessThan(0.6 * whole.length);
  });
});
