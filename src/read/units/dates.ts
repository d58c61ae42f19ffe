/** Dates as people and spreadsheets write them → ISO dates, without a clock or a locale. */

/** Which of two numbers is the month, where a date leaves it open. */
export type DateOrder = "month-first" | "day-first";

/** `order` is what the date gives away of the writer's habit. */
export type DateText =
  | { kind: "date"; iso: string; order: DateOrder | null }
  | { kind: "either"; monthFirst: string; dayFirst: string }
  | { kind: "none" };

const none: DateText = { kind: "none" };
const monthNames = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];

const daysIn = (year: number, month: number): number =>
  month === 2
    ? (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0
      ? 29
      : 28
    : [4, 6, 9, 11].includes(month)
      ? 30
      : 31;

function isoDate(year: number, month: number, day: number): string | null {
  if (month < 1 || month > 12 || day < 1 || day > daysIn(year, month)) return null;
  return `${String(year).padStart(4, "0")}-${String(month).padStart(2, "0")}-${String(day).padStart(2, "0")}`;
}

const certain = (iso: string | null, order: DateOrder | null): DateText =>
  iso === null ? none : { kind: "date", iso, order };

/** `28 Apr 2026`, `April 28, 2026`. */
const withMonthNamed =
  /^(?:(\d{1,2})[-\s.]+([A-Za-z]{3,9})[-\s.,]+|([A-Za-z]{3,9})[-\s.]+(\d{1,2})[-\s,]+)(\d{4})$/;
const monthOf = (name: string): number => monthNames.indexOf(name.slice(0, 3).toLowerCase()) + 1;

/**
 * Reads a date with a four-digit year: `2026-04-28`, `2026/4/28`, `4/28/2026`, `28.4.2026`, `28 Apr 2026`,
 * `April 28, 2026`; a time after it is skipped.
 *
 * @example parseDate("4/5/2026") // either 2026-04-05 or 2026-05-04
 */
export function parseDate(text: string): DateText {
  if (text.length > 40) return none;
  const date = text.trim().replace(/[T ]+\d{1,2}:\d{2}.*$/, "");
  const yearFirst = /^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})$/.exec(date);
  if (yearFirst !== null) {
    return certain(isoDate(Number(yearFirst[1]), Number(yearFirst[2]), Number(yearFirst[3])), null);
  }
  const [, dayBefore, after, before, dayAfter, yearOfNamed] = withMonthNamed.exec(date) ?? [];
  const month = after ?? before;
  if (month !== undefined)
    return certain(isoDate(Number(yearOfNamed), monthOf(month), Number(dayBefore ?? dayAfter)), null);
  const numbers = /^(\d{1,2})([-/.])(\d{1,2})\2(\d{4})$/.exec(date);
  if (numbers === null) return none;
  const [first, second, year] = [Number(numbers[1]), Number(numbers[3]), Number(numbers[4])];
  const monthFirst = isoDate(year, first, second);
  const dayFirst = isoDate(year, second, first);
  if (monthFirst === null) return certain(dayFirst, "day-first");
  if (dayFirst === null) return certain(monthFirst, "month-first");
  return first === second ? certain(dayFirst, null) : { kind: "either", monthFirst, dayFirst };
}
