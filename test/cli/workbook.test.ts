import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { demo, runHere, scratchFolder } from "./run.ts";

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

describe("what is open of a file that cannot be read yet", () => {
  it("is asked in one round: the likeliest answers let the rest be looked at", async () => {
    const folder = scratchFolder();
    const [strips, kept] = [join(folder, "round.csv"), join(folder, "kept.yaml")];
    const rows = [800, 1100, 1400].flatMap((rate) =>
      ["Wester", "Westter", "Ostrin"].map((name) => `${name},2026,${rate},${60 + rate / 1000}`),
    );
    writeFileSync(strips, `variety,year,Pop (k),Zott\n${rows.join("\n")}\n`);
    expect((await runHere(["check", strips, "--save-answers", kept])).err).toContain(
      "Three questions are still open",
    );
    const likely = readFileSync(kept, "utf8").split("With the first choice")[1]!.split("\n").slice(1);
    writeFileSync(kept, likely.map((line) => line.slice(2)).join("\n"));
    const { code, out } = await runHere(["check", strips, "--answers", kept]);
    expect([code, out.split("\n")[0]]).toEqual([0, "Nine rows in one file: nine strips used, 0 left out."]);
    expect(out).not.toContain("probably one variety");
  });
});
