import { fileURLToPath } from "node:url";
import { Ajv } from "ajv";
import { describe, expect, it } from "vitest";
import { resultSchema } from "../../src/build/result-schema.mjs";
import { demoResult } from "../fixtures/demo.ts";

const root = fileURLToPath(new URL("../../", import.meta.url));
const result = demoResult();
const isResult = new Ajv({ allErrors: true, allowUnionTypes: true }).compile(resultSchema(root));

describe("the published schema of the result", () => {
  it("holds the result of real strips, nothing missing and nothing more", () => {
    isResult(result);
    expect(isResult.errors).toBeNull();
  });

  it("refuses a result with a field missing, a strange field or a number that JSON cannot hold", () => {
    expect(isResult({ ...result, next: undefined })).toBe(false);
    expect(isResult({ ...result, clock: "noon" })).toBe(false);
    expect(isResult({ ...result, rows: { read: Number.NaN, used: 1, leftOut: 0 } })).toBe(false);
  });

  it("survives JSON as it is", () => {
    expect(JSON.parse(JSON.stringify(result))).toStrictEqual(result);
  });
});
