import { expect, it } from "vitest";
import { withoutInvisible } from "../../../../src/read/tables/invisible.ts";
import { readCsv } from "../read-csv.ts";

const table = (first: string, second: string, yieldText: string): string =>
  `variety,season,rate (seeds/ac),yield (bu/ac)\n${first},2026,800000,${yieldText}\n${second},2026,1100000,62\n`;

// Unicode Standard, chapter 23: none of these is drawn; U+202D and U+202C stand around a number that a calculator copied.
it("reads names that look alike as one, and a number with marks around it as a number", () => {
  for (const mark of ["\u200b", "\u00ad", "\u0007", "\u200e", "\u2060", "\ufeff"]) {
    const { strips, findings } = readCsv(table(`Ostrin${mark}del`, "Ostrindel", "\u202d58.5\u202c"));
    const plain = readCsv(table("Ostrindel", "Ostrindel", "58.5"));
    expect(strips).toEqual(plain.strips);
    expect(findings).toEqual(plain.findings);
  }
});

it("keeps white space, and the joiners, which change how letters are drawn", () => {
  expect(withoutInvisible("a\tb\nc\u00a0d\u200ce\u200df")).toBe("a\tb\nc\u00a0d\u200ce\u200df");
});
