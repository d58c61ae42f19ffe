import { describe, expect, it } from "vitest";
import { believeCurves } from "../../../src/model/beliefs/believable-curves.ts";
import { adviseStrips } from "../../../src/plan/advise-strips.ts";
import type { RateCell } from "../../../src/vocabulary/result.ts";
import { defaultSettings } from "../../../src/vocabulary/settings.ts";
import { measuresOf } from "../../../src/numbers/measures.ts";
import { adviceHeadline, adviceSentence } from "../../../src/tell/wording/strip-advice.ts";

/** Strips of one variety in some seasons: yields on a parabola with its top at 290 seeds/m², with made error of 3 %. */
const cellsOf = (variety: string, seasons: number, blocks: number) =>
  Array.from({ length: seasons }, (_, s) => ({
    variety,
    environment: `${2020 + s} Hill`,
    season: 2020 + s,
    withinCellSs: 0,
    cells: [180, 240, 300, 360, 420].flatMap((rate): RateCell[] =>
      Array.from({ length: blocks }, (_, b) => ({
        block: String(b + 1),
        rateSeedsPerM2: rate,
        strips: 1,
        meanYieldKgPerHa: 5000 - 0.03 * (rate - 290) ** 2 + 100 * (((rate / 60 + 2 * b + 3 * s) % 5) - 2),
      })),
    ),
  }));

const advise = (...cells: ReturnType<typeof cellsOf>[]) =>
  adviseStrips(
    {
      beliefs: believeCurves(cells.flat(), defaultSettings),
      next: [],
      protein: [],
      lodgingModels: [],
    },
    { ...defaultSettings, rateNowSeedsPerM2: 290 },
  );

describe("advice on strips", () => {
  const advice = advise(cellsOf("Brimsolt", 6, 4), cellsOf("Telluwick", 1, 2));

  it("puts the variety that is known from few strips first, and calls the other settled", () => {
    expect(advice.map((one) => [one.variety, one.need])).toEqual([
      ["Telluwick", "most"],
      ["Brimsolt", "settled"],
    ]);
    expect(advice[0]!.pastStrips).toBe(10);
    expect(advice[1]!.pastEnvironments).toBe(6);
  });

  it("never expects more of a trial than knowing everything would bring", () => {
    for (const one of advice) expect(one.valueOfTrialPerHa).toBeLessThan(one.valueOfKnowingAllPerHa);
  });

  it("says nothing without strips", () => {
    expect(advise()).toEqual([]);
    expect(adviceHeadline([])).toBe("");
  });

  it("is told in words", () => {
    const measures = measuresOf({ units: { system: "us", currency: "$" }, settings: defaultSettings });
    expect(adviceHeadline(advice)).toBe("Telluwick needs strips most; Brimsolt needs none.");
    const narrowing = { ...advice[0]!, intervalWidthNowSeedsPerM2: 120, intervalWidthAfterSeedsPerM2: 60 };
    expect(adviceSentence(narrowing, measures)).toMatch(
      /^After ten strips in one site-year the 80% range .* is 0\.49 million seeds\/ac wide\. Another trial \(four blocks of five rates\)/,
    );
    // At an end of the rates tested the range has no width that a trial could narrow.
    const atEnd = { ...advice[0]!, intervalWidthNowSeedsPerM2: null, intervalWidthAfterSeedsPerM2: 20 };
    expect(adviceSentence(atEnd, measures)).toMatch(
      /^After ten strips in one site-year another trial \(four blocks of five rates\) should be worth \$[\d.]+\/ac a season\.$/,
    );
    expect(adviceSentence({ ...atEnd, need: "dear", areaHa: 10 }, measures)).toMatch(
      /^After ten strips in one site-year strips \(four blocks of five rates\) do not pay: /,
    );
    expect(adviceSentence(advice[1]!, measures)).toMatch(
      // Nothing is said of other varieties: there may be none, or none that teaches more.
      /would be worth only \$[\d.]+\/ac a season\.$/,
    );
  });
});
