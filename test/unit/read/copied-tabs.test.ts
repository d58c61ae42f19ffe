import { describe, expect, it } from "vitest";
import { readFarm } from "../../../src/farm/read-farm.ts";
import type { Trial } from "../../../src/vocabulary/trial.ts";
import { workbook } from "../../fixtures/write-workbook.ts";

/** One season of twelve strips on a tab; those chosen have another yield. */
const tab = (name: string, isCorrected: (index: number) => boolean = () => false) => ({
  name,
  cells: [
    ["Variety", "Season", "Rep", "Rate (seeds/ac)", "Yield (bu/ac)"],
    ...[1, 2, 3].flatMap((rep) =>
      [800_000, 1_100_000, 1_400_000, 1_700_000].map((rate, r) => {
        const grain = 55.3 + 1.7 * r - 0.4 * r * r + rep / 2 + (isCorrected(4 * rep + r - 4) ? 5 : 0);
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

  it.each<[string, number, (index: number) => boolean]>([
    ["the first", 11, (index) => index === 0],
    ["every third", 8, (index) => index % 3 === 0],
    ["a block", 8, (index) => index < 4],
  ])("and then corrected is used, and doubtful: %s", async (_name, same, isCorrected) => {
    const { strips, findings } = await read(tab("North"), tab("North (2)", isCorrected));
    expect(strips.map(({ field }) => field).slice(12)).toEqual(Array(12).fill("North (2)"));
    const [doubt, ...more] = findings.filter(({ code }) => code === "copied-in-part");
    expect(doubt).toMatchObject({ severity: "doubt", file: "book.xlsx [North (2)]" });
    expect(doubt!.message).toContain(`${same} of its 12 strips are in book.xlsx [North] too`);
    expect(more).toEqual([]);
  });

  it("is none where half of the yields differ", async () => {
    const { findings } = await read(
      tab("North"),
      tab("South", (index) => index < 6),
    );
    expect(findings.map(({ code }) => code)).not.toContain("copied-in-part");
  });
});
