/** The curves of a variety that charts draw: expected yield and net return with the band of the believable ones. */
import type { Belief, Curve, CurvePoint } from "../result.ts";
import type { Settings } from "../settings.ts";
import { weightedInterval, type NetReturns } from "./net-return.ts";

/** Every second rate of the table is drawn. */
const every = 2;

export function believedCurves(belief: Belief, net: NetReturns, settings: Settings): Curve[] {
  const { rates, weights, yieldsByCurve, prices } = net;
  const response: CurvePoint[] = [];
  const money: CurvePoint[] = [];
  for (let x = 0; x < rates.length; x += every) {
    const rateSeedsPerM2 = rates[x]!;
    const { lower, upper } = weightedInterval(
      weights.map((_, c) => yieldsByCurve[c * rates.length + x]!),
      weights,
      settings.intervalLevels[1],
    );
    const net = (yieldKgPerHa: number): number => yieldKgPerHa * prices.grainPerKg[x]! - prices.costPerHa[x]!;
    const value = belief.expectedKgPerHa[x]!;
    response.push({ rateSeedsPerM2, value, lower, upper });
    money.push({ rateSeedsPerM2, value: net(value), lower: net(lower), upper: net(upper) });
  }
  const { variety } = belief;
  return [
    { kind: "response", variety, environment: null, points: response },
    { kind: "net-return", variety, environment: null, points: money },
  ];
}
