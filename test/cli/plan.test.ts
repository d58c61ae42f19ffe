import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import type { Result } from "../../src/vocabulary/result.ts";
import type { StripPlan } from "../../src/vocabulary/strip-plan.ts";
import { demo, run, runHere, scratchFolder, stripsOf } from "./run.ts";

const folder = scratchFolder();
const ground = [
  "--field-length",
  "1200",
  "--field-width",
  "1320",
  "--drill-width",
  "40",
  "--combine-width",
  "35",
];
/** Two varieties will do: each is fitted and planned anew in every run. */
const strips = join(folder, "strips.csv");
writeFileSync(strips, stripsOf("Ostrindel", "Quavenby"));
const past = [strips, "--lots", demo("lots.csv"), "--season", demo("season.yaml"), "--field", "East"];
const small = ["--blocks", "3", "--rates", "4"];
describe("varieties to plant", () => {
  it("are asked about where a name is probably another's, misspelt", async () => {
    const args = ["plan", strips, ...ground, "--no-paper", "--varieties"];
    const { code, err } = await runHere([...args, "Quavenby", "Ostrindle", "-o", join(folder, "misspelt")]);
    expect({ code, err }).toEqual({
      code: 2,
      err: `--varieties names "Ostrindle", which has neither strips nor a lot. Is "Ostrindel" meant? If it is another variety, give it a row in the lots.\n`,
    });
  });
});

const first = ["plan", "--varieties", "Ostrindel", "--expected-yield", "55", ...ground, ...small];

describe("stripcurve plan", () => {
  it("names all that it cannot do without at once", async () => {
    const { code, err } = await runHere(["plan", strips, "--drill-width", "40", "-o", "plan"]);
    expect(code).toBe(2);
    expect(err).toContain(
      "These options have to be given as well: --field-length <length>; --field-width <width>; --combine-width <width>.",
    );
  });

  it("writes sheet, map, page and plan, and says in a few lines what to plant", async () => {
    const output = join(folder, "next");
    const { code, out, err } = await runHere(["plan", ...past, ...ground, ...small, "--json", "-o", output]);
    expect(err).toContain("Wrote");
    expect(code).toBe(0);
    expect(out).toContain("Strips for 2027");
    expect(out).toMatch(/Ostrindel +0\.\d\d/);
    const plan = JSON.parse(readFileSync(join(output, "plan.json"), "utf8")) as StripPlan;
    expect(plan.outcomes.map((outcome) => outcome.truth)).toEqual(["low", "middle", "high"]);
    expect(plan.outcomes.every((outcome) => outcome.varieties.length === plan.varieties.length)).toBe(true);
    const sheet = readFileSync(join(output, "field-sheet.csv"), "utf8").trimEnd().split("\r\n");
    expect(sheet).toHaveLength(1 + plan.chosen.strips);
    expect(readFileSync(join(output, "field-map.svg"), "utf8")).toMatch(/^<svg /);
    const page = readFileSync(join(output, "plan.html"), "utf8");
    const fit = await runHere(["fit", ...past.slice(0, 5), "--json"]);
    expect(plan.advice).toEqual((JSON.parse(fit.out) as Result).stripAdvice);
    const verdict = plan.chosen.pays === true ? "These strips pay" : "These strips do not pay";
    expect(out.split("\n")[1]).toContain(verdict);
    expect(page.slice(page.indexOf("</h1>"), page.indexOf("<section"))).toContain(verdict);
    expect(page).toContain("Three simulated outcomes");
    expect(page).not.toContain("<script");
  });

  it("makes a sheet that goes into report as it is when filled in", async () => {
    const path = join(folder, "next", "field-sheet.csv");
    const [head, ...rows] = readFileSync(path, "utf8").trimEnd().split("\r\n");
    const weight = head!.split(",").findIndex((name) => name.startsWith("strip_weight"));
    const filled = rows.map((row, r) =>
      row
        .split(",")
        .map((cell, i) => (i === weight ? String(4000 + ((37 * r) % 300)) : cell))
        .join(","),
    );
    writeFileSync(path, [head, ...filled].join("\r\n"));
    const { code, out } = await runHere(["check", strips, path]);
    expect(code).toBe(0);
    expect(out).not.toContain(`left out: ${rows.length}`);
    const fit = await runHere(["fit", strips, path, "--json"]);
    const result = JSON.parse(fit.out) as { environments: { id: string; strips: number }[] };
    expect(result.environments.find(({ id }) => id === "2027 East")?.strips).toBe(rows.length);
  });

  it("never writes over a sheet that may be filled in, unless told to", async () => {
    const output = join(folder, "kept");
    await runHere([...first, "--no-paper", "-o", output]);
    const sheet = join(output, "field-sheet.csv");
    writeFileSync(sheet, "a season's work");
    const again = await runHere([...first, "--no-paper", "-o", output]);
    expect(again.code).toBe(2);
    expect(again.err).toContain("--overwrite");
    expect(readFileSync(sheet, "utf8")).toBe("a season's work");
    expect((await runHere([...first, "--no-paper", "--overwrite", "-o", output])).code).toBe(0);
    expect(readFileSync(sheet, "utf8")).toMatch(/^strip,farm,field/);
  });

  it("plans a first trial in metric units", async () => {
    const output = join(folder, "first");
    const { code, out } = await runHere([
      "plan",
      "--varieties",
      "Ostrindel",
      "Quavenby",
      "--units",
      "metric",
      "--expected-yield",
      "4500",
      "--field-length",
      "800",
      "--field-width",
      "300",
      "--drill-width",
      "9",
      "--combine-width",
      "7.5",
      ...small,
      "--no-paper",
      "-o",
      output,
    ]);
    expect(code).toBe(0);
    expect(out).toContain("viable seeds/m²");
    expect(out).toContain("9.0 m wide");
    expect(readFileSync(join(output, "field-sheet.csv"), "utf8")).toContain("rate (seeds/m2)");
  });

  it.each([
    [["--field-width", "220"], "would fit"],
    [["--drill-width", "0"], "between 1 ft and 197 ft"],
    [["--combine-width", "wide"], "--combine-width"],
    [["--blocks", "2.5"], "whole number"],
    [["--layout", "circles"], "varieties-in-strips"],
  ])("%j ends with 2 and says what to do", async (wrong, says) => {
    const output = join(folder, "nothing");
    const [option] = wrong;
    const others = first.filter((arg, i) => arg !== option && first[i - 1] !== option);
    const { code, err } = await runHere([...others, ...wrong, "-o", output]);
    expect(code).toBe(2);
    expect(err).toContain(says);
    expect(existsSync(output)).toBe(false);
  });

  it("gives the same bytes twice, in a process of its own and in one that has planned before", async () => {
    const [a, b] = ["a", "b"].map((name) => join(folder, name)) as [string, string];
    await runHere([...first, "--json", "-o", a]);
    await run([...first, "--json", "-o", b]);
    expect(readFileSync(join(b, "plan.json"), "utf8")).toBe(readFileSync(join(a, "plan.json"), "utf8"));
  });
});
