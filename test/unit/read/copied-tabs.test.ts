import { describe, expect, it } from "vitest";
import { readFarm } from "../../../src/farm/read-farm.ts";
import type { Trial } from "../../../src/vocabulary/trial.ts";
import { workbook } from "../../fixtures/write-workbook.ts";

/** One season of twelve strips on a tab; `corrected` of them have another yield. */
const tab = (name: string, corrected = 0) => ({
  name,
  cells: [
    ["Variety", "Season", "Rep", "Rate (seeds/ac)", "Yield (bu/ac)"],
    ...[1, 2, 3].flatMap((rep) =>
      [800_000, 1_100_000, 1_400_000, 1_700_000].map((rate, r) => {
        const grain = 55.3 + 1.7 * r - 0.4 * r * r + rep / 2 + (4 * rep + r - 4 < corrected ? 5 : 0);
        return ["Alder", ...[2026, rep, rate, grain].map((number) => ({ number }))];
      }),
    ),
  ],
});

async function read(...tabs: ReturnType<typeof tab>[]): Promise<Trial> {
  return (await readFarm([{ name: "book.xlsx", bytes: workbook(tabs) }])).trial;
}

describe("a tab that was copied", () => {
  it.each(["North (2)", "Copy of North", "North backup"])(
    "counts once though %j names another field",
    async (copy) => {
      const { strips, rowsLeftOut, findings } = await read(tab("North"), tab(copy));
      expect([strips.length, rowsLeftOut]).toEqual([12, 12]);
      expect(new Set(strips.map(({ field }) => field))).toEqual(new Set(["North"]));
      expect(findings.filter(({ code }) => code === "row-of-copy")).toHaveLength(12);
    },
  );

  it("and then corrected is used, and doubtful, whichever strip was corrected", async () => {
    const { strips, findings } = await read(tab("North"), tab("North (2)", 1));
    expect(strips.map(({ field }) => field).slice(12)).toEqual(Array(12).fill("North (2)"));
    expect(findings.filter(({ code }) => code === "copied-in-part")).toMatchObject([
      { severity: "doubt", file: "book.xlsx [North (2)]" },
    ]);
    expect(findings.find(({ code }) => code === "copied-in-part")!.message).toMatch(
      /^11 of its 12 strips are in book\.xlsx \[North\] too/,
    );
  });

  it("is none where half of the yields differ", async () => {
    const { findings } = await read(tab("North"), tab("South", 6));
    expect(findings.map(({ code }) => code)).not.toContain("copied-in-part");
  });
});
