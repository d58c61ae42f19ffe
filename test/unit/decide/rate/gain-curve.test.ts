/**
 * What each rate earns over one rate, worked by hand: two curves equally believed, a premium that rises with the rate.
 *
 * | rate | A [kg/ha] | B    | expected | grain [money/kg] | cost [money/ha] | earns                   |
 * |  200 |      3900 | 3800 |     3850 |             0.20 |              60 | 3850 × 0.20 − 60 = 710  |
 * |  250 |      4000 | 4000 |     4000 |             0.21 |              75 | 4000 × 0.21 − 75 = 765  |
 * |  300 |      4100 | 4100 |     4100 |             0.22 |              90 | 4100 × 0.22 − 90 = 812  |
 * |  350 |      4100 | 4200 |     4150 |             0.22 |             105 | 4150 × 0.22 − 105 = 808 |
 * |  400 |      4100 | 4300 |     4200 |             0.22 |             120 | 4200 × 0.22 − 120 = 804 |
 */
import { describe, expect, it } from "vitest";
import { gainCurve } from "../../../../src/decide/rate/gain-curve.ts";
import { netOf, type NetReturns } from "../../../../src/decide/rate/net-return.ts";
import type { CurvePoint } from "../../../../src/vocabulary/result.ts";

const rates = [200, 250, 300, 350, 400];
const expectedKgPerHa = [3850, 4000, 4100, 4150, 4200];
const curves = [3900, 4000, 4100, 4100, 4100, 3800, 4000, 4100, 4200, 4300];

function net(weights: readonly number[], change = 0): NetReturns {
  const prices = {
    seedPricePerThousand: 0.03,
    grainPerKg: Float64Array.of(0.2, 0.21, 0.22, 0.22, 0.22).map((price) => price + change),
    costPerHa: Float64Array.of(60, 75, 90, 105, 120),
  };
  const byCurve = Float64Array.from(curves);
  return {
    prices,
    rates,
    weights: Float64Array.from(weights),
    expected: netOf(expectedKgPerHa, prices),
    bestRates: Float64Array.of(300, 400),
    mostPerHa: Float64Array.of(812, 826),
    yields: {
      weights: Float64Array.from(weights),
      byCurve,
      tops: Float64Array.of(4100, 4300),
      mostGrain: Float64Array.of(300, 400),
      bands: new Map(),
    },
  };
}

const rounded = (points: readonly CurvePoint[]): number[][] =>
  points.map((one) =>
    [one.rateSeedsPerM2, one.value, one.lower!, one.upper!].map((value) => Math.round(value * 1e6) / 1e6),
  );

describe("what each rate earns over one of the table", () => {
  it("is what the expected curve earns more, with the band of what the curves yield more", () => {
    // Beside the kilograms that a curve yields more at the rate's own price stands what the price is higher there, times the
    // 4,000 kg/ha at 250, less what the rate costs more.
    // At 200: A −100 × 0.20 − 4000 × 0.01 + 15 = −45; B −200 × 0.20 − 40 + 15 = −65; expected 710 − 765 = −55.
    // At 300: both 100 × 0.22 + 40 − 15 = 47. At 400: A 22 + 40 − 45 = 17, B 300 × 0.22 + 40 − 45 = 61, expected 39.
    expect(rounded(gainCurve({ expectedKgPerHa }, net([0.5, 0.5]), 250, 0.8, 2))).toEqual([
      [200, -55, -65, -45],
      [300, 47, 47, 47],
      [400, 39, 17, 61],
    ]);
  });

  it("has no band where one curve has all but a tail of the belief, and one where the tail counts", () => {
    // B is believed 0.08: outside the middle 80 % (a tenth on either side), inside the middle 90 %.
    const some = net([0.92, 0.08]);
    expect(rounded(gainCurve({ expectedKgPerHa }, some, 250, 0.8, 2))[2]).toEqual([400, 39, 17, 17]);
    expect(rounded(gainCurve({ expectedKgPerHa }, some, 250, 0.9, 2))[2]).toEqual([400, 39, 17, 61]);
  });

  it("follows another rate to hold all others against, and another price", () => {
    const some = net([0.5, 0.5]);
    gainCurve({ expectedKgPerHa }, some, 250, 0.8, 2);
    // Over 300, at the same 0.22: at 400 A 0 − 30, B 200 × 0.22 − 30 = 14, expected 804 − 812.
    expect(rounded(gainCurve({ expectedKgPerHa }, some, 300, 0.8, 2))[2]).toEqual([400, -8, -30, 14]);
    // Grain 0.01 dearer: 1 more for the 100 kg/ha of A, 3 for the 300 of B, 2 for the 200 expected.
    const dearer = { ...net([0.5, 0.5], 0.01), yields: some.yields };
    expect(rounded(gainCurve({ expectedKgPerHa }, dearer, 250, 0.8, 2))[2]).toEqual([400, 41, 18, 64]);
  });

  it("is read half-way between two rates of the table", () => {
    // At 275: expected 4,050 of 0.215 less 82.5; the table is straight in money: (765 + 812) ÷ 2 = 788.5. 804 − 788.5.
    // A at 400: 4100 − 4050 = 50 × 0.22 + 4050 × 0.005 − 37.5 = −6.25; B: 250 × 0.22 + 20.25 − 37.5 = 37.75.
    expect(rounded(gainCurve({ expectedKgPerHa }, net([0.5, 0.5]), 275, 0.8, 2))[2]).toEqual([
      400, 15.5, -6.25, 37.75,
    ]);
  });
});
