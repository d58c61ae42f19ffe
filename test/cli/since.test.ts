import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import type { Result } from "../../src/vocabulary/result.ts";
import { demo, scratchFolder, stripsIn, type Outcome, runHere } from "./run.ts";

const folder = scratchFolder();
const lots = ["--lots", demo("lots.csv"), "--season", demo("season.yaml"), "--quiet"];
const earlier = join(folder, "last-year.json");
const written = (name: string, text: string): string => {
  const path = join(folder, name);
  writeFileSync(path, text);
  return path;
};
/** Two varieties will do: every report is worked out anew. */
const [last, now] = ["strips-2025.csv", "strips-2026.csv"].map((file) =>
  written(file, stripsIn(file, "Ostrindel", "Quavenby")),
) as [string, string];
const report = (since: string, ...more: string[]): Promise<Outcome> =>
  runHere(["report", last, now, ...lots, "-o", "-", "--since", since, ...more]);

beforeAll(async () => {
  await runHere(["fit", last, ...lots, "--json", "-o", earlier]);
});

describe("report --since", () => {
  it("says on the page what is new and what it changed", async () => {
    const { code, out, err } = await report(earlier);
    expect({ code, err }).toEqual({ code: 0, err: "" });
    const section = out.slice(out.indexOf('<section id="since">'));
    expect(section).toMatch(/New: 2026 Hill and 2026 North\./);
    expect(section).toMatch(/Advised 1\.44 million seeds\/ac, as then\./);
  });

  it.each([
    ["text.json", "not JSON", /is not a result of stripcurve\. Give a file that/],
    ["null.json", "null", /is not a result of stripcurve/],
    ["list.json", "[1, 2]", /is not a result of stripcurve/],
    ["seed.json", '{"schema": "stripcurve-seed-1", "cards": []}', /is not a result of stripcurve/],
    ["empty.json", '{"schema": "stripcurve-result-1"}', /the whole lacks .*from another version.*fit --json/],
    ["older.json", '{"schema": "stripcurve-result-0", "engineVersion": "0.0.9"}', /comes from 0\.0\.9/],
  ])("refuses %s in one line that says what to do", async (name, text, message) => {
    const { code, out, err } = await report(written(name, text));
    expect({ code, out }).toEqual({ code: 2, out: "" });
    expect(err).toMatch(message);
    expect(err.trimEnd()).not.toContain("\n");
  });

  it("names the place where a result lacks something, and takes one with something more", async () => {
    const result = JSON.parse(readFileSync(earlier, "utf8")) as { next: Record<string, unknown>[] };
    const more = { ...result, added: [1], next: result.next.map((next) => ({ ...next, added: true })) };
    expect((await report(written("more.json", JSON.stringify(more)))).code).toBe(0);
    delete result.next[1]!["evidence"];
    const { code, err } = await report(written("lacking.json", JSON.stringify(result)));
    expect(code).toBe(2);
    expect(err).toContain(": next.1 lacks evidence.");
  });

  it.each<[string, (result: Result) => void, RegExp]>([
    [
      "a seed count",
      ({ settings }) => (settings.lots[0]!.seedsPerKg = -5),
      /lot of \w+, seeds_per_lb: a seed/,
    ],
    [
      "germination",
      ({ settings }) => (settings.lots[0]!.germination = 4),
      /germination of 400% is impossible/,
    ],
    ["a rate", ({ next }) => (next[0]!.rateNextSeedsPerM2 = -1e300), /answer for \w+, rate: a rate of −/],
    [
      "an end of a range",
      ({ next }) => (next[1]!.intervals[0]!.upper = 1e12),
      /answer for \w+, rate: a rate of /,
    ],
    ["the step of the drill", ({ settings }) => (settings.rateStepSeedsPerM2 = 1e-9), /rate_step: a step/],
    ["row spacing", ({ settings }) => (settings.rowSpacingM = 75), /row_spacing: a row spacing of/],
    [
      "a stand loss",
      ({ settings }) => (settings.standLoss = -1),
      /stand_loss = "-100%": It has to be between/,
    ],
    ["a step", ({ settings }) => (settings.largestStep = 9), /largest_step = "900%": It has to be between/],
    ["a lodging limit", ({ settings }) => (settings.lodgingLimit = -0.1), /lodging_limit = "-10%": It has/],
  ])("refuses a result with %s that cannot be, here and for a seed card", async (what, change, message) => {
    const result = JSON.parse(readFileSync(earlier, "utf8")) as Result;
    change(result);
    const path = written(`impossible ${what}.json`, JSON.stringify(result));
    for (const { code, out, err } of [await report(path), await runHere(["seed", "--from", path])]) {
      expect({ code, out }).toEqual({ code: 2, out: "" });
      expect(err).toMatch(message);
      expect(err).toContain(`${path}, `);
    }
  });

  it("does not compare wheat with barley, nor dollars with euros", async () => {
    const text = readFileSync(earlier, "utf8");
    const barley = written("barley.json", text.replace('"crop":"wheat"', '"crop":"barley"'));
    expect(await report(barley)).toMatchObject({
      code: 2,
      err: `${barley} cannot be used here: its crop is barley, and now it is wheat.\n`,
    });
    const euros = written("euros.json", text.replace('"currency":"$"', '"currency":"€"'));
    expect((await report(euros)).err).toContain("its money is €, and now it is $");
  });

  it("does not write over the earlier result, and names a missing one", async () => {
    const over = await runHere(["report", now, ...lots, "--since", earlier, "-o", earlier]);
    expect(over).toMatchObject({ code: 2, err: expect.stringContaining("one of the files that are read") });
    expect((await report(join(folder, "none.json"))).err).toContain("there is no such file");
  });
});
