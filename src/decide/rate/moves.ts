/** What going from one rate to another earns under each believable curve. */
import type { Belief, Interval } from "../../vocabulary/result.ts";
import type { Settings } from "../../vocabulary/settings.ts";
import { weightedInterval } from "../../maths/weighted-quantiles.ts";
import { sameRateWithin } from "../../numbers/same-rate.ts";
import { valueAt } from "./curve-table.ts";
import { earnedByCurve, type NetReturns } from "./net-return.ts";

/**
 * Whether two rates have tested rates between them, and the move ends within those: beyond the lowest or highest,
 * nothing is known about what it earns.
 */
const seesMove = ({ testedSeedsPerM2: [lowest, highest] }: Belief, from: number, to: number): boolean =>
  Math.max(from, to) > lowest &&
  Math.min(from, to) < highest &&
  to >= lowest * (1 - sameRateWithin) &&
  to <= highest * (1 + sameRateWithin);

const chanceAbove = (values: Float64Array, weights: Float64Array, limit: number): number =>
  Math.min(
    1,
    values.reduce((sum, value, i) => sum + (value > limit ? weights[i]! : 0), 0),
  );

/**
 * Gain of a move, with the narrower of the settings' intervals, and its chance to pay.
 *
 * @returns the gain null where the strips do not see the move; the chance null there too, and where nothing moves
 */
export function worthOfMove(
  belief: Belief,
  net: NetReturns,
  from: number,
  to: number,
  { intervalLevels: [level] }: Pick<Settings, "intervalLevels">,
): { gainPerHa: (Omit<Interval, "level"> & { expected: number }) | null; chanceOfGain: number | null } {
  if (from !== to && !seesMove(belief, from, to)) return { gainPerHa: null, chanceOfGain: null };
  const { rates, weights, expected } = net;
  const [there, here] = [earnedByCurve(net, to), earnedByCurve(net, from)];
  const gains = there.map((earned, c) => earned - here[c]!);
  return {
    gainPerHa: {
      expected: valueAt(rates, expected, to) - valueAt(rates, expected, from),
      ...weightedInterval(gains, weights, level),
    },
    chanceOfGain: from === to ? null : chanceAbove(gains, weights, 0),
  };
}
