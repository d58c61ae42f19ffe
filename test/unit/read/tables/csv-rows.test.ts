import { describe, expect, it } from "vitest";
import {
  findDelimiter,
  forEachRow,
  pieceCharacters,
  plainLines,
  type Delimiter,
} from "../../../../src/read/tables/csv-rows.ts";
import { trialErrorOf } from "../read-csv.ts";

const rows = (text: string, delimiter: Delimiter = ","): string[][] => {
  const found: string[][] = [];
  forEachRow("x.csv", plainLines(text).text, delimiter, (cells, row) => {
    if (row !== found.length + 1) throw new Error(`row ${row} comes as number ${found.length + 1}`);
    found.push(cells);
  });
  return found;
};

/** RFC 4180 (Shafranovich 2005), section 2, the example of each rule. */
describe("RFC 4180, section 2", () => {
  it.each([
    [
      "1: records on lines of their own",
      "aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n",
      [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"], [""]],
    ],
    [
      "2: the last line end may be missing",
      "aaa,bbb,ccc\r\nzzz,yyy,xxx",
      [
        ["aaa", "bbb", "ccc"],
        ["zzz", "yyy", "xxx"],
      ],
    ],
    ["4: spaces belong to the field", "aaa, bbb ,ccc", [["aaa", " bbb ", "ccc"]]],
    [
      "5: fields may be quoted",
      '"aaa","bbb","ccc"\r\nzzz,yyy,xxx',
      [
        ["aaa", "bbb", "ccc"],
        ["zzz", "yyy", "xxx"],
      ],
    ],
    [
      "6: line ends inside quotes",
      '"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx',
      [
        ["aaa", "b\nbb", "ccc"],
        ["zzz", "yyy", "xxx"],
      ],
    ],
    ["7: quotes inside quotes", '"aaa","b""bb","ccc"', [["aaa", 'b"bb', "ccc"]]],
  ])("%s", (_, text, expected) => expect(rows(text)).toEqual(expected));
});

describe("forEachRow", () => {
  it("takes every line end, and mixed ones, without joining rows", () => {
    for (const text of ["a,b\nc,d", "a,b\r\nc,d", "a,b\rc,d"])
      expect(rows(text)).toEqual([
        ["a", "b"],
        ["c", "d"],
      ]);
    expect(rows("a\r\nb\nc\rd")).toEqual([["a"], ["b"], ["c"], ["d"]]);
  });

  it("lets inch marks stand in a cell", () => {
    expect(rows('7" rows,a\nb,c\n')).toEqual([['7" rows', "a"], ["b", "c"], [""]]);
  });

  it("refuses quotes that are not closed, and names the row", () => {
    const error = trialErrorOf(() => rows('a,b\nc,d\ne,"f\ng,h\n'));
    expect(error.code).toBe("quotes-broken");
    expect(error.message).toContain("x.csv, row 3:");
    expect(trialErrorOf(() => rows('a,b\n"c" x,d\n"e",f')).message).toContain("row 2:");
  });

  it("goes on over pieces, also where a quoted cell is longer than a piece", () => {
    const quarter = pieceCharacters / 4;
    const long = "x\n".repeat(pieceCharacters);
    const text = `a,b\n1,"${long}"\n2,c\n${"3,d\n".repeat(3 * quarter)}`;
    const found = rows(text);
    expect(found).toHaveLength(3 * quarter + 4);
    expect(found[1]![1] === long).toBe(true);
    expect(found[2]).toEqual(["2", "c"]);
    const pieces = "3,d\n".repeat(2 * quarter);
    const open = trialErrorOf(() => rows(`${pieces}4,"e\n${pieces}`));
    expect(open.message).toContain(`row ${2 * quarter + 1}:`);
  });
});

describe("findDelimiter", () => {
  const known = (headers: string[]): number =>
    headers.filter((header) => ["variety", "rate"].includes(header)).length;

  it.each([
    ["variety,rate\n", ","],
    ["variety;rate\n", ";"],
    ["variety\trate\n", "\t"],
    ["variety;rate;a,b,c,d,e\n", ";"],
    ["\n\nvariety;rate\n1,5;2,5\n", ";"],
    ["x;y\n", ";"],
    ["x\n", ","],
  ])("tells it from the header %j", (text, delimiter) => expect(findDelimiter(text, known)).toBe(delimiter));
});

describe("plainLines", () => {
  it("takes the mark that spreadsheets put first and do not show", () => {
    expect(plainLines("sep=;\r\na;b\r\n")).toEqual({ text: "a;b\n", delimiter: ";" });
    expect(plainLines("a;b\n")).toEqual({ text: "a;b\n", delimiter: null });
  });
});
