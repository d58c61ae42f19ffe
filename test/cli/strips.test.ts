import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import Papa from "papaparse";
import { beforeAll, describe, expect, it } from "vitest";
import type { Harvest } from "../../src/vocabulary/harvest.ts";
import { simulateHarvest, simulatedStrips } from "../simulate-harvest.ts";
import { scratchFolder, runHere } from "./run.ts";

const folder = scratchFolder();
const path = (name: string): string => join(folder, name);
const strips = simulatedStrips(11, 2, 1);
const made = simulateHarvest({ seed: 11, strips, lengthM: 200 });

beforeAll(() => {
  writeFileSync(path("harvest.csv"), made.yieldCsv);
  writeFileSync(path("seeded.csv"), made.seededCsv);
  writeFileSync(
    path("sheet.csv"),
    [
      "farm,field,season,block,position,variety,rate (seeds/ac),note",
      ...strips.map(
        ({ rate }, s) => `Home,North,2026,${Math.floor(s / 4) + 1},${s + 1},Named,${rate},n${s + 1}`,
      ),
    ].join("\n"),
  );
});

const rowsOf = (name: string): Record<string, string>[] =>
  Papa.parse<Record<string, string>>(readFileSync(path(name), "utf8").trim(), { header: true }).data;

/** Runs the command on drill and combine, with further options. */
const stripsTo = (name: string, ...options: string[]) =>
  runHere(["strips", path("harvest.csv"), "--seeded", path("seeded.csv"), "-o", path(name), ...options]);

describe("strips", () => {
  it("goes from points to a strips file that check accepts and fit answers", async () => {
    const { code, out, err } = await stripsTo(
      "strips.csv",
      "--page",
      path("strips.html"),
      "--json",
      path("strips.json"),
    );
    expect([code, err]).toEqual([
      0,
      `Wrote ${["strips.csv", "strips.html", "strips.json"].map(path).join(", ")}.\n`,
    ]);
    expect(out).toContain("Grain came");
    expect(rowsOf("strips.csv")).toHaveLength(8);
    expect(rowsOf("strips.csv")[0]).toMatchObject({ season: "2026", position: "1", variety: "Made 1" });
    const check = await runHere(["check", path("strips.csv")]);
    expect(check.code).toBe(0);
    const fit = await runHere(["fit", path("strips.csv"), "--json"]);
    expect(fit.code).toBe(0);
    expect((JSON.parse(fit.out) as { next: unknown[] }).next).toHaveLength(1);
  });

  it("takes weights of a wagon, and check reads the strips file with what it says of them", async () => {
    const weights = strips.map((_, s) => `${s + 1},${4_000 + 10 * s}`);
    writeFileSync(path("wagon.csv"), ["strip,weight (lb)", ...weights].join("\n"));
    const { code, out } = await stripsTo(
      "weighed.csv",
      "--weighed",
      path("wagon.csv"),
      "--calibrate",
      "each",
      "--delay",
      "10",
    );
    expect(code).toBe(0);
    expect(out).toContain("The scale found");
    expect(rowsOf("weighed.csv")[0]).toMatchObject({ yield_from: "scale" });
    const check = await runHere(["check", path("weighed.csv")]);
    expect(check.code).toBe(0);
    const without = await stripsTo("no.csv", "--calibrate", "one");
    expect([without.code, without.err]).toEqual([2, expect.stringContaining("--weighed")]);
  });

  it("writes no place on earth into table, page, JSON or terminal", async () => {
    const { out } = await stripsTo(
      "placeless.csv",
      "--page",
      path("placeless.html"),
      "--json",
      path("placeless.json"),
    );
    const written = ["placeless.csv", "placeless.html", "placeless.json"].map((name) =>
      readFileSync(path(name), "utf8"),
    );
    // The simulated field is at 47.2° N, 98.4° W.
    for (const text of [out, ...written]) expect(text).not.toMatch(/47\.[12]\d{3}|98\.[34]\d{3}/);
    const harvest = JSON.parse(written[2]!) as Harvest;
    for (const { x, y } of harvest.map.harvested) expect(Math.hypot(x, y)).toBeLessThan(400);
  });

  it("takes variety, block and notes from a field sheet", async () => {
    const { code } = await runHere([
      "strips",
      path("harvest.csv"),
      "--seeded",
      path("seeded.csv"),
      "--sheet",
      path("sheet.csv"),
      "-o",
      path("named.csv"),
      "--quiet",
    ]);
    // The drill's file names another variety than the sheet: the sheet is not used, and that is said.
    expect(code).toBe(0);
    writeFileSync(path("bare.csv"), made.seededCsv.replaceAll(/,Made 1$/gm, "").replace(",variety", ""));
    const bare = await runHere([
      "strips",
      path("harvest.csv"),
      "--seeded",
      path("bare.csv"),
      "--sheet",
      path("sheet.csv"),
      "-o",
      path("named.csv"),
      "--quiet",
      "--overwrite",
    ]);
    expect(bare.code).toBe(0);
    expect(rowsOf("named.csv").map(({ variety, farm, block, note }) => [farm, variety, block, note])).toEqual(
      strips.map((_, s) => ["Home", "Named", String(Math.floor(s / 4) + 1), `n${s + 1}`]),
    );
  });

  it("takes a header's meaning, a variety and a year by option", async () => {
    writeFileSync(
      path("odd.csv"),
      made.seededCsv.replaceAll(/,Made 1$/gm, "").replace("rate (seeds/ac),variety", "Col_Seven"),
    );
    const args = [
      "strips",
      path("harvest.csv"),
      "--seeded",
      path("odd.csv"),
      "-o",
      path("odd-strips.csv"),
      "--quiet",
    ];
    const without = await runHere(args);
    expect(without.code).toBe(2);
    expect(without.err).toContain("no column holds the rate");
    const { code, out, err } = await runHere([
      ...args.slice(0, -1),
      "--column",
      "Col_Seven=rate (seeds/ac)",
      "--column",
      "Col_8=target (seeds/ac)",
      "--variety",
      "Odd",
      "--year",
      "2025",
    ]);
    expect(code).toBe(0);
    expect(rowsOf("odd-strips.csv")[0]).toMatchObject({ variety: "Odd", season: "2025" });
    expect(out + err).toMatch(
      /--column says what Col_8 means, but no file has such a column\. They have .*Col_Seven.*\. Write the header/,
    );
    expect(out + err).not.toContain("what Col_Seven means");
  });

  it.each([
    [["--column", "rate"], "Write the header, =, and what it means"],
    [["--delay", "late"], "Give seconds from 0 to 60"],
    [["--without", "everything"], "Allowed choices are"],
    [["--crop", "turnip"], "Allowed choices are"],
    [["--year", "3000"], "Give the year of harvest, such as 2026"],
    [
      ["--combine-width", "0.1 ft"],
      "--combine-width: 0 ft is impossible; it must be between 1 ft and 197 ft",
    ],
    [["--drill-width", "900"], "--drill-width: 900 ft is impossible"],
  ])("refuses %s", async (options, words) => {
    const { code, err } = await stripsTo("no.csv", ...options);
    expect(code).toBe(2);
    expect(err).toContain(words);
  });

  it("says beside the strips on standard output what it made of the points, and nothing when told to be quiet", async () => {
    const args = [
      "strips",
      path("harvest.csv"),
      "--seeded",
      path("seeded.csv"),
      "-o",
      "-",
      "--column",
      "Rt=rate",
    ];
    const said = await runHere(args);
    expect(said.out).toMatch(/^farm,field,season,/);
    expect(said.err).toContain("--column says what Rt means, but no file has such a column.");
    expect(said.err).toContain("Grain came");
    expect(said.err).not.toContain("Wrote");
    const quiet = await runHere([...args, "-q"]);
    expect([quiet.out, quiet.err]).toEqual([said.out, ""]);
  });

  it("leaves a file that is there, and says so, before any work", async () => {
    writeFileSync(path("there.csv"), "mine");
    const { code } = await stripsTo("there.csv");
    expect(code).toBe(2);
    expect(readFileSync(path("there.csv"), "utf8")).toBe("mine");
  });

  it("does as it is told with a step off and a delay given", async () => {
    const { out } = await stripsTo(
      "told.csv",
      "--delay",
      "9",
      "--without",
      "far-out",
      "--json",
      path("told.json"),
    );
    expect(out).not.toContain("far from the readings");
    const harvest = JSON.parse(readFileSync(path("told.json"), "utf8")) as Harvest;
    expect(harvest.delay).toMatchObject({ seconds: 9, how: "given" });
    expect(harvest.switchedOff).toEqual(["far-out"]);
  });
});
