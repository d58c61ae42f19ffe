import { describe, expect, it } from "vitest";
import { readLots } from "../../../src/read/lots.ts";
import { defaultSettings } from "../../../src/vocabulary/settings.ts";
import { bytesOf, readCsv, us } from "./read-csv.ts";

const stripsWith = (header: string, cells: string) =>
  readCsv(`variety,season,rate (lb/ac),yield (bu/ac),${header}\nAnser,2025,100,60,${cells}\n`);
const rowFindings = (header: string, cells: string): string[] =>
  stripsWith(header, cells)
    .findings.filter(({ row }) => row === 2)
    .map(({ code, column, value }) => `${code} ${column} ${value}`);

describe("a kernel weight with its unit in the cell", () => {
  it("is no number with a footnote", () => {
    expect(rowFindings("tkw,germ %", "38 g,96")).toEqual([]);
    expect(rowFindings("tkw,germ %", "38g,96")).toEqual([]);
    expect(stripsWith("tkw,germ %", "38 g,96").strips[0]!.seedsPerKg).toBeCloseTo(1e6 / 38, 6);
  });

  it("leaves other letters marks of a comparison", () => {
    expect(rowFindings("tkw,germ %", "38 ab,96")).toEqual(["number-with-letters tkw_g 38 ab"]);
  });
});

describe("a rate by weight", () => {
  it.each(["196", "100.5"])("is not turned into seeds with a germination of %s%", (germination) => {
    expect(stripsWith("tkw,germ %", `38,${germination}`).strips).toEqual([]);
    expect(rowFindings("tkw,germ %", `38,${germination}`)).toEqual([
      `row-seed-share-impossible germination_pct ${germination}`,
    ]);
  });

  it("is not turned into seeds with an impossible purity", () => {
    expect(stripsWith("tkw,germ %,purity", "38,96,980").strips).toEqual([]);
    expect(rowFindings("tkw,germ %,purity", "38,96,980")).toEqual([
      "row-seed-share-impossible purity_pct 980",
    ]);
    expect(stripsWith("tkw,germ %,purity", "38,96,100").strips).toHaveLength(1);
  });
});

describe("a lot with an impossible germination", () => {
  it("is told once, with what is assumed instead", () => {
    const { findings, lots } = readLots(
      { name: "lots.csv", bytes: bytesOf("variety,tkw,germ %,purity\nAnser,38,196,98\n") },
      defaultSettings,
      us,
    );
    expect(findings.map(({ code, column }) => `${code} ${column}`)).toEqual([
      "value-impossible-share germination_pct",
    ]);
    expect(findings[0]!.message).toContain("100% is assumed");
    expect(lots[0]!.assumed).toContain("germination_pct");
  });
});
