/**
 * What the kept curves yield, worked by hand. A straight rise to the need loses `loss` × (1 − u) ÷ 0.4 of the mean yield
 * at a rate of u needs; nothing is lost at the need and beyond it.
 *
 * Needs of 300 and 400 seeds/m² and a loss of 0.1 at 0.6 of them:
 *
 * | need |     200 |      250 |     300 |      350 | 400 |     sum |
 * |  300 | −1 ÷ 12 |  −1 ÷ 24 |       0 |        0 |   0 |  −0.125 |
 * |  400 |  −0.125 | −0.09375 | −0.0625 | −0.03125 |   0 | −0.3125 |
 */
import { describe, expect, it } from "vitest";
import { bandAt, believedYields, fieldYields } from "../../../../src/decide/rate/believed-yields.ts";
import type { Belief } from "../../../../src/vocabulary/result.ts";
import { curve, three } from "./three-curves.ts";

const rates = [200, 300, 400];

/** One curve on two fields, on one of which its need is by a third higher. */
const twoFields = (changes: Partial<Belief> = {}): Belief => ({
  ...three,
  ratesSeedsPerM2: rates,
  curves: [curve(1, 300)],
  fields: ["Hill", "North"],
  fieldShifts: [[0, Math.log(4 / 3)]],
  ...changes,
});

const close = (values: ArrayLike<number>, expected: number[]): void =>
  expect(Array.from(values, (value) => Math.round(value * 1e6) / 1e6)).toEqual(
    expected.map((value) => Math.round(value * 1e6) / 1e6),
  );

describe("the yields of a curve", () => {
  it("run through the mean of the strips, on average over the fields", () => {
    // Five tested rates with equally many strips: level (−0.125 − 0.3125) ÷ 2 ÷ 5 = −0.04375.
    // At 200 the two lose (1/12 + 0.125) ÷ 2 = 0.1041667, at 300 half of 0.0625, at 400 nothing.
    const { byCurve, weights } = believedYields(twoFields());
    close(weights, [1]);
    close(byCurve, [
      4000 * (1 - (1 / 12 + 0.125) / 2 + 0.04375),
      4000 * (1 - 0.03125 + 0.04375),
      4000 * 1.04375,
    ]);
  });

  it("count a rate with more strips for more", () => {
    // Three strips at 200 to one at 400, one field: level 3 × (−1/12) ÷ 4 = −0.0625.
    const belief = twoFields({
      fieldShifts: [],
      fields: [],
      stripsAtRates: [
        { rateSeedsPerM2: 200, strips: 3 },
        { rateSeedsPerM2: 400, strips: 1 },
      ],
    });
    close(believedYields(belief).byCurve, [4000 * (1 - 1 / 12 + 0.0625), 4250, 4250]);
  });

  it("run at the farm's level over all rates where the variety has no strips", () => {
    // Level (−1/12 + 0 + 0) ÷ 3 = −1/36.
    const belief = twoFields({ fieldShifts: [], fields: [], stripsAtRates: [] });
    close(believedYields(belief).byCurve, [4000 * (1 - 1 / 12 + 1 / 36), 4000 * (37 / 36), 4000 * (37 / 36)]);
  });

  it("are known once for each belief", () => {
    const belief = twoFields();
    expect(believedYields(belief)).toBe(believedYields(belief));
  });
});

describe("the yields on each field", () => {
  it("differ between rates by as much more as yield answers there", () => {
    // On the hill half as much again: 200 is (−1/12 + 0.04375) × 1.5 from the level, the others 0.04375 × 1.5.
    const strengths = { fieldStrengths: [1.5, 1].map((middle) => ({ middle, sdLog: 0 })) };
    const hill = fieldYields(twoFields(strengths), 0, 5000);
    const most = 5000 * (1 + 1.5 * 0.04375);
    close(hill.byCurve, [5000 * (1 + 1.5 * (0.04375 - 1 / 12)), most, most]);
    close(
      fieldYields(twoFields(strengths), 1, 5000).byCurve,
      Array.from(fieldYields(twoFields(), 1, 5000).byCurve),
    );
  });

  it("give each curve a strength of its own where that is not known", () => {
    // Quantiles of the normal distribution at 1/2, 1/4 and 3/4: 0 and ∓0.67448975.
    const same = [1, 2, 3].map(() => curve(1 / 3, 300));
    const unsure = { fieldStrengths: [1, 1].map((middle) => ({ middle, sdLog: 0.5 })), curves: same };
    const { byCurve } = fieldYields(twoFields(unsure), 0, 5000);
    const strengths = [1, Math.exp(-0.5 * 0.6744897502), Math.exp(0.5 * 0.6744897502)];
    close(
      [1, 4, 7].map((at) => byCurve[at]!),
      strengths.map((strength) => 5000 * (1 + strength * 0.04375)),
    );
  });

  it("follow its own need and its own level", () => {
    const hill = fieldYields(twoFields(), 0, 5000);
    const north = fieldYields(twoFields(), 1, 3000);
    close(hill.byCurve, [5000 * (1 - 1 / 12 + 0.04375), 5000 * 1.04375, 5000 * 1.04375]);
    close(north.byCurve, [3000 * (1 - 0.125 + 0.04375), 3000 * (1 - 0.0625 + 0.04375), 3000 * 1.04375]);
    // At 300 and 400 alike on the hill: of a level top the middle of it; on the north field the highest rate.
    close(hill.mostGrain, [350]);
    close(north.mostGrain, [400]);
  });

  it("change with its level", () => {
    const belief = twoFields();
    const first = fieldYields(belief, 1, 3000);
    expect(fieldYields(belief, 1, 3000)).toBe(first);
    close(
      fieldYields(belief, 1, 6000).byCurve,
      Array.from(first.byCurve, (one) => 2 * one),
    );
  });

  it("are not kept where a farm has very many fields", () => {
    const fields = Array.from({ length: 21 }, (_, f) => `Field ${f}`);
    const belief = twoFields({ fields, fieldShifts: [fields.map(() => 0)] });
    const first = fieldYields(belief, 20, 4000);
    expect(fieldYields(belief, 20, 4000)).not.toBe(first);
    expect(fieldYields(belief, 20, 4000)).toEqual(first);
  });

  it("have the mean of the curves, by what is believed of each", () => {
    // A curve without response yields the mean everywhere: 0.75 of the one above and 0.25 × 5,000.
    const belief = twoFields({ curves: [curve(0.75, 300), curve(0.25, 200, 0)] });
    const hill = fieldYields(belief, 0, 5000);
    close(hill.meanKgPerHa, [
      0.75 * 5000 * (1 - 1 / 12 + 0.04375) + 1250,
      0.75 * 5000 * 1.04375 + 1250,
      0.75 * 5000 * 1.04375 + 1250,
    ]);
  });
});

describe("the band at a rate", () => {
  it("holds the middle of belief, at whichever level is asked for", () => {
    // At 400 curve C yields 4,000 (believed 0.06), A 4,100 (0.5), B 4,250 (0.44).
    const yields = believedYields(three);
    const last = three.ratesSeedsPerM2.length - 1;
    const ends = (level: number) => bandAt(yields, last, level);
    expect(ends(0.8)).toEqual({
      lower: expect.closeTo(4100, 9) as number,
      upper: expect.closeTo(4250, 9) as number,
    });
    expect(ends(0.95).lower).toBeCloseTo(4000, 9);
    expect(ends(0.8).lower).toBeCloseTo(4100, 9);
    expect(bandAt(yields, 0, 0.8).upper).toBeCloseTo(3766.6666667, 6);
  });
});
