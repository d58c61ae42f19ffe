/**
 * More seed when seeding is late.
 *
 * Common practice: about 1% more seed for each day past the best date, because late plants tiller less. The bulletins do
 * not say whether the days add or compound; simple addition is taken. More seed does not win back the yield lost to
 * lateness.
 */
import { daysBetween } from "../../numbers/calendar.ts";
import type { Belief, LateSeeding, LateStop, NextRate } from "../../vocabulary/result.ts";
import type { Settings } from "../../vocabulary/settings.ts";

type LateSettings = Pick<
  Settings,
  "latePerDay" | "lateCapSeedsPerM2" | "bestSeedingDate" | "plannedSeedingDate"
>;

/**
 * Rate for a number of days past the best date.
 *
 * Rises by `latePerDay` of the rate each day, up to the lowest of the limits, and is never below the rate for seeding in
 * time: a rate already above a limit stays as it is.
 *
 * @returns viable seeds/m²
 * @example 1.25 million/ac, 10 days, 1% → 1.375 million/ac; 40 days → 1.6 million/ac, the cap
 * Common practice, no printed source.
 */
export function lateRate(
  rateSeedsPerM2: number,
  daysLate: number,
  settings: Pick<LateSettings, "latePerDay" | "lateCapSeedsPerM2">,
  limits: LateLimits = {},
): number {
  return stopLate(rateSeedsPerM2, daysLate, settings, limits).rateSeedsPerM2;
}

/** Days between the best and the planned seeding date, negative when early; null while one of them is unknown. */
export const plannedDaysLate = ({
  bestSeedingDate,
  plannedSeedingDate,
}: Pick<LateSettings, "bestSeedingDate" | "plannedSeedingDate">): number | null =>
  bestSeedingDate === null || plannedSeedingDate === null
    ? null
    : daysBetween(bestSeedingDate, plannedSeedingDate);

/** Limits on the late rate besides the cap: above them the strips show lodging, or nothing. */
export interface LateLimits {
  lodging?: number | null;
  tested?: number | null;
}

/** What the strips of a variety say about rates above the advised one. */
export const lateLimitsOf = (
  { lodgingCeilingSeedsPerM2 }: Pick<NextRate, "lodgingCeilingSeedsPerM2">,
  { testedSeedsPerM2 }: Pick<Belief, "testedSeedsPerM2">,
): LateLimits => ({ lodging: lodgingCeilingSeedsPerM2, tested: testedSeedsPerM2[1] });

/** The late rate, and its limit if one is reached. */
export function stopLate(
  rateSeedsPerM2: number,
  daysLate: number,
  { latePerDay, lateCapSeedsPerM2 }: Pick<LateSettings, "latePerDay" | "lateCapSeedsPerM2">,
  { lodging = null, tested = null }: LateLimits,
): { rateSeedsPerM2: number; stoppedBy: LateStop | null } {
  if (daysLate <= 0) return { rateSeedsPerM2, stoppedBy: null };
  const wanted = rateSeedsPerM2 * (1 + latePerDay * daysLate);
  // Of equal limits the most serious is named.
  const stops: [LateStop, number][] = [
    ["lodging", lodging ?? Infinity],
    ["tested", tested ?? Infinity],
    ["cap", lateCapSeedsPerM2],
  ];
  const [stoppedBy, limit] = stops.reduce((lowest, one) => (one[1] < lowest[1] ? one : lowest));
  // A rate equal to a limit is not stopped by it; rounding does not count.
  return wanted > limit * (1 + 1e-9)
    ? { rateSeedsPerM2: Math.max(rateSeedsPerM2, limit), stoppedBy }
    : { rateSeedsPerM2: wanted, stoppedBy: null };
}

/** The rate to set on the planned date; the rate itself where seeding is on time, or a date is not known. */
export const rateOnPlannedDate = (
  rateSeedsPerM2: number,
  settings: LateSettings,
  limits: LateLimits,
): number => lateRate(rateSeedsPerM2, Math.max(0, plannedDaysLate(settings) ?? 0), settings, limits);

/** Days late, for the rows of the table. */
const tableDays = [0, 5, 10, 15, 20, 25, 30];

/** The rate by days late, with the planned day among them where both dates are known; no rows without a rate. */
export function lateTable(
  rateSeedsPerM2: number | null,
  settings: LateSettings,
  limits: LateLimits = {},
): LateSeeding {
  const planned = plannedDaysLate(settings);
  if (rateSeedsPerM2 === null) return { plannedDaysLate: planned, rows: [] };
  const days = planned !== null && planned > 0 ? [...tableDays, planned] : tableDays;
  return {
    plannedDaysLate: planned,
    rows: [...new Set(days)]
      .sort((a, b) => a - b)
      .map((daysLate) => ({ daysLate, ...stopLate(rateSeedsPerM2, daysLate, settings, limits) })),
  };
}
