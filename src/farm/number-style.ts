/** How numbers and dates are written where a person lives, for the engine, which knows no locale. */
import type { NumberStyle } from "../numbers/written-numbers.ts";

/**
 * Marks and order of a locale.
 *
 * @param locale language tag (BCP 47); without it the computer's own
 * @example numberStyleOf("de-DE") // { decimal: ",", thousands: ".", dates: "day-first" }
 */
export function numberStyleOf(locale?: string): NumberStyle {
  const number = new Intl.NumberFormat(locale, { numberingSystem: "latn" }).formatToParts(1_234_567.8);
  const mark = (type: "decimal" | "group"): string | undefined =>
    number.find((part) => part.type === type)?.value;
  const date = new Intl.DateTimeFormat(locale, { dateStyle: "long" }).formatToParts(0);
  const place = (type: "day" | "month"): number => date.findIndex((part) => part.type === type);
  return {
    decimal: mark("decimal") ?? ".",
    thousands: mark("group") ?? "",
    dates: place("day") < place("month") ? "day-first" : "month-first",
  };
}
