import { describe, expect, it } from "vitest";
import { fitText } from "../../../src/tell/terminal/fit-text.ts";
import { plainTextStyle } from "../../../src/tell/terminal/text-table.ts";
import { evidenceDots, evidenceLine, evidenceWords } from "../../../src/tell/wording/evidence.ts";
import { measuresOf } from "../../../src/tell/wording/measures.ts";
import { sensitivitySentence } from "../../../src/tell/wording/priors.ts";
import { makeResult } from "../../fixtures/result.ts";

const result = makeResult();
const strong = result.next.find(({ evidence }) => evidence === "strong")!;
const staying = {
  ...strong,
  rateNextSeedsPerM2: strong.rateNowSeedsPerM2,
  reasons: [{ code: "inside-flat-zone", numbers: { gainPerHa: 0, flatZonePerHa: 5 } }],
};

describe("the word for evidence", () => {
  it("stands alone beside a move", () => {
    expect(evidenceLine({ ...strong, reasons: [] })).toBe("strong");
    expect(evidenceWords({ ...strong, reasons: [] }).meaning).toMatch(/point the same way/);
  });

  it("says beside a stay that staying is what is known", () => {
    expect(evidenceLine(staying)).toBe("strong: staying is right");
    expect(evidenceLine({ ...staying, evidence: "weak" })).toBe("weak: no case for a move");
    expect(evidenceWords(staying).meaning).not.toMatch(/point the same way/);
    expect(evidenceDots(staying)).toBe("●●●");
  });

  it("is the same in the terminal", () => {
    expect(fitText({ ...result, next: [staying] }, plainTextStyle)).toMatch(
      /no change .*strong: staying is right/,
    );
  });
});

describe("what other starting beliefs would say", () => {
  const measures = measuresOf(result);

  it("is told with each of them", () => {
    expect(sensitivitySentence(strong, measures)).toMatch(
      /^From other starting beliefs, most money would be at [\d.]+ \(all curves alike\) and [\d.]+ \(need a fifth lower\)\.$/,
    );
    expect(sensitivitySentence({ ...strong, sensitivity: [] }, measures)).toBe("");
  });

  it("is a table in the terminal, beside the rate as told", () => {
    const text = fitText(result, plainTextStyle);
    const lines = text.slice(text.indexOf("Most money from other starting beliefs")).split("\n");
    expect(lines[1]).toMatch(/variety +as told +all curves alike +need a fifth lower/);
    expect(lines.slice(2, 2 + result.next.length).map((line) => line.trim().split("  ")[0])).toEqual(
      result.next.map(({ variety }) => variety),
    );
  });
});
