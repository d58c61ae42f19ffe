/** Numbers as they are jotted down: `1.1 M`, `60-62`, `12½`, `13.1 ?`, `58.2*`, `64.2 ± 1.3`, `96 %`. */
import { parseNumber, type NumberText } from "./numbers.ts";
import { splitAmount } from "./split-amount.ts";

export interface LooseNumber {
  number: NumberText;
  /** What a word for thousand or million multiplies it by. */
  times: number;
  /** What is left behind it: a unit, or something that is none. */
  unit: string;
  /** The same with the word, which may be a unit after all: `370 m`. */
  written: string;
  /** `range`: the middle of two numbers; `unsure`: the writer marked it so; `letters` of a comparison; null: as it stands. */
  remark: "range" | "unsure" | "letters" | null;
}

const magnitudes: readonly (readonly [RegExp, number])[] = [
  [/^(?:M|mm|mil|mill|mio|mln|millions?|millones|millionen)(?![\p{L}])\.?\s*/iu, 1e6],
  [/^(?:k|thousands?|tsd|mille|miles)(?![\p{L}])\.?\s*/iu, 1e3],
];

const unsure =
  /^(?:~|≈|±|ca\.?|circa|about|approx\.?|env\.?|etwa)\s*(?=[\d.,½¼¾])|\s*(?:\?+|\(\?\)|[*†‡§]+|\(\*+\)|(?<=\d)[¹²³⁴⁵⁶ᵃᵇᶜᵈ]+|(?<=\d)\s*\(\d\))\s*$/iu;
/** How exact the writer holds a number to be: `64.2 ± 1.3`. */
const margin = /(?<=\d)\s*(?:±|\+\s*\/?\s*-)\s*\d+(?:[.,]\d+)?(?=\s|$)/u;
/** `12½` and `½` as `12 1⁄2` and `0 1⁄2`. */
const writtenOut = (text: string): string =>
  text.replace(
    /^(\d*)\s*([½¼¾⅓⅔⅛⅜⅝⅞])/u,
    (_, whole: string, sign: string) => `${whole || 0} ${sign.normalize("NFKC")} `,
  );
const writtenFraction = /^(\d+)\s+(\d)\s*[/⁄]\s*(\d)(?![\d/])\s*(.*)$/u;
const range = /^(\d+(?:[.,]\d+)?)\s*(?:[-–—]|\bto\b|\bbis\b)\s*(\d+(?:[.,]\d+)?)(?![\d.,]*[-–—])\s*(.*)$/u;

/** The two ends of a range are no further apart than this: more is a date, a name or a slip. */
const widestRange = 1.5;

const decimal = (text: string): number => Number(text.replace(",", "."));
const exactly = (value: number): NumberText => ({ kind: "number", value, mark: null });

/**
 * Takes a jotted number apart; null when it does not begin with one.
 *
 * @example parseLoose("1.1 mil") // 1.1, times 1,000,000
 * @example parseLoose("60-62") // 61, a range
 */
export function parseLoose(text: string): LooseNumber | null {
  if (text.length > 60) return null;
  const trimmed = text.trim();
  const sure = trimmed.replace(unsure, "").replace(unsure, "");
  const remark = sure === trimmed ? null : "unsure";
  const bare = sure.replace(margin, "");
  const [, whole, above, below, afterFraction] = writtenFraction.exec(writtenOut(bare)) ?? [];
  if (afterFraction !== undefined && Number(below) > Number(above)) {
    const value = Number(whole) + Number(above) / Number(below);
    return { ...behind(afterFraction), number: exactly(value), remark };
  }
  const [, low, high, afterRange] = range.exec(bare) ?? [];
  if (low !== undefined && high !== undefined && afterRange !== undefined) {
    const [from, to] = [decimal(low), decimal(high)];
    if (!(to > from) || to > widestRange * from) return null;
    return { ...behind(afterRange), number: exactly((from + to) / 2), remark: "range" };
  }
  const parts = splitAmount(bare);
  if (parts === null) return null;
  const number = parseNumber(parts.number);
  if (number.kind === "none" || parts.currency !== "") return null;
  return { ...behind(parts.unit), number, remark };
}

const behind = (written: string): Pick<LooseNumber, "times" | "unit" | "written"> => ({
  ...magnitudeIn(written),
  written,
});

/** `56.3ab`: letters of means that do not differ, or of a footnote, from a on. */
const letters = /^(?=[a-h]{1,5}$)a?b?c?d?e?f?g?h?$/;

/** Whether what is left after a number are letters of a comparison, not a unit. */
export const areLetters = (unit: string): boolean => letters.test(unit);

/** A word for thousand or million, and what is left after it. */
export function magnitudeIn(text: string): { times: number; unit: string } {
  for (const [word, times] of magnitudes) {
    if (word.test(text)) return { times, unit: text.replace(word, "").trim() };
  }
  return { times: 1, unit: text.trim() };
}
