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
    ["2026-02-28", "2026-02-28", null],
    ["2026.1.1", "2026-01-01", null],
    ["2026-12-31", "2026-12-31", null],
    ["0987-01-31", "0987-01-31", null],
    [" 2026-04-28 ", "2026-04-28", null],
    ["2026-04-28  6:30", "2026-04-28", null],
    ["12/31/2026", "2026-12-31", "month-first"],
    ["13/12/2026", "2026-12-13", "day-first"],
    ["28-4-2026", "2026-04-28", "day-first"],
    ["1 september 2026", "2026-09-01", null],
    ["1.Sep.2026", "2026-09-01", null],
    ["28 Apr, 2026", "2026-04-28", null],
    ["Apr-28-2026", "2026-04-28", null],
    ["SEPTEMBER 1 2026", "2026-09-01", null],
    ["Apr. 28, 2026", "2026-04-28", null],
  ])("reads %s", (text, iso, order) => expect(parseDate(text)).toEqual({ kind: "date", iso, order }));

  it("knows every month by its name and its last day", () => {
    // prettier-ignore
    const last: [string, number][] = [["Jan", 31], ["Feb", 28], ["Mar", 31], ["Apr", 30], ["May", 31], ["Jun", 30], ["Jul", 31],
      ["Aug", 31], ["Sep", 30], ["Oct", 31], ["Nov", 30], ["Dec", 31]];
    last.forEach(([name, day], index) => {
      const iso = `2026-${String(index + 1).padStart(2, "0")}-${day}`;
      expect(parseDate(`${day} ${name} 2026`)).toEqual({ kind: "date", iso, order: null });
      expect(parseDate(`${name} ${day}, 2026`)).toEqual({ kind: "date", iso, order: null });
      expect(parseDate(`${day + 1} ${name} 2026`)).toEqual({ kind: "none" });
    });
  });

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
    "2026-00-10",
    "2026-10-00",
    "0/10/2026",
    "10/0/2026",
    "2023-02-29",
    "x2026-04-28",
    "2026-04-28x",
    "12026-04-28",
    "2026-04-281",
    "2026-004-28",
    "2026--04-28",
    "x28 Apr 2026",
    "28 Apr 2026x",
    "28 Apr 26",
    "128 Apr 2026",
    "28 Ap 2026",
    "28 Septembers 2026",
    "28Apr2026",
    "x April 28, 2026",
    "April 28, 2026x",
    "Ap 28, 2026",
    "April28, 2026",
    "April 128, 2026",
    "April 28, 20266",
    "April 28",
    "4/28-2026",
    "x4/28/2026",
    "4/28/2026x",
    "4/28/20266",
    "4/28/226",
    "128/4/2026",
    "4/128/2026",
    "4 28 2026",
  ])("finds no date in %j", (text) => expect(parseDate(text)).toEqual({ kind: "none" }));

  it("looks at forty characters at most", () => {
    expect(parseDate(`2026-04-28${" ".repeat(30)}`).kind).toBe("date");
    expect(parseDate(`2026-04-28${" ".repeat(31)}`).kind).toBe("none");
  });
});
