import { describe, expect, it } from "vitest";
import { Book } from "../../../src/desk/book.ts";
import type { LookedFile } from "../../../src/desk/errands.ts";
import type { Farm } from "../../../src/farm/farm.ts";
import { readFarm } from "../../../src/farm/read-farm.ts";
import { answersWith, noAnswers } from "../../../src/read/answers/answers.ts";
import { holdsWhat, openSheets, toldByTab } from "../../../src/read/tables/open-sheets.ts";
import { workbook, type Tab } from "../../fixtures/write-workbook.ts";

/** Tabs named by season or by field, as the table lacks the one or the other. */
const tab = (name: string, lacks: "Season" | "Field" | "Variety"): Tab => ({
  name,
  cells: [
    ["Season", "Field", "Variety", "Rep", "Rate (seeds/ac)", "Yield (bu/ac)"].filter((one) => one !== lacks),
    ...[900, 1200, 1500].map((rate, index) => [
      ...(lacks === "Season" ? [] : [{ number: 2026 }]),
      ...(lacks === "Field" ? [] : ["Creek"]),
      ...(lacks === "Variety" ? [] : ["Alder"]),
      { number: 1 },
      { number: rate * 1000 },
      { number: 50 + index },
    ]),
  ],
});

const looked = async (name: string, bytes: Uint8Array): Promise<LookedFile> => ({
  name,
  bytes,
  as: "strips",
  problem: null,
  sheets: (await openSheets({ name, bytes })).map((sheet) => {
    const rows: string[][] = [];
    sheet.forEach((cells) => void rows.push(cells));
    return {
      file: sheet.file,
      tab: sheet.tab,
      holds: holdsWhat(sheet, noAnswers),
      rows,
      toldByTab: toldByTab(sheet),
      delimiter: "," as const,
    };
  }),
});

const environments = ({ trial }: Farm): string[] =>
  [...new Set(trial.strips.map(({ season, field, variety }) => `${season} ${field} ${variety}`))].sort();

describe("a tab that was mended", () => {
  it.each([
    ["season", [tab("2025", "Season"), tab("2026", "Season")], noAnswers],
    ["field", [tab("Hill", "Field"), tab("Long Bottom", "Field")], noAnswers],
    ["variety", [tab("Alder", "Variety"), tab("Birch", "Variety")], noAnswers],
    [
      "season as answered",
      [tab("trial 25", "Season"), tab("trial 26", "Season")],
      answersWith({
        tabs: {
          "trial 25": { holds: null, nameIs: null, values: { season: "2025" } },
          "trial 26": { holds: null, nameIs: null, values: { season: "2026" } },
        },
      }),
    ],
  ] as const)("keeps what its name said: %s", async (_, tabs, answers) => {
    const bytes = workbook(tabs);
    const whole = await readFarm([{ name: "ours.xlsx", bytes, as: "strips" }], { answers });
    const book = new Book(() => undefined);
    book.add([await looked("ours.xlsx", bytes)]);
    book.reply({ id: "tabs", text: "", choices: [] }, { text: "", answers });
    book.write(book.sheets[0]!, 2, 5, "49");
    const input = book.input();
    expect(input.files.map(({ name }) => name)).toEqual(tabs.map(({ name }) => `ours ${name}.csv`));
    const mended = await readFarm(input.files, { answers: input.answers });
    expect(mended.trial.strips).toHaveLength(6);
    expect(environments(mended)).toEqual(environments(whole));
  });
});
