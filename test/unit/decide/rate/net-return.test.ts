/** Best rates of many curves, held against going through every rate of the table. */
import { describe, expect, it } from "vitest";
import { believedYields } from "../../../../src/decide/rate/believed-yields.ts";
import { netReturns } from "../../../../src/decide/rate/net-return.ts";
import type { Belief } from "../../../../src/vocabulary/result.ts";
import { curve, three } from "./three-curves.ts";

const rates = Array.from({ length: 121 }, (_, i) => 200 + (5 * i) / 3);
const curves = Array.from({ length: 40 }, (_, i) => ({
  ...curve(1 / 40, 205 + 5 * i, 0.02 + 0.004 * i),
  decline: i % 3 === 0 ? 0.05 + 0.005 * i : 0,
  shoulder: 0.1,
}));
const belief: Belief = { ...three, ratesSeedsPerM2: rates, curves, expectedKgPerHa: rates.map(() => 4000) };

function everyRate(grainAt: (x: number) => number, costAt: (x: number) => number) {
  const { byCurve } = believedYields(belief);
  return curves.map((_, c) => {
    const earned = rates.map((_, x) => byCurve[c * rates.length + x]! * grainAt(x) - costAt(x));
    const most = Math.max(...earned);
    return { most, rate: rates[earned.indexOf(most)]! };
  });
}

describe("each curve's best rate and what it earns there", () => {
  const cases: [string, (x: number) => number, (x: number) => number][] = [
    ["at one price of grain", () => 0.2, (x) => 0.3 * rates[x]!],
    ["with seed for nothing", () => 0.2, () => 0],
    ["with seed dearer than it earns", () => 0.2, (x) => 9 * rates[x]!],
    ["with a premium that falls with the rate", (x) => 0.24 - 0.0004 * x, (x) => 0.1 * rates[x]!],
    ["with a cost of lodging that sets in late", () => 0.2, (x) => 0.3 * rates[x]! + (x > 90 ? 40 : 0)],
    ["with grain that costs money", () => -0.01, () => 0],
  ];
  it.each(cases)("%s", (_, grainAt, costAt) => {
    const prices = {
      seedPricePerThousand: 0.03,
      grainPerKg: Float64Array.from(rates.keys(), grainAt),
      costPerHa: Float64Array.from(rates.keys(), costAt),
    };
    const { bestRates, mostPerHa } = netReturns(belief, prices);
    everyRate(grainAt, costAt).forEach(({ most, rate }, c) => {
      expect(mostPerHa[c]).toBe(most);
      // The top of the parabola through the best rate of the table and its neighbours is within half a step of it.
      expect(Math.abs(bestRates[c]! - rate)).toBeLessThanOrEqual(5 / 6 + 1e-9);
    });
  });
});
