/** The lowest rate that a person accepts, whatever the strips say: a thin stand lets weeds through. */
import type { Reason } from "../../vocabulary/result.ts";
import type { Lot, Settings } from "../../vocabulary/settings.ts";

/** From the lot, otherwise from the settings; null if neither sets one. */
export const lowestRate = (
  lot: Pick<Lot, "lowestRateSeedsPerM2"> | undefined,
  settings: Pick<Settings, "lowestRateSeedsPerM2">,
): number | null => lot?.lowestRateSeedsPerM2 ?? settings.lowestRateSeedsPerM2;

/**
 * A season's step that goes no lower than the person accepts, on the next rate up that the drill can be set to. It is
 * named where it binds: where the step went lower, or the strips ask for less than it and that would pay. A ceiling of lodging
 * below it is named with it, in place of a reason that would contradict it.
 *
 * @param asksForLess the strips ask for less than the lowest rate, and for more money than the flat zone
 */
export function keepLowest<Rate extends number | null>(
  step: { rate: Rate; reasons: Reason[] },
  { lowest, ceiling, asksForLess }: { lowest: number | null; ceiling: number | null; asksForLess: boolean },
  { rateStepSeedsPerM2 }: Pick<Settings, "rateStepSeedsPerM2">,
): { rate: Rate | number; reasons: Reason[] } {
  if (lowest === null || step.rate === null) return step;
  const below = step.rate < lowest * (1 - 1e-9);
  if (!below && !asksForLess) return step;
  const aboveCeiling = ceiling !== null && ceiling < lowest;
  const replaced = [
    "inside-flat-zone",
    ...(below ? ["step-limited"] : []),
    ...(aboveCeiling ? ["lodging-ceiling"] : []),
  ];
  return {
    rate: below ? settableFrom(lowest, rateStepSeedsPerM2) : step.rate,
    reasons: [
      ...step.reasons.filter(({ code }) => !replaced.includes(code)),
      {
        code: "lowest-rate",
        numbers: { rateSeedsPerM2: lowest, ...(aboveCeiling ? { ceilingSeedsPerM2: ceiling } : {}) },
      },
    ],
  };
}

const settableFrom = (rate: number, step: number): number =>
  step > 0 ? Math.ceil(rate / step - 1e-9) * step : rate;
