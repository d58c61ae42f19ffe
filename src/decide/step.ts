/** How far to move in one season. */
import type { Reason } from "../result.ts";
import type { Settings } from "../settings.ts";

export interface StepQuestion {
  rateNowSeedsPerM2: number;
  /** Rate to move toward; null where the strips name none. */
  target: number | null;
  /** What the whole move would earn over today's rate [money/ha]. */
  wholeGainPerHa: number;
  ceiling: number | null;
}

/**
 * Next season's rate: toward the target, at most `largestStep` of today's rate, in steps that the drill can set, and not
 * at all where the whole move would earn no more than the flat-zone sum. A lodging ceiling is kept even so.
 */
export function chooseStep(
  { rateNowSeedsPerM2: now, target, wholeGainPerHa, ceiling }: StepQuestion,
  settings: Pick<Settings, "largestStep" | "flatZonePerHa" | "rateStepSeedsPerM2">,
): { rate: number; reasons: Reason[] } {
  const reasons: Reason[] = [];
  const overCeiling = ceiling !== null && now > ceiling;
  if (ceiling !== null && (overCeiling || (target !== null && target > ceiling)))
    reasons.push({ code: "lodging-ceiling", numbers: { rateSeedsPerM2: ceiling } });
  if (target === null && !overCeiling) return { rate: now, reasons };
  if (!overCeiling && wholeGainPerHa <= settings.flatZonePerHa) {
    reasons.push({
      code: "inside-flat-zone",
      numbers: { gainPerHa: Math.max(0, wholeGainPerHa), flatZonePerHa: settings.flatZonePerHa },
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
  return { rate: toDrillStep(bounded, now, settings.rateStepSeedsPerM2, lowest, highest), reasons };
}

/** The nearest rate that the drill can be set to, within the bounds; today's where there is none but it. */
function toDrillStep(rate: number, now: number, step: number, lowest: number, highest: number): number {
  if (!(step > 0)) return rate;
  const slack = 1e-9 * rate;
  const settings = [Math.round(rate / step), Math.floor(rate / step), Math.ceil(rate / step)].map(
    (n) => n * step,
  );
  return settings.find((one) => one >= lowest - slack && one <= highest + slack) ?? now;
}
