import { describe, expect, it } from "vitest";
import { localeOption } from "../../../src/cli/locale.ts";
import { numberStyleOf } from "../../../src/farm/number-style.ts";
import { dateInWords, fixed } from "../../../src/numbers/written-numbers.ts";

describe("numbers and dates by locale", () => {
  // Marks and order: Unicode CLDR, as the browser and Node carry it.
  it.each([
    ["en-US", "1,234.5", "April 24, 2027"],
    ["en-GB", "1,234.5", "24 April 2027"],
    ["de-DE", "1.234,5", "24 April 2027"],
    ["fr-FR", "1\u202f234,5", "24 April 2027"],
    ["ar-EG", "1,234.5", "24 April 2027"],
  ])("%s", (locale, number, date) => {
    const style = numberStyleOf(locale);
    expect(fixed(1234.5, 1, style)).toBe(number);
    expect(dateInWords("2027-04-24", style)).toBe(date);
  });

  it("refuses what is no locale", () => {
    expect(() => localeOption().parseArg?.("german please", undefined)).toThrow(/such as en-US or de-DE/);
    expect(() => localeOption().parseArg?.("xx-XX", undefined)).toThrow(/such as en-US or de-DE/);
    expect(localeOption().parseArg?.("de-DE", undefined)).toBe("de-DE");
  });
});
