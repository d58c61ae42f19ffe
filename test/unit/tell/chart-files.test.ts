import { readFileSync } from "node:fs";
import { Resvg } from "@resvg/resvg-js";
import { Ajv } from "ajv";
import { logger, parse, View, Warn } from "vega";
import { compile, type TopLevelSpec } from "vega-lite";
import { beforeAll, describe, expect, it } from "vitest";
import { chartFiles, type ChartFile } from "../../../src/tell/chart-files.ts";
import { demoResult } from "../../fixtures/demo.ts";
import { madeVarieties, makeResult } from "../../fixtures/result.ts";

const schema = JSON.parse(
  readFileSync(
    new URL("../../../node_modules/vega-lite/build/vega-lite-schema.json", import.meta.url),
    "utf8",
  ),
) as object;

const labels = (svg: string): string[] =>
  [...svg.matchAll(/<text[^>]*>([^<]+)<\/text>/g)].map((match) => match[1]!).sort();

describe("the charts as files", () => {
  let files: ChartFile[] = [];
  beforeAll(async () => {
    files = await chartFiles(demoResult());
  });

  it("have a name each that any disk bears", async () => {
    const [made] = madeVarieties;
    const hostile = await chartFiles(
      makeResult({
        varieties: ["../../etc/passwd", "CON: \u0000 ß 春小麦", "x".repeat(400), "X".repeat(400)].map(
          (name) => ({
            ...made!,
            name,
          }),
        ),
      }),
    );
    for (const names of [files, hostile].map((some) => some.map((file) => file.name))) {
      expect(new Set(names.map((name) => name.toLowerCase())).size).toBe(names.length);
      for (const name of names) expect(name).toMatch(/^[a-z][a-z0-9-]{0,79}$/);
    }
  });

  it("are pictures that stand alone: well-formed, with title, description and white ground", () => {
    expect(files.length).toBeGreaterThan(20);
    for (const { svg } of files) {
      expect(() => new Resvg(svg)).not.toThrow();
      expect(svg).toMatch(
        /^<svg [^>]*viewBox="[^"]*"[^>]*><title>[^<]+<\/title><desc>[^<]+<\/desc><rect [^>]*fill="#ffffff"\/>/,
      );
    }
  });

  // Source: the JSON Schema that Vega-Lite publishes with each version.
  it("are Vega-Lite specs by its own schema, and draw the same picture in any program that knows it", async () => {
    // Nothing polished: the schema is large, and the specs are few.
    const plainly = { validateSchema: false, inlineRefs: false, code: { optimize: false } };
    const valid = new Ajv({ strict: false, validateFormats: false, ...plainly }).compile(schema);
    for (const { spec, svg } of files) {
      const { title, ...untitled } = JSON.parse(spec) as { title: string };
      expect(valid({ title, ...untitled }), JSON.stringify(valid.errors?.slice(0, 3))).toBe(true);
      const compiled = compile(untitled as TopLevelSpec, { logger: logger(Warn) }).spec;
      expect(labels(await new View(parse(compiled), { renderer: "none" }).toSVG())).toEqual(labels(svg));
    }
  });

  it("show a hostile name as text", async () => {
    const [made] = madeVarieties;
    const name = `</title><script>x</script>&"'`;
    for (const { svg } of await chartFiles(makeResult({ varieties: [{ ...made!, name }] }))) {
      expect(() => new Resvg(svg)).not.toThrow();
      expect(svg).not.toContain("<script");
    }
  });
});
