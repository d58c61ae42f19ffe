/** Codes of treatments that a title explains: `A = 0.9 million, B = 1.2 million seeds/ac`. */
import type { TitleRow } from "./locate.ts";

export interface CodesAbove {
  row: number;
  /** Code as it stands → what it stands for. */
  meanings: ReadonlyMap<string, string>;
}

const pairsApart = /\s*[;|]\s*|,\s+|\s+\/\s+|\s{2,}/;
const pair = /(?:^|[\s:(])([\p{L}\d][\p{L}\d-]{0,7})\s*=\s*(\d[\d.,]*)\s*([^=]*)$/u;

/** A cell as codes are compared: without blanks around it, small letters as capitals. */
export const codeIn = (cell: string): string => cell.trim().toUpperCase();

function codesIn({ row, cells }: TitleRow): CodesAbove | null {
  const pairs = cells
    .flatMap(({ text }) => text.split(pairsApart))
    .flatMap((text) => {
      const found = pair.exec(text.trim());
      return found === null
        ? []
        : [{ code: found[1]!, number: found[2]!, unit: found[3]!.replace(/\)$/, "").trim() }];
    });
  // A unit behind the last is that of all.
  const unit = pairs.at(-1)?.unit ?? "";
  const meanings = new Map(
    pairs.map((one) => [codeIn(one.code), `${one.number} ${one.unit || unit}`.trim()]),
  );
  return meanings.size >= 2 && meanings.size === pairs.length ? { row, meanings } : null;
}

/** Of the rows above a table, the nearest that says what two codes or more stand for; null where none does. */
export const codesAbove = (titles: readonly TitleRow[]): CodesAbove | null =>
  titles
    .toReversed()
    .map(codesIn)
    .find((found) => found !== null) ?? null;
