import { describe, expect, it } from "vitest";
import { readCsv } from "./read-csv.ts";

const read = (note: string, column = "note") =>
  readCsv(
    `variety,season,rate,yield,${column}\nAlder,2026,1200000,60,fine\nAlder,2026,1400000,12,"${note}"\n`,
  );
const told = (note: string) => read(note).findings.filter(({ code }) => code === "notes-say-not-used");

describe("a note that says not to use its strip", () => {
  it.each([
    "do not use",
    "DON’T USE, plugged",
    "hail - ignore",
    "discarded",
    "Excluded: drowned",
    "nicht werten",
  ])("is told: %j", (note) => {
    expect(read(note).strips).toHaveLength(2);
    expect(told(note)).toMatchObject([{ severity: "doubt", column: "note" }]);
    expect(told(note)[0]!.message).toContain(`row 3 ("${note}") should not be used, but is`);
  });

  it("leaves the strip out in a column exclude, as is said", () => {
    expect(told("do not use")[0]!.message).toContain("add a column exclude");
    expect(read("do not use", "exclude").strips).toHaveLength(0);
  });

  it.each(["used less seed", "drilled twice at the end", "hail in June", "combine header up"])(
    "is none of %j",
    (note) => expect(told(note)).toEqual([]),
  );
});
