/** How numbers and dates are written where a person lives: the engine, which knows no place, is told by this. */
import { InvalidArgumentError, Option } from "commander";
import type { NumberStyle } from "../numbers/written-numbers.ts";

/** Option of the commands that write pages. */
export const localeOption = (): Option =>
  new Option(
    "--locale <tag>",
    "how numbers and dates are written, such as en-US or de-DE; without it as this computer does",
  ).argParser((tag: string) => {
    if (!isKnown(tag))
      throw new InvalidArgumentError("Give a language and a country, such as en-US or de-DE.");
    return tag;
  });

function isKnown(tag: string): boolean {
  try {
    return Intl.NumberFormat.supportedLocalesOf(tag).length > 0;
  } catch {
    return false;
  }
}

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
