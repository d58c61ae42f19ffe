import { describe, expect, it } from "vitest";
import { readCsv } from "../read/read-csv.ts";
import { checkTrial } from "../../../src/check/index.ts";
import { defaultSettings, defaultUnits } from "../../../src/vocabulary/settings.ts";

const rates = [800_000, 1_100_000, 1_400_000];
const grain = (rate: number, block: number): number => 50 + rate / 200_000 + 1.7 * block;
/** Two blocks of three rates, and a row without a block for each rate. */
const check = (nameless: (rate: number) => number) => {
  const rows = rates.flatMap((rate) => [
    ...[1, 2].map((block) => `Alder,2026,${block},${rate},${grain(rate, block)}`),
    `Alder,2026,,${rate},${nameless(rate).toFixed(1)}`,
  ]);
  const trial = readCsv(`variety,season,block,rate,yield\n${rows.join("\n")}\n`);
  return checkTrial(trial, defaultSettings, defaultUnits);
};
const mean = (rate: number): number => (grain(rate, 1) + grain(rate, 2)) / 2;

describe("averages among the strips that have no name for it", () => {
  it("are left out, each told", () => {
    const { strips, rowsLeftOut, rowsRead, findings } = check(mean);
    expect([strips.length, rowsLeftOut, rowsRead]).toEqual([6, 3, 9]);
    expect(findings.filter(({ code }) => code === "row-average").map(({ row }) => row)).toEqual([4, 7, 10]);
  });

  it("are strips where one of them is off the mean", () => {
    const { strips, findings } = check((rate) => mean(rate) + (rate === 1_100_000 ? 0.4 : 0));
    expect(strips).toHaveLength(9);
    expect(findings.map(({ code }) => code)).not.toContain("row-average");
  });
});
