import { describe, expect, it } from "vitest";
import { evidenceWord, type EvidenceFacts } from "../../../../src/decide/rate/evidence.ts";

const wordOf = (width: number, changes: Partial<EvidenceFacts> = {}): string =>
  evidenceWord({
    seasons: 3,
    testedRates: 5,
    noResponse: false,
    moves: true,
    tested: [200, 400],
    interval: { level: 0.8, lower: 220, upper: 220 + width },
    ...changes,
  });

describe("the word for the evidence", () => {
  // Shares of the 200 seeds/m² between the lowest and the highest tested rate: 80 are 40 %, 130 are 65 %.
  it.each([
    [3, 80, "strong"],
    [3, 81, "fair"],
    [4, 10, "strong"],
    [2, 10, "fair"],
    [2, 130, "fair"],
    [2, 131, "weak"],
    [3, 131, "weak"],
    [1, 10, "weak"],
  ])("of %i seasons and an interval of %i seeds/m² is %s", (seasons, width, word) => {
    expect(wordOf(width, { seasons })).toBe(word);
  });

  it("is none with fewer than three rates", () => {
    expect(wordOf(10, { testedRates: 2 })).toBe("none");
    expect(wordOf(10, { testedRates: 3 })).toBe("strong");
  });

  it("is none where rates are not told apart, and weak where money still speaks for a move", () => {
    expect(wordOf(10, { noResponse: true, moves: false })).toBe("none");
    expect(wordOf(10, { noResponse: true, moves: true })).toBe("weak");
    expect(wordOf(10, { noResponse: false, moves: false })).toBe("strong");
  });
});
