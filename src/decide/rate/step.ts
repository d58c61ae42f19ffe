/** How far to move in one season. */
import type { Reason } from "../../vocabulary/result.ts";
import type { Settings } from "../../vocabulary/settings.ts";

export interface StepQuestion {
  rateNowSeedsPerM2: number;
  /** Rate to move toward; null where the strips name none. */
  target: number | null;
  /** What going all the way would earn over today's rate [money/ha]. */
  wholeGainPerHa: number;
  ceiling: number | null;
}

/**
 * Next season's rate: toward the target, at most `largestStep` of today's rate, in steps that the drill can set, and
 * not at all where the whole move would earn no more than the flat-zone sum. A lodging ceiling is kept in any case.
 */
export function chooseStep(
  { rateNowSeedsPerM2: now, target, wholeGainPerHa, ceiling }: StepQuestion,
  settings: Pick<Settings, "largestStep" | "flatZonePerHa" | "rateStepSeedsPerM2">,
): { rate: number; reasons: Reason[] } {
  const reasons: Reason[] = [];
  const overCeiling = ceiling !== null && now > ceiling;
  const endsAtCeiling = ceiling !== null && target !== null && target > ceiling;
  if (overCeiling || endsAtCeiling)
    reasons.push({ code: "lodging-ceiling", numbers: { rateSeedsPerM2: ceiling } });
  if (target === null && !overCeiling) return { rate: now, reasons };
  if (!overCeiling && wholeGainPerHa <= settings.flatZonePerHa) {
    reasons.push({
      code: "inside-flat-zone",
      numbers: {
        gainPerHa: Math.max(0, wholeGainPerHa),
        flatZonePerHa: settings.flatZonePerHa,
        ...(endsAtCeiling ? { ceilingSeedsPerM2: ceiling } : {}),
      },
    });
    return { rate: now, reasons };
  }
  const wanted = Math.min(target ?? now, ceiling ?? Infinity);
  const lowest = now * (1 - settings.largestStep);
  const highest = now * (1 + settings.largestStep);
  const bounded = Math.min(Math.max(wanted, lowest), highest);
  if (bounded !== wanted)
    reasons.push({
      code: "step-limited",
      numbers: { share: settings.largestStep, targetSeedsPerM2: wanted },
    });
  const [least, most] = wanted > now ? [now, highest] : [lowest, now];
  const settable = drillRates(bounded, settings.rateStepSeedsPerM2, ceiling);
  const slack = 1e-9 * now;
  return { rate: settable.find((one) => one >= least - slack && one <= most + slack) ?? now, reasons };
}

/**
 * The rate to aim at where today's is not known: the wanted one, no higher than a lodging ceiling, in steps of the
 * drill.
 *
 * @returns a null rate where the strips name none
 */
export function bestStep(
  wanted: number | null,
  ceiling: number | null,
  settings: Pick<Settings, "rateStepSeedsPerM2">,
): { rate: number | null; reasons: Reason[] } {
  if (wanted === null) return { rate: null, reasons: [] };
  const over = ceiling !== null && wanted > ceiling;
  return {
    rate: drillRates(over ? ceiling : wanted, settings.rateStepSeedsPerM2, ceiling)[0]!,
    reasons: over ? [{ code: "lodging-ceiling", numbers: { rateSeedsPerM2: ceiling } }] : [],
  };
}

/**
 * Rates near the given one that a drill can be set to, best first: those that keep a ceiling before all others, then
 * the nearest. If one step from above does not reach the ceiling, none keeps it.
 */
function drillRates(rate: number, step: number, ceiling: number | null): number[] {
  if (!(step > 0)) return [rate];
  const steps = rate / step;
  const nearestFirst = [Math.round(steps), Math.floor(steps + slackOfStep), Math.ceil(steps - slackOfStep)];
  const highest = ceiling === null ? Infinity : ceiling / step + slackOfStep;
  const keeps = (n: number): boolean => n <= highest;
  return [...nearestFirst.filter(keeps), ...nearestFirst.filter((n) => !keeps(n))].map((n) => n * step);
}

/** Rounding may be up to this share of a drill's step. */
const slackOfStep = 1e-9;
