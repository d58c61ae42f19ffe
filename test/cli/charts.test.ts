import { cpSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { describe, expect, it } from "vitest";
import { command, oneVariety, run, scratchFolder, filesIn, runHere } from "./run.ts";

const folder = scratchFolder();

const few = oneVariety(folder, "Telluwick");

/** Width of a PNG [px], from its header (PNG specification, third edition, 11.2.1). */
const widthOf = (png: Buffer): number => png.readUInt32BE(16);

describe("report --charts", () => {
  it("writes every chart three times, beside the report, and says so", async () => {
    const charts = join(folder, "slides", "2027");
    const { code, err } = await runHere(["report", few, "-o", join(folder, "a.html"), "--charts", charts]);
    expect(code).toBe(0);
    expect(err).toContain(`Wrote the charts into ${charts}.`);
    const names = filesIn(charts);
    const endings = (name: string): string => name.replace(/^[^.]*/, "");
    expect(new Set(names.map(endings))).toEqual(new Set([".svg", ".png", ".vl.json"]));
    const charted = new Set(names.map((name) => name.replace(/\..*/, "")));
    expect(names).toHaveLength(3 * charted.size);
    expect(charted).toContain("rates");
    for (const name of charted) {
      const png = readFileSync(join(charts, `${name}.png`));
      expect(png.subarray(0, 8)).toEqual(Buffer.from([137, 80, 78, 71, 13, 10, 26, 10]));
      const [, width] = /viewBox="0 0 ([0-9.]+)/.exec(readFileSync(join(charts, `${name}.svg`), "utf8"))!;
      expect(Math.abs(widthOf(png) - 3 * Number(width))).toBeLessThanOrEqual(3);
    }
  });

  it("writes pictures and specs, and says what lacks, where the package that draws PNG is not installed", async () => {
    const dist = join(folder, "dist");
    cpSync(dirname(command), dist, { recursive: true });
    const charts = join(folder, "no-png");
    const { code, err } = await run(
      ["report", few, "-o", join(folder, "b.html"), "--charts", charts, "--quiet"],
      { program: join(dist, "stripcurve.js") },
    );
    expect(code).toBe(0);
    expect(err).toContain("No PNG pictures: PNG needs the package @resvg/resvg-js");
    expect(new Set(filesIn(charts).map((name) => name.replace(/^[^.]*/, "")))).toEqual(
      new Set([".svg", ".vl.json"]),
    );
  });

  it("writes into the folder asked alone, whatever a variety is called", async () => {
    const here = join(folder, "hostile");
    mkdirSync(here);
    const hostile = readFileSync(few, "utf8").replaceAll("Telluwick", "../../escaped/<b>");
    writeFileSync(join(here, "strips.csv"), hostile);
    const { code } = await runHere([
      "report",
      join(here, "strips.csv"),
      "-o",
      join(here, "report.html"),
      "--charts",
      join(here, "charts"),
      "--quiet",
    ]);
    expect(code).toBe(0);
    expect(filesIn(here)).toEqual(["charts", "report.html", "strips.csv"]);
    expect(readdirSync(join(here, "charts"))).toContain("response-1-escaped-b.svg");
  });

  it("do not go into a file, which is said before the strips are analysed, and then no report is written either", async () => {
    const path = join(folder, "file");
    writeFileSync(path, "old");
    const loud = await runHere([
      "report",
      few,
      "-o",
      join(folder, "none.html"),
      "--charts",
      join(path, "below"),
    ]);
    expect(loud.code).toBe(2);
    expect(loud.err).toContain(`Cannot write into ${path}: it is a file, not a folder.`);
    const report = join(folder, "none.html");
    const { code, err } = await runHere(["report", few, "-o", report, "--charts", path, "--quiet"]);
    expect({ code, err }).toEqual({
      code: 2,
      err: `Cannot write into ${path}: it is a file, not a folder.\n`,
    });
    expect(readdirSync(folder)).not.toContain("none.html");
  });
});
