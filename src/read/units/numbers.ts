/** Numbers as people and spreadsheets write them. */

export type DecimalMark = "point" | "comma";

/**
 * What a text says as a number.
 * `number`: one value, and the decimal mark it gives away, if any. `either`: two values, by the decimal mark.
 */
export type NumberText =
  | { kind: "number"; value: number; mark: DecimalMark | null }
  | { kind: "either"; point: number; comma: number }
  | { kind: "none" };

const none: NumberText = { kind: "none" };
const longest = 64;

/** Spaces of all widths and apostrophes between groups of three digits. */
const groupGaps = /(?<=\d)[\s'’_](?=\d{3}(?!\d))/g;
const fullWidth = /[\uff01-\uff5e]/g;
/** What spreadsheets put before a number to keep it as it was typed, and do not show. */
const markOfText = /^\s*['’‘`´](?=[^'’‘`´]*$)/;

/** Digits of full width, and apostrophes before the numbers of cells, that a table of text may hold. */
const widths = /[\uff0d\uff0e\uff10-\uff19]/g;
const marksOfTexts = /(^|[,;\t|\n"])[ \u00a0]*['’‘`´](?=[-\d.])/g;

/** A table of text with the numbers of its cells as plain ones; what parts its cells stays. */
export const withPlainNumbers = (text: string): string =>
  (/[\uff0d-\uff19]/.test(text)
    ? text.replace(widths, (sign) => String.fromCharCode(sign.charCodeAt(0) - 0xfee0))
    : text
  ).replace(marksOfTexts, "$1");

/** A text with signs of full width as plain ones, and without the apostrophe that makes it a text in a spreadsheet. */
export const plainSigns = (text: string): string =>
  text.replace(fullWidth, (sign) => String.fromCharCode(sign.charCodeAt(0) - 0xfee0)).replace(markOfText, "");
const shape = /^([+-]?)(\d*(?:[.,]\d+)*)(e[+-]?\d{1,3})?$/i;

/** A number's text with one kind of minus, no gaps between its groups of digits, and no raised point. */
const inPlainSigns = (text: string): string =>
  plainSigns(text)
    .replace("\u2212", "-")
    .replace(groupGaps, "")
    .replace(/(?<=\d)·(?=\d+$)/, ".");

const markOf = (decimal: string): DecimalMark => (decimal === "," ? "comma" : "point");
const otherMark = (separator: string): DecimalMark => (separator === "," ? "point" : "comma");

const finite = (value: number, mark: DecimalMark | null): NumberText =>
  Number.isFinite(value) ? { kind: "number", value, mark } : none;

/**
 * Reads a number without knowing the decimal mark.
 *
 * Thousands may be parted by comma, point, space or apostrophe, in groups of three; an exponent may follow.
 *
 * @example parseNumber("1.200,5") // 1200.5, decimal comma
 * @example parseNumber("1,200") // either 1200 (decimal point) or 1.2 (decimal comma)
 */
export function parseNumber(text: string): NumberText {
  const trimmed = text.trim();
  if (trimmed.length === 0 || trimmed.length > longest) return none;
  // Most numbers are plain as they are.
  const [, sign = "", body = "", exponent = ""] =
    shape.exec(trimmed) ?? shape.exec(inPlainSigns(trimmed)) ?? [];
  if (body === "") return none;
  const separators = body.replace(/\d/g, "");
  const numberOf = (digits: string): number => Number(`${sign}${digits}${exponent}`);
  if (separators === "") return finite(numberOf(body), null);

  const last = separators.at(-1)!;
  if (separators.length === 1) {
    const [left, right] = body.split(last) as [string, string];
    const decimal = numberOf(`${left}.${right}`);
    if (exponent !== "" || right.length !== 3 || !/^[1-9]\d{0,2}$/.test(left))
      return finite(decimal, markOf(last));
    const whole = numberOf(left + right);
    return last === ","
      ? { kind: "either", point: whole, comma: decimal }
      : { kind: "either", point: decimal, comma: whole };
  }
  const group = separators.charAt(0);
  if (exponent !== "") return none;
  const grouped = new RegExp(`^[1-9]\\d{0,2}(?:\\${group}\\d{3})+${group === last ? "" : `\\${last}\\d+`}$`);
  if (!grouped.test(body)) return none;
  return finite(numberOf(body.replaceAll(group, "").replace(last, ".")), otherMark(group));
}

const minus = 45;
const comma = 44;
const point = 46;
const zero = 48;
const nine = 57;

/**
 * The number in a cell whose decimal mark is known, or that needs none.
 *
 * Plain digits with one decimal mark take a short way, for there are millions of them.
 *
 * @param mark  null while the decimal mark is not settled
 * @returns NaN if there is no number, or if `mark` is null and it could be two
 */
export function readNumber(text: string, mark: DecimalMark | null): number {
  const { length } = text;
  let decimal = -1;
  const first = text.charCodeAt(0) === minus ? 1 : 0;
  for (let index = first; index < length; index++) {
    const code = text.charCodeAt(index);
    if (code >= zero && code <= nine) continue;
    if ((code !== point && code !== comma) || decimal !== -1) return readSlowly(text, mark);
    decimal = index;
  }
  if (length === first || length > 20) return readSlowly(text, mark);
  if (decimal === -1) return +text;
  const asPoint = text.charCodeAt(decimal) === point;
  const left = decimal - first;
  const right = length - decimal - 1;
  if (left === 0 || right === 0) return readSlowly(text, mark);
  const partsThousands = right === 3 && left <= 3 && text.charCodeAt(first) !== zero;
  if (partsThousands && mark !== (asPoint ? "point" : "comma")) return readSlowly(text, mark);
  return asPoint ? +text : +`${text.slice(0, decimal)}.${text.slice(decimal + 1)}`;
}

function readSlowly(text: string, mark: DecimalMark | null): number {
  const number = parseNumber(text);
  if (number.kind === "number") return number.value;
  return number.kind === "either" && mark !== null ? number[mark] : NaN;
}
