/**
 * More seed when seeding is late.
 *
 * Common practice: about 1 % more seed for each day past the best date, because late plants tiller less. The bulletins do
 * not say whether the days add or compound; simple addition is taken. More seed does not win back the yield lost to
 * lateness (about 1 % a day for spring wheat in Minnesota, NDSU Crop & Pest Report 9 May 2002).
 */
import { daysBetween } from "../../numbers/calendar.ts";
import type { LateSeeding } from "../../vocabulary/result.ts";
import type { Settings } from "../../vocabulary/settings.ts";

type LateSettings = Pick<
  Settings,
  "latePerDay" | "lateCapSeedsPerM2" | "bestSeedingDate" | "plannedSeedingDate"
>;

/**
 * Rate for a number of days past the best date.
 *
 * Rises by `latePerDay` of the rate each day, up to the cap, and is never below the rate for seeding in time: a rate
 * already above the cap stays as it is.
 *
 * @returns viable seeds/m²
 * @example 1.25 million/ac, 10 days, 1 % → 1.375 million/ac; 40 days → 1.6 million/ac, the cap
 * Source: NDSU Extension, "Optimal Seeding Rates"; NDSU Carrington Ag Alert, 13 May 1999.
 */
export function lateRate(
  rateSeedsPerM2: number,
  daysLate: number,
  settings: Pick<LateSettings, "latePerDay" | "lateCapSeedsPerM2">,
): number {
  if (daysLate <= 0) return rateSeedsPerM2;
  const wanted = rateSeedsPerM2 * (1 + settings.latePerDay * daysLate);
  return Math.max(rateSeedsPerM2, Math.min(wanted, settings.lateCapSeedsPerM2));
}

/** Days of the rows of the late table. */
const tableDays = [0, 5, 10, 15, 20, 25, 30];

/** The rate by days late, with the planned day among them where both dates are known; no rows without a rate. */
export function lateTable(rateSeedsPerM2: number | null, settings: LateSettings): LateSeeding {
  const planned =
    settings.bestSeedingDate === null || settings.plannedSeedingDate === null
      ? null
      : daysBetween(settings.bestSeedingDate, settings.plannedSeedingDate);
  if (rateSeedsPerM2 === null) return { plannedDaysLate: planned, rows: [] };
  const days = planned !== null && planned > 0 ? [...tableDays, planned] : tableDays;
  return {
    plannedDaysLate: planned,
    rows: [...new Set(days)]
      .sort((a, b) => a - b)
      .map((daysLate) => {
        const rate = lateRate(rateSeedsPerM2, daysLate, settings);
        return {
          daysLate,
          rateSeedsPerM2: rate,
          capped: rate < rateSeedsPerM2 * (1 + settings.latePerDay * daysLate),
        };
      }),
  };
}
