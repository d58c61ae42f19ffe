/** The curves of a variety that charts draw: expected yield and net return, with the band of the believable curves. */
import type { Belief, Curve, CurvePoint } from "../../vocabulary/result.ts";
import type { Settings } from "../../vocabulary/settings.ts";
import { isTested } from "../../vocabulary/tested-rates.ts";
import { bandAt } from "./believed-yields.ts";
import { rateOfBest } from "./curve-table.ts";
import { gainCurve } from "./gain-curve.ts";
import type { NetReturns } from "./net-return.ts";

/** Every second rate of the table is drawn. */
const every = 2;

/** @param rateNow today's rate; where it is not known (null) or not tested, gains are against the best rate */
export function believedCurves(
  belief: Belief,
  net: NetReturns,
  rateNow: number | null,
  settings: Settings,
): Curve[] {
  const { rates, yields, prices, expected } = net;
  const response: CurvePoint[] = [];
  const money: CurvePoint[] = [];
  for (let x = 0; x < rates.length; x += every) {
    const rateSeedsPerM2 = rates[x]!;
    const { lower, upper } = bandAt(yields, x, settings.intervalLevels[1]);
    const earned = (kgPerHa: number): number => kgPerHa * prices.grainPerKg[x]! - prices.costPerHa[x]!;
    response.push({ rateSeedsPerM2, value: belief.expectedKgPerHa[x]!, lower, upper });
    money.push({ rateSeedsPerM2, value: expected[x]!, lower: earned(lower), upper: earned(upper) });
  }
  const from = isTested(rateNow, belief) ? rateNow : rateOfBest(rates, expected);
  const gain = gainCurve(belief, net, from, settings.intervalLevels[1], every);
  const { variety } = belief;
  return [
    { kind: "response", variety, environment: null, points: response },
    { kind: "net-return", variety, environment: null, points: money },
    { kind: "gain", variety, environment: null, points: gain },
  ];
}
