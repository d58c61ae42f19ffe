import { describe, expect, it } from "vitest";
import { readCsv, trialErrorOf } from "../read-csv.ts";

const file = (delimiter: string, ...rows: string[][]): string =>
  [["variety", "season", "rate (seeds/m2)", "yield (kg/ha)", "moisture (%)"], ...rows]
    .map((cells) => cells.join(delimiter))
    .join("\n");
const yields = (text: string): number[] =>
  readCsv(`${text}\n`).strips.map(({ yieldKgPerHa }) => yieldKgPerHa);

describe("a number that is two by its decimal mark", () => {
  it("is asked about where nothing in the file tells the mark", () => {
    const error = trialErrorOf(() =>
      yields(file(";", ["Ost", "2026", "300", "5,250", ""], ["Ost", "2026", "250", "5,100", ""])),
    );
    expect(error.code).toBe("number-ambiguous");
    expect(error.message).toContain('strips.csv, row 2, column yield: is "5,250" 5250 or 5.25?');
    expect(error.message).not.toContain("Both decimal marks");
  });

  it("follows the numbers of its own column", () => {
    expect(
      yields(file(";", ["Ost", "2026", "300", "5,250", ""], ["Ost", "2026", "300", "4999,5", ""])),
    ).toEqual([5.25, 4999.5]);
    expect(
      yields(file(";", ["Ost", "2026", "300", "5,250", ""], ["Ost", "2026", "300", "4999.5", ""])),
    ).toEqual([5250, 4999.5]);
    expect(
      yields(file(";", ["Ost", "2026", "300", "5.250", ""], ["Ost", "2026", "300", "1.234.567", ""])),
    ).toEqual([5250, 1_234_567]);
  });

  it("follows the other columns where its own does not tell", () => {
    expect(yields(file("\t", ["Ost", "2026", "300,5", "5.250", ""]))).toEqual([5250]);
    expect(yields(file("\t", ["Ost", "2026", "300.5", "5.250", ""]))).toEqual([5.25]);
  });

  it("follows percents, which cannot be above 100", () => {
    const [grain] = yields(file(";", ["Ost", "2026", "300", "5,250", "13,500"]));
    expect(grain).toBeCloseTo(5.25, 9);
  });

  it("follows percents that are at most 100, either way", () => {
    expect(yields(file(";", ["Ost", "2026", "300", "5,250", "13.500"]))).toEqual([5250]);
    // Grain of 100 % water is left out, but tells the mark.
    const wet = (moisture: string, grain: string): number[] =>
      yields(file(";", ["Ost", "2026", "300", "4000", moisture], ["Ost", "2026", "300", grain, ""]));
    expect(wet("100.000", "5,250")).toEqual([5250]);
    expect(wet("100,000", "5.250")).toEqual([5250]);
  });

  it("is asked about between commas, too, where both marks occur", () => {
    const error = trialErrorOf(() =>
      yields(file(",", ["Ost", "2026", '"300,5"', '"5,250"', ""], ["Ost", "2026", "300.5", "5000", ""])),
    );
    expect(error.message).toContain("Both decimal marks occur in this file.");
  });

  it("has a decimal point between commas, unless quoted cells give away the comma", () => {
    expect(yields(file(",", ["Ost", "2026", "300", '"5,250"', ""]))).toEqual([5250]);
    expect(yields(file(",", ["Ost", "2026", "300", "5.250", ""]))).toEqual([5.25]);
    expect(yields(file(",", ["Ost", "2026", '"300,5"', '"5,250"', ""]))).toEqual([5.25]);
    expect(yields(file(",", ["Ost", "2026", '"300,5"', "5.250", ""]))).toEqual([5250]);
  });

  it("is asked about where both marks occur", () => {
    const error = trialErrorOf(() =>
      yields(
        file(
          ";",
          ["Ost", "2026", "300", "54,2", ""],
          ["Ost", "2026", "300", "54.2", ""],
          ["Ost", "2026", "300", "5,250", ""],
        ),
      ),
    );
    expect(error.message).toContain("Both decimal marks occur in this file.");
  });

  it("does not stand in the way of numbers that are one", () => {
    expect(yields(file(";", ["Ost", "2026", "300", "54,2", ""], ["Ost", "2026", "300", "54.2", ""]))).toEqual(
      [54.2, 54.2],
    );
  });
});
