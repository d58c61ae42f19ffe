/** The option of the commands that write pages: how numbers and dates are written where a person lives. */
import { InvalidArgumentError, Option } from "commander";

export const localeOption = (): Option =>
  new Option(
    "--locale <tag>",
    "how numbers and dates are written, such as en-US or de-DE; otherwise as on this computer",
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
