/**
 * Characters that nobody sees: controls (C0, DEL, C1), soft hyphen, zero-width space, word joiner and invisible
 * operators, byte-order mark, and the marks that turn the direction of writing, which calculators and browsers copy
 * along with a number or a name. Tabs, line feeds and other white space stay, and so do the joiners (U+200C, U+200D),
 * which change how letters are drawn. Source of the ranges: Unicode Standard, general categories Cc and Cf.
 */
const invisible =
  /[\u0000-\u0008\u000e-\u001f\u007f-\u0084\u0086-\u009f\u00ad\u061c\u200b\u200e\u200f\u202a-\u202e\u2060-\u2064\u2066-\u2069\ufeff]/g;

/**
 * The same text without them, so that two names that look alike are one, and a number reads as a number.
 *
 * @example withoutInvisible("Ostrin\u200bdel") is "Ostrindel"
 */
export const withoutInvisible = (text: string): string => text.replace(invisible, "");
