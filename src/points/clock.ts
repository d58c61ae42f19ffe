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

const iso = /^(\d{4})[-/](\d\d?)[-/](\d\d?)(?:[T ](\d\d?):(\d\d)(?::(\d\d(?:\.\d+)?))?)?/;
const american = /^(\d\d?)\/(\d\d?)\/(\d{4})\s+(\d\d?):(\d\d)(?::(\d\d(?:\.\d+)?))?\s*([AP]M)?/i;
const dotted = /^(\d\d?)\.(\d\d?)\.(\d{4}),?\s+(\d\d?):(\d\d)(?::(\d\d(?:[.,]\d+)?))?/;
const together = /^(\d{4})(\d\d)(\d\d)[T_ -]?(\d\d)(\d\d)(\d\d(?:\.\d+)?)$/;
const clock = /^(\d\d?):(\d\d):(\d\d(?:\.\d+)?)\s*([AP]M)?$/i;

const hour = (text: string, half: string | undefined): number =>
  half === undefined ? Number(text) : (Number(text) % 12) + (/p/i.test(half) ? 12 : 0);

/**
 * Seconds of a time, from an origin that all times of the same shape share; NaN where it is none.
 *
 * Zones are left out: only differences count.
 *
 * @example parseSeconds("2017-08-26T18:36:52.5Z") - parseSeconds("2017-08-26T18:36:50Z") // 2.5
 */
export function parseSeconds(text: string): number {
  let match = iso.exec(text);
  if (match !== null) {
    const days = daysFromCivil(+match[1]!, +match[2]!, +match[3]!);
    return days * 86_400 + +(match[4] ?? 0) * 3_600 + +(match[5] ?? 0) * 60 + +(match[6] ?? 0);
  }
  match = together.exec(text);
  if (match !== null && +match[2]! <= 12 && +match[3]! <= 31)
    return parseSeconds(`${match[1]}-${match[2]}-${match[3]} ${match[4]}:${match[5]}:${match[6]}`);
  // Beyond this they are thousandths of seconds since 1970.
  if (/^-?\d+(?:\.\d+)?$/.test(text)) return Number(text) / (Number(text) > 1e11 ? 1_000 : 1);
  match = dotted.exec(text);
  if (match !== null)
    return parseSeconds(
      `${match[3]}-${match[2]}-${match[1]} ${match[4]}:${match[5]}:${(match[6] ?? "0").replace(",", ".").padStart(2, "0")}`,
    );
  match = american.exec(text);
  if (match !== null) {
    const days = daysFromCivil(+match[3]!, +match[1]!, +match[2]!);
    return days * 86_400 + hour(match[4]!, match[7]) * 3_600 + +match[5]! * 60 + +(match[6] ?? 0);
  }
  match = clock.exec(text);
  return match === null ? NaN : hour(match[1]!, match[4]) * 3_600 + +match[2]! * 60 + +match[3]!;
}
