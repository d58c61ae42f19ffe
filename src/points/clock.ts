/** Times as monitors write them → seconds. */

/** Days from 1970-01-01 to a date of the Gregorian calendar (Hinnant 2013, "chrono-compatible low-level date algorithms"). */
function daysFromCivil(year: number, month: number, day: number): number {
  const y = month <= 2 ? year - 1 : year;
  const era = Math.floor(y / 400);
  const yearOfEra = y - era * 400;
  const dayOfYear = Math.floor((153 * (month + (month > 2 ? -3 : 9)) + 2) / 5) + day - 1;
  return (
    era * 146_097 +
    yearOfEra * 365 +
    Math.floor(yearOfEra / 4) -
    Math.floor(yearOfEra / 100) +
    dayOfYear -
    719_468
  );
}

const iso = /^(\d{4})[-/](\d\d?)[-/](\d\d?)(?:[T ](\d\d?):(\d\d)(?::(\d\d(?:\.\d+)?))?\s*([AP]M)?)?/i;
const slashed =
  /^(\d\d?)[/-](\d\d?)[/-](\d{4}|\d\d)(?:,?\s+(\d\d?):(\d\d)(?::(\d\d(?:\.\d+)?))?\s*([AP]M)?)?/i;
const dotted = /^(\d\d?)\.(\d\d?)\.(\d{4})(?:,?\s+(\d\d?):(\d\d)(?::(\d\d(?:[.,]\d+)?))?)?/;
const together = /^(\d{4})(\d\d)(\d\d)[T_ -]?(\d\d)(\d\d)(\d\d(?:\.\d+)?)$/;
const clockOnly = /^(\d\d?):(\d\d)(?::(\d\d(?:\.\d+)?))?\s*([AP]M)?$/i;

const hour = (hours: number, half: string | undefined): number =>
  half === undefined ? hours : (hours % 12) + (/p/i.test(half) ? 12 : 0);

/** Whether a text is the time of a day and names no day. */
export const isClock = (text: string): boolean => clockOnly.test(text);

/** Which of the first two numbers of a date with strokes is the day; null where it may be either. */
export function dayComesFirst(text: string): boolean | null {
  const match = slashed.exec(text);
  if (match === null) return null;
  return Number(match[1]) > 12 ? true : Number(match[2]) > 12 ? false : null;
}

/**
 * Seconds of a time, from an origin that all times of the same shape share; NaN where it is none.
 *
 * Zones are left out: only differences count.
 *
 * @param dayFirst whether dates with strokes begin with their day: 20/8/2026
 * @example parseSeconds("2017-08-26T18:36:52.5Z") - parseSeconds("2017-08-26T18:36:50Z") // 2.5
 */
export function parseSeconds(text: string, dayFirst = false): number {
  let match = iso.exec(text);
  if (match !== null) {
    const days = daysFromCivil(Number(match[1]), Number(match[2]), Number(match[3]));
    return days * 86_400 + secondsOfDay(match);
  }
  match = together.exec(text);
  if (match !== null && Number(match[2]) <= 12 && Number(match[3]) <= 31)
    return parseSeconds(`${match[1]}-${match[2]}-${match[3]} ${match[4]}:${match[5]}:${match[6]}`);
  // Beyond this they are thousandths of seconds since 1970.
  if (/^-?\d+(?:\.\d+)?$/.test(text)) return Number(text) / (Number(text) > 1e11 ? 1_000 : 1);
  match = dotted.exec(text);
  if (match !== null)
    return parseSeconds(
      `${match[3]}-${match[2]}-${match[1]} ${match[4] ?? "0"}:${match[5] ?? "00"}:${(match[6] ?? "0").replace(",", ".").padStart(2, "0")}`,
    );
  match = slashed.exec(text);
  if (match !== null) {
    const [first, second, year] = [Number(match[1]), Number(match[2]), Number(match[3])];
    const [month, day] = dayFirst ? [second, first] : [first, second];
    return daysFromCivil(year < 100 ? year + 2_000 : year, month, day) * 86_400 + secondsOfDay(match);
  }
  match = clockOnly.exec(text);
  return match === null
    ? NaN
    : hour(Number(match[1]), match[4]) * 3_600 + Number(match[2]) * 60 + Number(match[3] ?? 0);
}

/** Of a date's match, whose fourth to seventh groups are hour, minute, second and half of the day, where they are there. */
const secondsOfDay = (match: RegExpExecArray): number =>
  hour(Number(match[4] ?? 0), match[7]) * 3_600 + Number(match[5] ?? 0) * 60 + Number(match[6] ?? 0);
