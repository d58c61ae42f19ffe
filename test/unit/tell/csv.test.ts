import Papa from "papaparse";
import { describe, expect, it } from "vitest";
import type { Result } from "../../../src/vocabulary/result.ts";
import { csvPieces, csvText, gridText } from "../../../src/tell/csv/csv-text.ts";
import { demoResult } from "../../fixtures/demo.ts";
import { csvTables } from "../../../src/tell/csv/index.ts";

const cellsOf = (text: string): string[][] => Papa.parse<string[]>(text.slice(0, -2)).data;
const oneCell = (value: string | number | null): string =>
  cellsOf(csvText([{ header: "x", cell: () => value }], [0]))[1]![0]!;

describe("csvText", () => {
  it("is RFC 4180: quotes doubled, line ends CR LF", () => {
    const columns = ["a", "b"].map((header) => ({
      header,
      cell: (row: Record<string, string>) => row[header]!,
    }));
    const text = csvText(columns, [{ a: 'say "hi", she said', b: "two\nlines" }]);
    expect(text).toBe('a,b\r\n"say ""hi"", she said","two\nlines"\r\n');
  });

  it.each(["=cmd|' /C calc'!A0", "+1+1", "-1-1", "@SUM(A1)", "\t=1", "\r=1", "=1\n2", "＝1", "-"])(
    "keeps a spreadsheet from running %j",
    (text) => {
      expect(oneCell(text)).toBe(`'${text}`);
    },
  );

  // Common practice, without a source: a spreadsheet whose cells are parted by semicolons parts these too.
  it.each([
    ["A;=1+1", "A;'=1+1"],
    ["A; @SUM(1)", "A;' @SUM(1)"],
    ['A;"=1+1', `A;'"=1+1`],
    ["A;+1+1", "A;'+1+1"],
    ["A;B;-cmd", "A;B;'-cmd"],
    ["A\n=1", "A\n'=1"],
    [";=1", ";'=1"],
    ["A; -5", "A; -5"],
    ["A;B = C", "A;B = C"],
  ])("keeps a spreadsheet that parts cells at semicolons from running %j", (text, safe) => {
    const columns = [{ header: "x", cell: () => text }];
    const commas = { delimiter: "," };
    expect(Papa.parse<string[]>(csvText(columns, [0]), commas).data[1]).toEqual([safe]);
    expect(Papa.parse<string[]>(gridText([["x", text]]), commas).data[0]).toEqual(["x", safe]);
  });

  it("leaves numbers and harmless text as they are", () => {
    for (const value of ["Ostrindel", "-5", "+5.25", "-1.6e-11", "a=b", " =1", "№ 1"])
      expect(oneCell(value)).toBe(value);
    expect(oneCell(-0.5)).toBe("-0.5");
    expect(oneCell(0.1 + 0.2)).toBe("0.3");
    expect(oneCell(null)).toBe("");
  });
});

const optimum = {
  kind: "found",
  rateSeedsPerM2: 300,
  lower: null,
  upper: 400,
  reason: "no-lower-end",
} as const;
const coefficients = { intercept: 1000, linear: 10, quadratic: -0.01, join: null, plateau: null };
const demo = demoResult();

/** The demo with one fit whose numbers can be followed by hand. */
const result = (system: "us" | "metric"): Result => {
  const [fit] = demo.fits;
  const [form] = fit!.forms;
  return {
    ...demo,
    units: { system, currency: "$" },
    fits: [
      {
        ...fit!,
        variety: "=Ostrindel",
        cells: [{ block: "1", rateSeedsPerM2: 300, strips: 1, meanYieldKgPerHa: 4000 }],
        forms: [
          {
            ...form!,
            coefficients,
            standardErrors: coefficients,
            residualSdKgPerHa: 100,
            yieldOptimum: optimum,
            economicOptimum: { kind: "none", reason: "no-response" },
          },
        ],
      },
    ],
  };
};

const tableOf = (system: "us" | "metric", name: string): Record<string, string> => {
  const { text } = csvTables(result(system)).find((table) => table.name === name)!;
  return Papa.parse<Record<string, string>>(text, { header: true }).data[0]!;
};

describe("csvPieces", () => {
  it("are never more than a hundred rows, and put together what papaparse writes of all at once", () => {
    const rows = Array.from({ length: 250 }, (_, i) => ({ n: i, text: i % 7 === 0 ? 'a, "b"' : null }));
    const columns = [
      { header: "n", cell: (row: (typeof rows)[number]) => row.n },
      { header: "text", cell: (row: (typeof rows)[number]) => row.text },
    ];
    const pieces = [...csvPieces(columns, rows)];
    const data = rows.map(({ n, text }) => [n, text]);
    expect(pieces.join("")).toBe(`${Papa.unparse({ fields: ["n", "text"], data })}\r\n`);
    expect(pieces.map((piece) => piece.split("\r\n").length - 1)).toEqual([100, 100, 51]);
  });

  it("write a number with ten digits, as the language writes what is left of it", () => {
    const numbers = [
      0,
      -0,
      12,
      -12.5,
      1e10,
      123456789012,
      0.1 + 0.2,
      2 / 3,
      1e-7,
      -1 / 3e9,
      1e21,
      99999.999996,
    ];
    const text = csvText([{ header: "n", cell: (n: number) => n }], numbers);
    expect(text.split("\r\n").slice(1, -1)).toEqual(numbers.map((n) => String(Number(n.toPrecision(10)))));
  });
});

describe("csvTables", () => {
  it("gives every table that has rows, each cell a number, a word or nothing", () => {
    const tables = csvTables(demo);
    expect(tables.map((table) => table.name)).toEqual(
      expect.arrayContaining(["next.csv", "pooled.csv", "strips.csv"]),
    );
    for (const { name, text } of tables) {
      const { data, errors } = Papa.parse<string[]>(text.slice(0, -2));
      expect(errors, name).toEqual([]);
      expect(data.length, name).toBeGreaterThan(1);
      expect(new Set(data.map((row) => row.length)).size, name).toBe(1);
      expect(text, name).not.toMatch(/NaN|undefined|Infinity|\[object/);
    }
    const { strips } = demo;
    expect(cellsOf(tables.find(({ name }) => name === "strips.csv")!.text)).toHaveLength(strips.length + 1);
    const none = csvTables({ ...demo, fits: [], strips: [] }).map(({ name }) => name);
    for (const name of ["fits.csv", "rates.csv", "strips.csv"]) expect(none).not.toContain(name);
  });

  it("gives coefficients that hold in the person's units", () => {
    const fit = tableOf("us", "fits.csv");
    const at = (name: string): number =>
      Number(fit[Object.keys(fit).find((header) => header.startsWith(`${name} (`))!]);
    // 300 seeds/m² is 1,214,057 seeds/ac; 1000 + 10·300 − 0.01·300² = 3100 kg/ha is 46.096 bu/ac of 60 lb (1 bu/ac = 67.251 kg/ha).
    const rate = 300 * 4046.8564224;
    expect(at("intercept") + at("linear") * rate + at("quadratic") * rate ** 2).toBeCloseTo(
      3100 / 67.2510693,
      5,
    );
    expect(at("yield_optimum_rate")).toBeCloseTo(rate, 2);
    expect(fit).toMatchObject({ variety: "'=Ostrindel", yield_optimum: "found", economic_optimum: "none" });
    expect(fit["yield_optimum_lower (seeds/ac)"]).toBe("");
    expect(at("residual_sd")).toBeCloseTo(100 / 67.25107, 6);
  });

  it("keeps the engine's units in metric", () => {
    expect(tableOf("metric", "rates.csv")).toMatchObject({
      "rate (seeds/m2)": "300",
      "mean_yield (kg/ha)": "4000",
    });
  });

  it("names the tested rates beside a season's best rate, which may lie beyond them", () => {
    const { text } = csvTables(demo).find(({ name }) => name === "season-optima.csv")!;
    const rows = Papa.parse<Record<string, string>>(text.trimEnd(), { header: true }).data;
    expect(rows.length).toBeGreaterThan(10);
    for (const row of rows) {
      const sown = demo.strips.filter(
        ({ variety, environment }) => variety === row["variety"] && environment === row["environment"],
      );
      const rates = sown.map(({ rateSeedsPerM2 }) => rateSeedsPerM2 * 4046.8564224);
      expect(Number(row["lowest_tested (seeds/ac)"])).toBeCloseTo(Math.min(...rates), 2);
      expect(Number(row["highest_tested (seeds/ac)"])).toBeCloseTo(Math.max(...rates), 2);
    }
  });
});
