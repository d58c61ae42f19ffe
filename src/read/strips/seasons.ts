/** The season of a strip from what a farm writes for it: `2026`, `'26`, `2025/26`, `2026 crop`, a day. */
import { kept } from "../../maths/kept.ts";
import { inHarvestYears } from "../tables/beside-table.ts";

/** The year in a cell that holds nothing else, null for none. It may end in `.0` after a calculation. */
const plainYear = (text: string): number | null =>
  /^\d{4}(?:[.,]0+)?$/.test(text) ? Number(text.slice(0, 4)) : null;

const day = /^(?:(\d{4})([./-])\d{1,2}\2\d{1,2}|\d{1,2}([./-])\d{1,2}\3(\d{4}))(?:[T ].*)?$/;
const twoDigits = /^['’`]?(\d\d)$/;
/** `CY24`, `crop year 24`, `WW '24`; `FY24` is not among them: books may close before or after a harvest. */
const shortBehindWords =
  /^(?!f\.?y)(?:\p{L}{1,3}|crop|crop\s*year|crop\s*yr|year|season|harvest|spring|summer|fall|winter|ernte|erntejahr|récolte|campagne|campaña|cosecha)[\s.:_-]*['’`]?(\d\d)$/iu;
const amongWords = /(?<!\d)(?:19[89]\d|20\d\d)(?!\d)/g;
/** Longer texts are remarks. */
const longestText = 40;

/** The year of harvest that a text names in words of its own, null for none or several. */
function yearInWords(text: string): number | null {
  if (text.length > longestText) return null;
  const parts = day.exec(text);
  if (parts !== null) return Number(parts[1] ?? parts[4]);
  const harvest = inHarvestYears(text);
  if (plainYear(harvest) !== null) return Number(harvest);
  const short = (twoDigits.exec(text) ?? shortBehindWords.exec(text))?.[1];
  if (short !== undefined) return 2000 + Number(short);
  const found = [...new Set(harvest.match(amongWords) ?? [])];
  return found.length === 1 && /\p{L}/u.test(text) ? Number(found[0]) : null;
}

/** The seasons of one file: each text is read once, and those that were no plain year are kept to be said. */
export class Seasons {
  readonly #years = new Map<string, number | null>();
  readonly #inWords = new Map<string, number>();

  /** The season of a cell, null for none. */
  read(text: string): number | null {
    return kept(this.#years, text, () => {
      const plain = plainYear(text);
      if (plain !== null) return plain;
      const year = yearInWords(text);
      if (year !== null) this.#inWords.set(text, year);
      return year;
    });
  }

  /** What was no plain year, with the year that it was read as. */
  get inWords(): ReadonlyMap<string, number> {
    return this.#inWords;
  }
}
