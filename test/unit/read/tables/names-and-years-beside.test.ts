import { describe, expect, it } from "vitest";
import { checkFarm, readFarm } from "../../../../src/farm/read-farm.ts";
import type { Trial } from "../../../../src/vocabulary/trial.ts";
import { workbook, type Cell } from "../../../fixtures/write-workbook.ts";
import { bytesOf, readCsv, trialErrorOf } from "../read-csv.ts";

const head = ["Variety", "Rep", "Rate (seeds/ac)", "Yield (bu/ac)"];
const strips = (from: number): (string | number)[][] =>
  [1, 2].flatMap((rep) =>
    [800_000, 1_100_000, 1_400_000].map((rate, r) => ["Alder", rep, rate, from + r + rep]),
  );
const cells = (rows: (string | number)[][]): Cell[][] =>
  rows.map((row) => row.map((one) => (typeof one === "number" ? { number: one } : one)));
const text = (rows: (string | number)[][]): string => `${rows.map((row) => row.join()).join("\n")}\n`;

async function readTabs(tabs: Record<string, number>, years: readonly string[] = []): Promise<Trial> {
  const bytes = workbook(
    Object.entries(tabs).map(([name, from]) => ({
      name,
      cells: cells([
        [...head, ...years.slice(0, 1)],
        ...strips(from).map((row) => [...row, ...years.slice(1)]),
      ]),
    })),
  );
  return checkFarm(await readFarm([{ name: "book.xlsx", bytes }]));
}

describe("names that begin with a number", () => {
  it("stay whole where tabs are named after fields", async () => {
    const { strips: read } = await readTabs({ "40 North": 50, "40 South": 57 }, ["Season", "2026"]);
    expect(read.map(({ field }) => field)).toEqual([
      ...Array<string>(6).fill("40 North"),
      ...Array<string>(6).fill("40 South"),
    ]);
  });

  it.each([
    ["Field: 40 acres", "field", "40 acres"],
    ["Block: 2 west", "block", "2 west"],
    ["Variety: 22 R", "variety", "22 R"],
  ] as const)("stay whole in the title %j", (title, column, name) => {
    const without = (row: (string | number)[]) =>
      row.filter((_, index) => !(head[index] === "Variety" && column === "variety") && !(index === 1));
    const rows = [head, ...strips(50)].map((row) => [...without(row), row === head ? "Season" : 2026]);
    expect(readCsv(`${title}\n\n${text(rows)}`).strips.map((strip) => strip[column])).toEqual(
      Array(6).fill(name),
    );
  });

  it("are amounts where the column has a unit", () => {
    const rows = [
      [...head.slice(0, 3), "weight (lb)", "season"],
      ...strips(1500).map((row) => [...row, 2026]),
    ];
    const { strips: read } = readCsv(`Strip length: 1200 ft\nStrip width: 30 ft\n\n${text(rows)}`);
    expect(read[0]!.yieldKgPerHa).toBeCloseTo(((1501 * 43_560) / 36_000) * 1.12085, 1);
  });
});

describe("a season over two years is the year of harvest", () => {
  it("in the names of tabs, and leaves no field behind", async () => {
    const { strips: read } = await readTabs({ "2024-25": 50, "Hill 2025/26": 57 });
    const told = [...new Set(read.map(({ season, field }) => `${season} ${field}`))];
    expect(told.sort()).toEqual(["2025 ", "2026 Hill"]);
  });

  it.each(["Strip trial 2024-25", "Season: 2024/25", "Year: 2024–2025", "Seeded 9/20/2024, cut 7/15/2025"])(
    "in the title %j",
    (title) => {
      const { strips: read } = readCsv(`${title}\n\n${text([head, ...strips(50)])}`);
      expect(new Set(read.map(({ season }) => season))).toEqual(new Set([2025]));
    },
  );

  it.each(["strips_2024-25.csv", "2024_25 strips.csv", "2024-2025.csv"])(
    "in the file's name %j",
    async (name) => {
      const { trial } = await readFarm([{ name, bytes: bytesOf(text([head, ...strips(50)])) }]);
      expect(new Set(trial.strips.map(({ season }) => season))).toEqual(new Set([2025]));
    },
  );

  it.each(["2024/25", "WW 2024/25", "season 2024-25", "2024/25 winter"])("in the cell %j", (season) => {
    const { strips: read } = readCsv(
      text([
        [...head, "season"],
        ["Alder", 1, 800_000, 50, season],
      ]),
    );
    expect(read.map((strip) => strip.season)).toEqual([2025]);
  });

  it("but not a day, a month or a range of years", () => {
    const seasonOf = (season: string) =>
      readCsv(text([[...head, "season"], ...strips(50).map((row) => [...row, season])])).strips[0]?.season;
    expect(["2025-08-12", "2024/26", "2020-2025"].map(seasonOf)).toEqual([2025, undefined, undefined]);
  });
});

describe("a year of seeding or printing", () => {
  it.each(["Trial seeded fall 2024", "Planted Sept 2024", "Printed 3/1/2026"])(
    "is asked about, not taken for that of harvest: %j",
    (title) => {
      const error = trialErrorOf(() => readCsv(`${title}\n\n${text([head, ...strips(50)])}`));
      expect(error.message).toContain('there is no column "season"');
    },
  );

  it("leaves out a row whose season it is", () => {
    const { strips: read, findings } = readCsv(
      text([
        [...head, "season"],
        ["Alder", 1, 800_000, 50, "planted 2024"],
        ["Alder", 1, 1_100_000, 51, 2025],
      ]),
    );
    expect(read.map(({ season }) => season)).toEqual([2025]);
    expect(findings.map(({ code, value }) => [code, value])).toContainEqual([
      "row-season-unclear",
      "planted 2024",
    ]);
  });
});
