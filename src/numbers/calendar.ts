/** Days between dates, without a clock. */

/**
 * Days from one ISO date to another, negative when it lies before.
 *
 * @example daysBetween("2024-02-28", "2024-03-01") // 2
 */
export const daysBetween = (from: string, to: string): number => dayNumber(to) - dayNumber(from);

/** Days since 0000-03-01 in the proleptic Gregorian calendar: years start in March, so that a leap day comes last. */
function dayNumber(isoDate: string): number {
  const [year = 0, month = 0, day = 0] = isoDate.split("-").map(Number);
  const marchYear = month > 2 ? year : year - 1;
  const dayOfYear = Math.floor((153 * ((month + 9) % 12) + 2) / 5) + day - 1;
  return (
    365 * marchYear +
    Math.floor(marchYear / 4) -
    Math.floor(marchYear / 100) +
    Math.floor(marchYear / 400) +
    dayOfYear
  );
}
