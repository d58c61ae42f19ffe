/** Text from a file made harmless for a terminal. */

/**
 * Control characters (C0, DEL, C1) but for the line feed, line and paragraph separators, the characters that turn the
 * direction of writing, and lone halves of surrogate pairs.
 */
const unsafe =
  /[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u061c\u200e\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069\ufeff]|[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g;

const escaped = (character: string): string =>
  character === "\t" ? " " : `\\u{${character.charCodeAt(0).toString(16)}}`;

/**
 * The same text, with every character that could steer a terminal written out as its code. Line feeds stay.
 *
 * @example plainText("a\u001b[2Jb") is "a\\u{1b}[2Jb"
 */
export const plainText = (text: string): string => text.replace(unsafe, escaped);

/** The same on one line: a name or note that holds line feeds shows them as `\u{a}`. */
export const plainLine = (text: string): string => plainText(text).replaceAll("\n", "\\u{a}");
