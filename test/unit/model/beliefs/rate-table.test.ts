import { describe, expect, it } from "vitest";
import { rateEvidence } from "../../../../src/model/beliefs/rate-evidence.ts";
import { evenRates, rateTable, throughMean } from "../../../../src/model/beliefs/rate-table.ts";
import { cellsByHand } from "./sums-by-hand.ts";

describe("the rates at which a variety's curves are evaluated", () => {
  it("go evenly from the lowest to the highest tested, with the strips of all environments", () => {
    const table = rateTable([
      rateEvidence(
        cellsByHand([
          ["1", 200, 2, 4000],
          ["1", 300, 1, 4600],
        ]),
      )!,
      rateEvidence(
        cellsByHand(
          [
            ["1", 90, 1, 5000],
            ["1", 200, 3, 5400],
          ],
          { environment: "2025 Hill", season: 2025 },
        ),
      )!,
    ]);
    expect(table.strips).toEqual([
      { rateSeedsPerM2: 90, strips: 1 },
      { rateSeedsPerM2: 200, strips: 5 },
      { rateSeedsPerM2: 300, strips: 1 },
    ]);
    // (2 × 4000 + 4600 + 5000 + 3 × 5400) ÷ 7.
    expect(table.meanYield).toBeCloseTo(33_800 / 7, 9);
    expect(table.rates).toHaveLength(121);
    // 210 ÷ 120 apart.
    table.rates.forEach((rate, i) => expect(rate).toBeCloseTo(90 + 1.75 * i, 9));
  });

  it("end exactly at the highest, whatever rounding makes of 120 steps", () => {
    const step = (333.3 - 77.7) / 120;
    expect(77.7 + 120 * step).not.toBe(333.3);
    expect(evenRates([77.7, 333.3])[120]).toBe(333.3);
  });

  it("have curves run through the mean yield of the strips", () => {
    const table = {
      rates: [100, 200, 300],
      strips: [
        { rateSeedsPerM2: 100, strips: 1 },
        { rateSeedsPerM2: 250, strips: 2 },
        { rateSeedsPerM2: 300, strips: 1 },
      ],
      meanYield: 1000,
    };
    // At the strips −0.2, twice 0.04 and 0.1; their mean is −0.005.
    const yields = throughMean(Float64Array.of(-0.2, -0.02, 0.1), table);
    [1000 * (1 - 0.2 + 0.005), 1000 * (1 - 0.02 + 0.005), 1000 * (1 + 0.1 + 0.005)].forEach((one, i) =>
      expect(yields[i]).toBeCloseTo(one, 3),
    );
  });
});
