import { describe, expect, it } from "vitest";
import { parseDate } from "../../../../src/read/units/dates.ts";

describe("parseDate", () => {
  /** Calendar date, extended format: ISO 8601-1:2019, 5.2.2. */
  it.each([
    ["2026-04-28", "2026-04-28", null],
    ["2026/4/8", "2026-04-08", null],
    ["2026-04-28T06:30:00Z", "2026-04-28", null],
    ["2026-04-28 00:00:00", "2026-04-28", null],
    ["4/28/2026", "2026-04-28", "month-first"],
    ["28/4/2026", "2026-04-28", "day-first"],
    ["28.04.2026", "2026-04-28", "day-first"],
    ["4/4/2026", "2026-04-04", null],
    ["28 Apr 2026", "2026-04-28", null],
    ["28-Apr-2026", "2026-04-28", null],
    ["April 28, 2026", "2026-04-28", null],
    ["2024-02-29", "2024-02-29", null],
    ["2000-02-29", "2000-02-29", null],
  ])("reads %s", (text, iso, order) => expect(parseDate(text)).toEqual({ kind: "date", iso, order }));

  it("leaves open what can be read in two ways", () => {
    expect(parseDate("4/5/2026")).toEqual({
      kind: "either",
      monthFirst: "2026-04-05",
      dayFirst: "2026-05-04",
    });
  });

  it.each([
    "",
    "2026",
    "2026-13-01",
    "2026-02-29",
    "1900-02-29",
    "2026-04-31",
    "13/13/2026",
    "4/28/26",
    "46141",
    "28 Foo 2026",
    "soon",
  ])("finds no date in %j", (text) => expect(parseDate(text)).toEqual({ kind: "none" }));
});
