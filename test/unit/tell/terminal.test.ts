import { describe, expect, it } from "vitest";
import { plainLine, plainText } from "../../../src/tell/plain-text.ts";
import { findingLines, findingSections } from "../../../src/tell/terminal/finding-lines.ts";
import { fitText } from "../../../src/tell/terminal/fit-text.ts";
import { varietiesDiffer } from "../../../src/tell/wording/seasons-together.ts";
import { demoResult } from "../../fixtures/demo.ts";
import { colouredTextStyle, plainTextStyle, textTable } from "../../../src/tell/terminal/text-table.ts";
import { fromPerAcre } from "../../../src/numbers/units.ts";
import type { Reason } from "../../../src/vocabulary/result.ts";
import { finding } from "../../../src/messages/finding.ts";

describe("plainText", () => {
  it("writes out what could steer a terminal", () => {
    expect(plainText("a\u001b[2Jb\u0007\u009b31m")).toBe("a\\u{1b}[2Jb\\u{7}\\u{9b}31m");
    expect(plainText("red\u202etxt.exe\u2066")).toBe("red\\u{202e}txt.exe\\u{2066}");
    expect(plainText("half \ud800 pair")).toBe("half \\u{d800} pair");
    expect(plainLine("two\r\nlines")).toBe("two\\u{d}\\u{a}lines");
  });

  it("leaves names in any script alone", () => {
    for (const name of ["Überweizen", "小麦", "قمح", "🌾", "a\u0301"]) expect(plainLine(name)).toBe(name);
  });
});

describe("textTable", () => {
  it("lines up columns by the width that a terminal shows", () => {
    const table = textTable(
      [{ heading: "variety" }, { heading: "rate", align: "right" }],
      [
        ["小麦", "1.2"],
        ["Ostrindel", "0.95"],
        ["a\u0301b", "10"],
      ],
    );
    expect(table.split("\n")).toEqual([
      "variety    rate",
      "小麦        1.2",
      "Ostrindel  0.95",
      "a\u0301b           10",
    ]);
  });

  it("keeps a cell on its line", () => {
    expect(textTable([{ heading: "x" }], [["a\nb\u001b[0m"]])).toBe("x\na\\u{a}b\\u{1b}[0m");
  });
});

describe("findings as lines", () => {
  const findings = [
    finding("stops", "a", "Left out.", { file: "s.csv", row: 14, column: "yield" }),
    finding("note", "b", "One season.", { column: "season" }),
  ];

  it("say where, then what", () => {
    expect(findingLines(findings)).toEqual(["s.csv, row 14, column yield: Left out.", "One season."]);
  });

  it("stand under a heading with their number, plain or coloured", () => {
    expect(findingSections(findings, plainTextStyle)).toEqual([
      "Left out: not used (1)\n  s.csv, row 14, column yield: Left out.",
      "Good to know: used as is (1)\n  One season.",
    ]);
    expect(findingSections(findings, colouredTextStyle)[0]).toContain("\u001b[31mLeft out");
  });
});

describe("the text of fit", () => {
  const demo = demoResult();
  const text = fitText(demo, plainTextStyle);

  it("tells next season, each variety, all seasons together and whether varieties differ", () => {
    for (const { variety } of demo.next) {
      expect(text).toMatch(new RegExp(`^  ${variety} +\\d\\.\\d\\d +\\d\\.\\d\\d +\\d+ lb/ac`, "m"));
      expect(text).toContain(`${variety}: response curves`);
    }
    expect(text).toContain(`\n  ${varietiesDiffer(demo)}\n`);
    expect(text).toMatch(/^ {2}strip +\d+ +\d\.\d$/m);
  });

  it("says why a rate is not the most profitable one, once for all varieties that it holds for", () => {
    const reasons: Reason[] = [
      { code: "lowest-rate", numbers: { rateSeedsPerM2: fromPerAcre(1.5e6) } },
      { code: "one-season", numbers: {} },
    ];
    const next = demo.next.map((one) => ({ ...one, reasons }));
    const told = fitText({ ...demo, next }, plainTextStyle);
    const names = next.map(({ variety }) => variety);
    expect(told).toContain(
      `${names.slice(0, -1).join(", ")} and ${names.at(-1)}: No less than 1.50 million, the lowest rate you accept.`,
    );
    expect(told).not.toContain("One season only");
  });

  it("has no blank at a line's end and nothing unknown in a cell", () => {
    expect(text).not.toMatch(/ $|NaN|undefined|null|\[object/m);
  });

  it("leaves single curves of a large network to JSON and CSV, and says so", () => {
    const environments = Array.from({ length: 61 }, (_, i) => ({ ...demo.environments[0]!, id: `E${i}` }));
    const large = fitText({ ...demo, environments }, plainTextStyle);
    expect(large).not.toContain(": response curves, rates in million viable seeds/ac\n  field and season");
    expect(large).toContain("--csv and --json have them");
  });
});
