import { describe, expect, it } from "vitest";
import { fitText } from "../../../src/tell/terminal/fit-text.ts";
import { plainTextStyle } from "../../../src/tell/terminal/text-table.ts";
import { evidenceDots, evidenceLine, evidenceWords } from "../../../src/tell/wording/evidence.ts";
import { measuresOf } from "../../../src/numbers/measures.ts";
import { sensitivitySentence } from "../../../src/tell/wording/priors.ts";
import { flatZoneSentence, varietySentences } from "../../../src/tell/wording/variety.ts";
import { makeResult } from "../../fixtures/result.ts";

const result = makeResult();
const strong = result.next.find(({ evidence }) => evidence === "strong")!;
const middle = (strong.intervals[0]!.lower + strong.intervals[0]!.upper) / 2;
const staying = {
  ...strong,
  rateNowSeedsPerM2: middle,
  rateNextSeedsPerM2: middle,
  reasons: [{ code: "inside-flat-zone" as const, numbers: { gainPerHa: 0, flatZonePerHa: 5 } }],
};

describe("the word for evidence", () => {
  it("stands alone beside a move", () => {
    expect(evidenceLine({ ...strong, reasons: [] })).toBe("strong");
    expect(evidenceWords({ ...strong, reasons: [] }).meaning).toMatch(/point the same way/);
  });

  it("says beside a stay that staying is what is known", () => {
    expect(evidenceLine(staying)).toBe("strong: staying is right");
    expect(evidenceLine({ ...staying, evidence: "weak" })).toBe("weak: no reason to change yet");
    expect(evidenceWords(staying).meaning).not.toMatch(/point the same way/);
    expect(evidenceDots(staying)).toBe("●●●");
  });

  it("does not say that staying is right where the best rate is elsewhere", () => {
    const { lower } = staying.intervals[0]!;
    const elsewhere = { ...staying, rateNowSeedsPerM2: 0.95 * lower, rateNextSeedsPerM2: 0.95 * lower };
    expect(evidenceLine(elsewhere)).toBe("strong: a change adds little");
    expect(evidenceWords(elsewhere).meaning).toMatch(/away from today's/);
    expect(evidenceLine({ ...elsewhere, rateNowSeedsPerM2: lower })).toBe("strong: staying is right");
  });

  it("does not say that the best rate adds little where lodging forbids it", () => {
    const rateSeedsPerM2 = 0.97 * staying.intervals[0]!.lower;
    const now = 0.95 * staying.intervals[0]!.lower;
    const below = {
      ...staying,
      rateNowSeedsPerM2: now,
      rateNextSeedsPerM2: now,
      lodgingCeilingSeedsPerM2: rateSeedsPerM2,
      reasons: [{ code: "lodging-ceiling" as const, numbers: { rateSeedsPerM2 } }, ...staying.reasons],
    };
    expect(evidenceLine(below)).toBe("strong: lodging allows little change");
    expect(evidenceWords(below).meaning).toMatch(/best rate above what lodging allows/);
    // The flat zone goes up to rates that lodge: whoever reads it must not sow them.
    const flat = flatZoneSentence(result, below, measuresOf(result));
    expect(flat).toMatch(/of the best\. Lodging allows no more than [\d.]+ million\.$/);
    const unlodged = { ...below, lodgingCeilingSeedsPerM2: 2 * staying.flatZone!.upper };
    expect(flatZoneSentence(result, unlodged, measuresOf(result))).not.toContain("odging");
  });

  it("is the same in the terminal", () => {
    expect(fitText({ ...result, next: [staying] }, plainTextStyle)).toMatch(
      /no change .*strong: staying is right/,
    );
  });
});

describe("what other starting assumptions would give", () => {
  const measures = measuresOf(result);

  it("is told with each of them", () => {
    expect(sensitivitySentence(strong, measures)).toMatch(
      /^With other starting assumptions the most profitable rate would be [\d.]+ \(all curves equally likely\) and [\d.]+ \(seed need assumed 20% lower\)\.$/,
    );
    expect(sensitivitySentence({ ...strong, sensitivity: [] }, measures)).toBe("");
  });

  it("is no table in the terminal where there is no best rate to compare", () => {
    const next = result.next.map((one) => ({ ...one, sensitivity: [] }));
    expect(fitText({ ...result, next }, plainTextStyle)).not.toContain("other starting assumptions");
  });

  it("is a table in the terminal, beside the rate above", () => {
    const text = fitText(result, plainTextStyle);
    const lines = text
      .slice(text.indexOf("Most profitable rate with other starting assumptions"))
      .split("\n");
    expect(lines[1]).toMatch(/variety +as above +all curves equally likely +seed need assumed 20% lower/);
    expect(lines.slice(2, 2 + result.next.length).map((line) => line.trim().split("  ")[0])).toEqual(
      result.next.map(({ variety }) => variety),
    );
  });
});

describe("how sure the best rate is", () => {
  const measures = measuresOf(result);

  it("is told at both levels, each with its odds", () => {
    const sentences = varietySentences(result, strong, measures).join("\n");
    expect(sentences).toMatch(
      /Most profitable near [\d.]+ million seeds\/ac: [\d.]+ to [\d.]+ \(80% range\), [\d.]+ to [\d.]+ \(95% range\)\./,
    );
    expect(sentences).toMatch(
      /Highest yield near [\d.]+ million seeds\/ac: [\d.]+ to [\d.]+ \(95% range\)\./,
    );
    const other = {
      ...result,
      settings: { ...result.settings, intervalLevels: [0.5, 0.68] as [number, number] },
    };
    expect(varietySentences(other, strong, measures).join("\n")).toMatch(/\(68% range\)/);
  });

  it("is told in money: what not knowing it costs", () => {
    expect(varietySentences(result, { ...strong, expectedLossPerHa: 7.4 }, measures).join("\n")).toContain(
      "The best rate, if it were known exactly, would earn about $3/ac more.",
    );
  });
});
