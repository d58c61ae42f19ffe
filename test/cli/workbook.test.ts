import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { demo, runHere } from "./run.ts";

const book = fileURLToPath(new URL("../fixtures/workbooks/openpyxl.xlsx", import.meta.url));

describe("a workbook", () => {
  it("is checked like the CSV of its sheet, lots and all", async () => {
    const asBook = await runHere([
      "check",
      book,
      "--sheet",
      "Strips 2024",
      "--lots",
      book,
      "--lots-sheet",
      "Lots",
    ]);
    const asCsv = await runHere(["check", demo("strips-2024.csv"), "--lots", demo("lots.csv")]);
    expect(asBook.code).toBe(asCsv.code);
    expect(asBook.out.replaceAll(`${book} [Strips 2024]`, "FILE")).toBe(
      asCsv.out.replaceAll(demo("strips-2024.csv"), "FILE"),
    );
  });

  it("alone is read with the sheets that hold strips and lots, and the person is told", async () => {
    const whole = await runHere(["fit", book, "--json"]);
    const csv = await runHere(["fit", demo("strips-2024.csv"), "--lots", demo("lots.csv"), "--json"]);
    const plain = (text: string): unknown => {
      const { findings, columns, ...rest } = JSON.parse(text) as Record<string, unknown>;
      return { ...rest, findings: (findings as unknown[]).length > 0, columns: columns === undefined };
    };
    expect(whole.code).toBe(0);
    expect(plain(whole.out)).toEqual(
      plain(csv.out.replaceAll(demo("strips-2024.csv"), `${book} [Strips 2024]`)),
    );
    expect(whole.out).toContain("The seed lots are read from");
  });
});
