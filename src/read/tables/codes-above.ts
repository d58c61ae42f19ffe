/** Codes that titles explain: `A = 0.9 million, B = 1.2 million seeds/ac` of rates, `A = Ostrindel` of varieties. */
import type { TitleRow } from "./locate.ts";

export interface CodesAbove {
  /** The first row of those that explain them. */
  row: number;
  /** Code as it stands → what it stands for. */
  meanings: ReadonlyMap<string, string>;
}

const pairsApart = /\s*[;|]\s*|,\s+|\s+\/\s+|\s{2,}/;
const pair = /(?:^|[\s:(])([\p{L}\d][\p{L}\d-]{0,7})\s*=\s*(\d[\d.,]*)\s*([^=]*)$/u;
const namePair = /(?:^|[\s:(])([\p{L}\d][\p{L}\d-]{0,7})\s*[=:]\s*(\p{L}[^=:]{1,40})$/u;

/** A cell as codes are compared: without blanks around it, small letters as capitals. */
export const codeIn = (cell: string): string => cell.trim().toUpperCase();

type Pair = { row: number; code: string; text: string; unit: string };

function pairsIn({ row, cells }: TitleRow, written: RegExp): Pair[] | null {
  const texts = cells.flatMap(({ text }) => text.split(pairsApart)).filter((text) => text.trim() !== "");
  const pairs = texts.flatMap((text): Pair[] => {
    const [, code, told, unit = ""] = written.exec(text.trim()) ?? [];
    if (code === undefined || told === undefined) return [];
    return [{ row, code: codeIn(code), text: told.trim(), unit: unit.replace(/\)$/, "").trim() }];
  });
  return pairs.length === 0 ? null : pairs;
}

/** What two codes or more stand for; null where fewer are told, or one twice. */
function codesIn(pairs: readonly Pair[]): CodesAbove | null {
  const [first] = pairs;
  // A unit behind the last is that of all.
  const last = pairs.at(-1)?.unit ?? "";
  const meanings = new Map(pairs.map(({ code, text, unit }) => [code, `${text} ${unit || last}`.trim()]));
  return first !== undefined && meanings.size >= 2 && meanings.size === pairs.length
    ? { row: first.row, meanings }
    : null;
}

/**
 * Of the rows above a table, the nearest that says what two codes or more stand for, or else those that say it one by one;
 * null where none do.
 *
 * @param of  what codes stand for: rates begin with a digit, varieties with a letter
 */
export function codesAbove(titles: readonly TitleRow[], of: "rate" | "variety"): CodesAbove | null {
  const told = titles.flatMap((title) => {
    const pairs = pairsIn(title, of === "rate" ? pair : namePair);
    return pairs === null ? [] : [pairs];
  });
  for (const pairs of told.toReversed()) {
    const codes = codesIn(pairs);
    if (codes !== null) return codes;
  }
  return codesIn(told.filter((pairs) => pairs.length === 1).flat());
}

/**
 * Whether the cells of a column are codes: any of them, where codes have letters; all of them, where they are numbers or may be
 * names of their own.
 */
export function areCodes(
  cells: ReadonlySet<string>,
  { meanings }: CodesAbove,
  of: "rate" | "variety",
): boolean {
  const known = [...cells].filter((cell) => meanings.has(cell)).length;
  const mustAll = of === "variety" || [...meanings.keys()].every((code) => /^\d+$/.test(code));
  return known > 0 && (!mustAll || known === cells.size);
}
