import { describe, expect, it } from "vitest";
import { random } from "../../../src/maths/random.ts";
import { chooseRates, habitRates, settableRates } from "../../../src/plan/choose-rates.ts";
import { bestRates, type Outlook } from "../../../src/plan/outlook.ts";
import { setUpBench, simulateTrials, systematicSample } from "../../../src/plan/simulate-trials.ts";
import { normalGrid, outlookOf } from "./outlooks.ts";

const draws = { search: 80, general: 400, withGain: 1, longest: 8 };

describe("the best rate of a curve", () => {
  it("is the top of its parabola, on rates that lie unevenly", () => {
    const rates = [100, 180, 210, 300, 420];
    const tops = [190, 205, 260];
    const curves = tops.map((top) => ({
      weight: 1,
      yields: () => 0,
      net: (rate: number) => -((rate - top) ** 2),
    }));
    for (const [k, best] of bestRates(outlookOf(rates, curves, 1)).entries())
      expect(best).toBeCloseTo(tops[k]!, 9);
  });

  it("is the end of the rates when money still rises there", () => {
    const curve = { weight: 1, yields: () => 0, net: (rate: number) => rate };
    expect(bestRates(outlookOf([100, 200, 300], [curve], 1))[0]).toBe(300);
  });
});

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

  it("come from round steps of the drill", () => {
    expect(settableRates(122, 95, 140, 2)).toEqual([96, 100, 104, 108, 112, 116, 122, 128, 132, 136, 140]);
  });
});
