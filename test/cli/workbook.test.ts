import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { demo, run } from "./run.ts";

const book = fileURLToPath(new URL("../fixtures/workbooks/openpyxl.xlsx", import.meta.url));

describe("a workbook", () => {
  it("is checked like the CSV of its sheet, lots and all", async () => {
    const asBook = await run([
      "check",
      book,
      "--sheet",
      "Strips 2024",
      "--lots",
      book,
      "--lots-sheet",
      "Lots",
    ]);
    const asCsv = await run(["check", demo("strips-2024.csv"), "--lots", demo("lots.csv")]);
    expect(asBook.code).toBe(asCsv.code);
    expect(asBook.out.replaceAll(`${book} [Strips 2024]`, "FILE")).toBe(
      asCsv.out.replaceAll(demo("strips-2024.csv"), "FILE"),
    );
  });

  it("with several sheets is asked about, in one line", async () => {
    const { code, out, err } = await run(["fit", book]);
    expect([code, out]).toEqual([2, ""]);
    expect(err).toMatch(
      /has several sheets: "Strips 2024", "Lots"\. Name the one with the strips: --sheet "Strips 2024"\.\n$/,
    );
  });
});
