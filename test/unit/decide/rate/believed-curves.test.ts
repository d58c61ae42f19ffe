/**
 * The curves that charts draw, worked by hand: two curves equally believed at four rates, every second of which is drawn.
 *
 * | rate | A [kg/ha] | B    | expected | grain [money/kg] | cost [money/ha] | earns                  |
 * |  200 |      3900 | 3700 |     3800 |             0.20 |              60 | 3800 × 0.20 − 60 = 700 |
 * |  250 |      4000 | 3900 |     3950 |             0.20 |              75 | 3950 × 0.20 − 75 = 715 |
 * |  300 |      4100 | 4300 |     4200 |             0.22 |              90 | 4200 × 0.22 − 90 = 834 |
 * |  350 |      4100 | 4200 |     4150 |             0.22 |             105 | 808                    |
 */
import { describe, expect, it } from "vitest";
import { believedCurves } from "../../../../src/decide/rate/believed-curves.ts";
import { netOf, type NetReturns } from "../../../../src/decide/rate/net-return.ts";
import { settings, three } from "./three-curves.ts";

const expectedKgPerHa = [3800, 3950, 4200, 4150];
const belief = { ...three, expectedKgPerHa };

function net(): NetReturns {
  const weights = Float64Array.of(0.5, 0.5);
  const byCurve = Float64Array.of(3900, 4000, 4100, 4100, 3700, 3900, 4300, 4200);
  const prices = {
    seedPricePerThousand: 0.03,
    grainPerKg: Float64Array.of(0.2, 0.2, 0.22, 0.22),
    costPerHa: Float64Array.of(60, 75, 90, 105),
  };
  const yields = {
    weights,
    byCurve,
    tops: Float64Array.of(4100, 4300),
    mostGrain: Float64Array.of(350, 300),
    bands: new Map(),
  };
  return {
    prices,
    rates: [200, 250, 300, 350],
    weights,
    expected: netOf(expectedKgPerHa, prices),
    bestRates: Float64Array.of(300, 300),
    mostPerHa: Float64Array.of(812, 856),
    yields,
  };
}

const close = (value: number): number => expect.closeTo(value, 9) as number;

describe("the curves that charts draw", () => {
  it("are of one variety over all seasons, one of each kind", () => {
    expect(believedCurves(belief, net(), 250, settings)).toMatchObject([
      { kind: "response", variety: "Alder", environment: null },
      { kind: "net-return", variety: "Alder", environment: null },
      { kind: "gain", variety: "Alder", environment: null },
    ]);
  });

  it("show what is expected at every second rate, between the yields of the curves", () => {
    const [response] = believedCurves(belief, net(), 250, settings);
    expect(response!.points).toEqual([
      { rateSeedsPerM2: 200, value: close(3800), lower: close(3700), upper: close(3900) },
      { rateSeedsPerM2: 300, value: close(4200), lower: close(4100), upper: close(4300) },
    ]);
  });

  it("show what that earns: the grain's price at each rate, less what the rate costs", () => {
    const [, money] = believedCurves(belief, net(), 250, settings);
    // 3700 × 0.20 − 60 = 680, 3900 × 0.20 − 60 = 720; 4100 × 0.22 − 90 = 812, 4300 × 0.22 − 90 = 856.
    expect(money!.points).toEqual([
      { rateSeedsPerM2: 200, value: close(700), lower: close(680), upper: close(720) },
      { rateSeedsPerM2: 300, value: close(834), lower: close(812), upper: close(856) },
    ]);
  });

  it("hold gains against today's rate, or against the best rate where today's is not known", () => {
    const gains = (rateNow: number | null): number[] =>
      believedCurves(belief, net(), rateNow, settings)[2]!.points.map(({ value }) => value);
    // Today 250 earns 715. The best rate is the top of the parabola through 715, 834 and 808,
    // 300 + 50 × (808 − 715) ÷ (2 × (2 × 834 − 715 − 808)) = 316.0345, where a line from 834 to 808 is at
    // 834 − 26 × 16.0345 ÷ 50 = 825.6621.
    expect(gains(250)).toEqual([close(-15), close(119)]);
    expect(gains(null)).toEqual([expect.closeTo(-125.6621, 4), expect.closeTo(8.3379, 4)]);
    // Of a rate that was not tested nothing is known: 200 to 400 were.
    for (const untested of [199, 401]) expect(gains(untested)).toEqual(gains(null));
  });
});
