/** Days between dates, without a clock. */

/**
 * Days from one ISO date to another, negative when it lies before.
 *
 * @example daysBetween("2024-02-28", "2024-03-01") // 2
 */
export const daysBetween = (from: string, to: string): number => dayNumber(to) - dayNumber(from);

/**
 * The ISO date so many days after another.
 *
 * @example daysAfter("2024-02-28", 2) // "2024-03-01"
 */
export function daysAfter(isoDate: string, days: number): string {
  const day = dayNumber(isoDate) + days;
  // A year is never shorter than 365 days and never longer than 366: the right one is this one or the one before.
  let year = Math.floor(day / 365.2425) + 1;
  while (dayNumber(`${year}-03-01`) > day) year -= 1;
  const ofYear = day - dayNumber(`${year}-03-01`);
  const month = Math.floor((5 * ofYear + 2) / 153);
  const ofMonth = ofYear - Math.floor((153 * month + 2) / 5) + 1;
  const two = (number: number): string => String(number).padStart(2, "0");
  return month < 10
    ? `${String(year).padStart(4, "0")}-${two(month + 3)}-${two(ofMonth)}`
    : `${String(year + 1).padStart(4, "0")}-${two(month - 9)}-${two(ofMonth)}`;
}

/**
 * The season, by its year of harvest, of a trial that is planned on a day: from September on the next year's, whose winter
 * crops are sown then, and spring crops later, in the north and in the south.
 *
 * @example seasonPlannedOn("2026-12-01") // 2027
 */
export const seasonPlannedOn = (isoDate: string): number =>
  Number(isoDate.slice(0, 4)) + (Number(isoDate.slice(5, 7)) >= 9 ? 1 : 0);

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
