import { describe, expect, it } from "vitest";
import { random } from "../../../src/maths/random.ts";
import { chooseRates, habitRates, settableRates } from "../../../src/plan/choose-rates.ts";
import type { Outlook } from "../../../src/plan/outlook.ts";
import { searchDesign, spreadPoints } from "../../../src/plan/search-design.ts";
import { setUpBench, simulateTrials, systematicSample } from "../../../src/plan/simulate-trials.ts";
import { normalGrid, outlookOf } from "./outlooks.ts";

const draws = { search: 80, general: 400, withGain: 1, longest: 8 };

describe("a simulated trial", () => {
  /** Two curves; in one season of ten each looks like the other. Known by hand: 9 to 1 after an exact trial. */
  const disguised: Outlook = {
    ...outlookOf(
      [0, 1],
      [
        { weight: 1, yields: () => 0, net: (rate) => (rate === 0 ? 1 : 0) },
        { weight: 1, yields: () => 0, net: (rate) => (rate === 1 ? 1 : 0) },
      ],
      0.01,
    ),
    seasonWeights: Float64Array.of(0.9, 0.1),
    yieldKgPerHa: Float64Array.of(1, 0, 0, 1, 0, 1, 1, 0),
  };

  it("trusts one season no further than seasons differ", () => {
    const bench = setUpBench(disguised, 0, 1, draws, random(1, "seasons"));
    const finds = simulateTrials(bench, { at: [0, 1], blocks: 4, errorSdKgPerHa: 0.01 });
    expect(Math.abs(finds.valuePerHa - (0.9 - 0.5))).toBeLessThan(3 * finds.valueStandardErrorPerHa);
    expect(finds.valueStandardErrorPerHa).toBeLessThan(0.03);
  });

  it("sees a gain only where it is 80 % sure", () => {
    const sure = setUpBench(disguised, 0, 1, { ...draws, withGain: 200 }, random(1, "seen"));
    const { chanceToSeeGain } = simulateTrials(sure, { at: [0, 1], blocks: 4, errorSdKgPerHa: 0.01 });
    expect(sure.chanceOfGain).toBe(0.5);
    expect(chanceToSeeGain).toBeCloseTo(0.9, 1);
  });
});

describe("a search of points", () => {
  const candidates = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10];

  it("begins from several spacings, so that one place that no single exchange leaves is not the end", () => {
    // Even spacing begins at 0, 3, 7, 10, where each exchange loses; the spacing crowded below begins at
    // 0, 10 × (1/3)^1.6 = 1.7, 10 × (2/3)^1.6 = 5.2, 10, which is better.
    const worth: Record<string, number> = { "0 3 7 10": 1, "0 2 5 10": 2 };
    const search = { candidates, count: 4, fixed: [], apart: 1 };
    const found = searchDesign({ ...search, score: (points) => worth[points.join(" ")] ?? 0 });
    expect(found).toEqual({ points: [0, 2, 5, 10], score: 2 });
  });

  it("moves a point to a place nearer than the distance that others must keep", () => {
    const one = { candidates, count: 1, fixed: [], apart: 2 };
    expect(spreadPoints(one)).toEqual([5]);
    expect(searchDesign({ ...one, score: ([point]) => -Math.abs(point! - 6) })!.points).toEqual([6]);
  });

  it("gives each fixed point a place of its own among the evenly spaced", () => {
    // Of 0, 5 and 10 the point at 4 takes the middle, and that at 6 the upper end.
    expect(spreadPoints({ candidates, count: 3, fixed: [4, 6], apart: 1 })).toEqual([0, 4, 6]);
  });
});

describe("systematic sampling", () => {
  it("takes each index as often as its weight says, to within one", () => {
    const weights = Float64Array.of(0.5, 0, 0.3, 0.2);
    const picks = systematicSample(weights, 1000, random(7, "sample"));
    const counts = Array.from(weights, (_, i) => picks.filter((pick) => pick === i).length);
    for (const [i, weight] of weights.entries())
      expect(Math.abs(counts[i]! - 1000 * weight)).toBeLessThanOrEqual(1);
  });
});

describe("the chosen rates", () => {
  /** All there is to see lies between two inner rates; what is not known reaches from end to end. */
  const rates = Array.from({ length: 21 }, (_, i) => 100 + 10 * i);
  const inner = outlookOf(
    rates,
    normalGrid.map(({ z, weight }) => ({
      weight,
      yields: (rate) => (rate >= 190 && rate <= 210 ? 40 * z : 0),
      net: (rate) => -((rate - 200 - 60 * z) ** 2),
    })),
    100,
  );
  const bench = setUpBench(inner, 10, 1, draws, random(1, "inner"));

  it("bracket the interval of the best rate although the trial would learn more inside it", () => {
    const [lower, upper] = bench.intervalNow;
    const chosen = chooseRates(bench, 5, 4, 100)!.map((g) => rates[g]!);
    expect(chosen[0]).toBeLessThanOrEqual(lower);
    expect(chosen.at(-1)).toBeGreaterThanOrEqual(upper);
    expect(chosen).toContain(200);
  });

  it("stand apart as far as a drill can tell, and evenly where habit chooses", () => {
    const chosen = chooseRates(bench, 6, 4, 100)!.map((g) => rates[g]!);
    for (const [i, rate] of chosen.entries())
      if (i > 0) expect(rate - chosen[i - 1]!).toBeGreaterThanOrEqual(0.08 * 200 - 1e-9);
    // Best rates are 200 + 60 z; z lies within ± 1.28 four times in five, and 15% beyond both ends are 105 and 318.
    expect(habitRates(bench, 5)!.map((g) => rates[g]!)).toEqual([110, 160, 200, 250, 300]);
    expect(habitRates(bench, 21)).toBeNull();
  });

  /** Best rates are 200 + `spread` z, and yields rise with z by 40 times what `tells` says of a rate. */
  const benchWhere = (tells: (rate: number) => number, now: number, spread = 60) =>
    setUpBench(
      outlookOf(
        rates,
        normalGrid.map(({ z, weight }) => ({
          weight,
          yields: (rate) => 40 * z * tells(rate),
          net: (rate) => -((rate - 200 - spread * z) ** 2),
        })),
        100,
      ),
      rates.indexOf(now),
      1,
      draws,
      random(1, "elsewhere"),
    );
  const ratesOf = (indexes: number[] | null): number[] => indexes!.map((g) => rates[g]!);

  // Four best rates in five lie within 200 ± 1.28 × 60 = 123 to 277.
  it("reach its upper end where only rates below it say anything, and its lower end where only rates above it do", () => {
    expect(
      ratesOf(
        chooseRates(
          benchWhere((rate) => (rate <= 170 ? 1 : 0), 200),
          5,
          4,
          100,
        ),
      ).at(-1),
    ).toBeGreaterThan(276);
    expect(
      ratesOf(
        chooseRates(
          benchWhere((rate) => (rate >= 230 ? 1 : 0), 200),
          5,
          4,
          100,
        ),
      )[0],
    ).toBeLessThan(124);
  });

  it("are inside it at least once from four rates on", () => {
    const ends = benchWhere((rate) => (rate <= 120 ? -1 : rate >= 280 ? 1 : 0), 110);
    const inside = (rate: number): boolean => rate > 123 && rate < 277;
    expect(ratesOf(chooseRates(ends, 4, 4, 100)).filter(inside)).toHaveLength(1);
    expect(ratesOf(chooseRates(ends, 3, 4, 100)).filter(inside)).toEqual([]);
  });

  it("are none where so many do not find room", () => {
    expect(chooseRates(bench, 21, 4, 100)).toBeNull();
  });

  it("are searched further out, step by step, where the interval is too narrow for so many", () => {
    // 200 ± 1.28 × 10 is 187 to 213. 15% beyond it, 159 to 245 hold five rates 16 apart on a grid of 10, 22.5% (145 to 261)
    // six, and 33.75% (124 to 285) eight: 130 to 280 in six equal parts, each to its nearest rate, the lower of two.
    const narrow = benchWhere(() => 1, 200, 10);
    expect(ratesOf(habitRates(narrow, 7))).toEqual([130, 150, 180, 200, 230, 250, 280]);
  });

  it("come from round steps of the drill", () => {
    expect(settableRates(122, 95, 140, 2)).toEqual([96, 100, 104, 108, 112, 116, 122, 128, 132, 136, 140]);
    // 5% of 400 are 20, ten of the drill's steps of 2; 5% of 200 are 10, five of them.
    expect(settableRates(400, 300, 500, 2)).toEqual([300, 320, 340, 360, 380, 400, 420, 440, 460, 480, 500]);
    expect(settableRates(200, 150, 250, 2)).toEqual([150, 160, 170, 180, 190, 200, 210, 220, 230, 240, 250]);
    // 5% of 30 are 1.5, less than the drill's step of 2.
    expect(settableRates(30, 25, 35, 2)).toEqual([26, 28, 30, 32, 34]);
  });
});
