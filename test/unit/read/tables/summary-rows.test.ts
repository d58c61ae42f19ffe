import { describe, expect, it } from "vitest";
import { readCsv } from "../read-csv.ts";

const head = "variety,season,block,rate (seeds/ac),yield (bu/ac)";
const strips = (variety: string, blocks: readonly string[] = ["1", "2"]): string[] =>
  blocks.flatMap((block, b) =>
    [800_000, 1_100_000, 1_400_000].map((rate, r) => `${variety},2026,${block},${rate},${56 + r + b}.4`),
  );
const read = (...lines: readonly string[]) => readCsv(`${[head, ...lines].join("\n")}\n`);

describe("rows of totals with every cell filled", () => {
  it.each([
    "Count",
    "Overall",
    "Check mean",
    "Site average",
    "Alder mean",
    "PPDS (.05)",
    "GD 5%",
    "HSD 0.05",
    "P>F",
    "Pr > F",
    "R²",
    "Mean 2026",
    "LSD 5",
  ])("are no strips: %j", (word) => {
    const trial = read(...strips("Alder"), `${word},2026,,1100000,57.4`);
    expect(trial.strips.map(({ variety }) => variety)).toEqual(Array(6).fill("Alder"));
    expect(trial.findings.filter(({ code }) => code === "rows-skipped")).toMatchObject([
      { severity: "doubt" },
    ]);
  });

  it.each([
    "SE 3300",
    "CV 21",
    "NS 7",
    "Max 5",
    "N 12",
    "GD 5",
    "P 26",
    "Count Basie",
    "Overland",
    "N",
    "R2",
    "GD",
  ])("are not those of a variety called %j", (variety) => {
    expect(read(...strips(variety)).strips).toHaveLength(6);
  });

  it("are not those of blocks that are named after a side", () => {
    expect(read(...strips("Alder", ["N", "S", "SE", "NS"])).strips.map(({ block }) => block)).toEqual(
      ["N", "S", "SE", "NS"].flatMap((block) => Array(3).fill(block)),
    );
    expect(read(...strips("Alder"), "Alder,2026,avg,1100000,57.4").strips).toHaveLength(6);
  });

  it("are a note alone where cells that a strip needs are empty", () => {
    const { findings } = read(...strips("Alder"), "Average,,,,57.4");
    expect(findings.filter(({ code }) => code === "rows-skipped")).toMatchObject([{ severity: "note" }]);
  });
});
