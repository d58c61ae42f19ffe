/** Means in a table of their own beside the strips, as many a spreadsheet of a trial ends. */
import { describe, expect, it } from "vitest";
import { readCsv } from "../read-csv.ts";

const strips = `variety,season,rate (million/ac),yield (bu/ac)
Alder,2024,0.8,60.1
Alder,2024,1.2,63.5
Alder,2024,0.8,59.1
Alder,2024,1.2,64.5
`;
const means = "variety,rate (million/ac),yield (bu/ac)\nAlder,0.8,59.6\nAlder,1.2,64.0\n";

describe("means in a table of their own", () => {
  it.each(["Means", "Mean yields of both blocks", "Zusammenfassung", "Moyennes", "Promedios 2024"])(
    "are no strips where a title says so: %s",
    (title) => {
      const trial = readCsv(`${strips}\n${title}\n${means}`);
      expect(trial.strips.map((strip) => strip.place.row)).toEqual([2, 3, 4, 5]);
      const told = trial.findings.filter(({ code }) => code === "summary-below");
      expect(told.map(({ file, row, message }) => ({ file, row, message }))).toEqual([
        {
          file: "strips.csv",
          row: 8,
          message: `The table from here on, below "${title}", sums up strips and is not read.`,
        },
      ]);
    },
  );

  it.each([
    ["without a title", `${strips}\n${means}`, 7],
    ["below a title that says nothing of means", `${strips}\nMeaning of colours\n${means}`, 8],
  ])("are refused %s, and never taken for strips of a season", (_, text, row) => {
    expect(() => readCsv(text)).toThrow(
      `strips.csv, row ${row}: the table that begins here has no column "season", which another one in this file has. ` +
        'If it sums up strips, delete it, or write "Means" in the row above it. If it holds strips of its own, give it that column.',
    );
  });

  it("are no strips above them either", () => {
    const trial = readCsv(`Means\n${means}\nAll strips\n${strips}`);
    expect(trial.strips.map((strip) => strip.place.row)).toEqual([8, 9, 10, 11]);
  });

  it("leave a further table of strips as it is", () => {
    const trial = readCsv(`${strips}\nMeans of two combines\n${strips.replaceAll("2024", "2025")}`);
    expect(trial.strips).toHaveLength(8);
  });
});
