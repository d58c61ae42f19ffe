import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { analyze } from "../../../../src/analyze.ts";
import { fromPerAcre, toPerAcre } from "../../../../src/numbers/units.ts";
import { measuresOf } from "../../../../src/numbers/measures.ts";
import { readTrial } from "../../../../src/read/trial-files.ts";
import { byFieldLine } from "../../../../src/tell/wording/by-field.ts";
import type { Result } from "../../../../src/vocabulary/result.ts";
import { defaultSettings, defaultUnits } from "../../../../src/vocabulary/settings.ts";

const [header, ...rows] = readFileSync(
  new URL("../../../fixtures/two-fields/strips.csv", import.meta.url),
  "utf8",
)
  .trim()
  .split(/\r?\n/);

/** The farm of two fields told in another way: `place` gives the field and the ground of a strip. */
function told(place: (season: string, field: string) => [field: string, ground: string]): Result {
  const lines = rows.map((row) => {
    const [season, field, ...rest] = row.split(",") as [string, string, ...string[]];
    return [season, ...place(season, field), ...rest].join(",");
  });
  const text = [header!.replace("field", "field,ground"), ...lines].join("\n");
  const settings = { ...defaultSettings, rateNowSeedsPerM2: fromPerAcre(1.35e6) };
  const bytes = new TextEncoder().encode(text);
  return analyze(readTrial([{ name: "strips.csv", bytes }], settings, defaultUnits), settings, defaultUnits);
}

// Truth of the strips: test/fixtures/two-fields/README.md.
const truths = [0.96, 1.59];

function expectTruth(result: Result): void {
  const { byField } = result.next.find(({ variety }) => variety === "Sandor")!;
  expect(byField).toMatchObject({ by: "ground", differ: true });
  expect(byField!.fields.map(({ field }) => field)).toEqual(["hill", "bottom"]);
  byField!.fields.forEach(({ likely }, i) => {
    expect(toPerAcre(likely.lower) / 1e6).toBeLessThan(truths[i]!);
    expect(toPerAcre(likely.upper) / 1e6).toBeGreaterThan(truths[i]!);
  });
}

describe("a rate by ground", () => {
  it("brings together fields that change from season to season", () => {
    const result = told((season, field) => [`${field} of ${season}`, field.toLowerCase()]);
    expectTruth(result);
    expect(byFieldLine(result, measuresOf(result))).toMatch(
      /^And by ground\? bottom needs more seed than hill \(nearly certain\)\./i,
    );
  });

  it("tells the grounds of one field apart, and says so", () => {
    const result = told((_, field) => ["Home", field.toLowerCase()]);
    expectTruth(result);
    expect(result.environments.map(({ field }) => field)).toContain("Home (hill)");
    expect(result.findings.map(({ code }) => code)).toContain("several-grounds");
  });
});
