/** Columns that say of each section of a drill whether it was on, or what it put down: `Section 1`, `section_2_rate`. */
import type { Rows } from "./point-rows.ts";
import type { Some } from "../maths/group-by.ts";
import { readNumber } from "../read/units/numbers.ts";

export interface SectionColumns {
  headers: Some<string>;
  /** Columns from the leftmost section on, by their numbers. */
  columns: Some<number>;
  /** Whether they hold rates, rather than on and off. */
  areRates: boolean;
}

const numbered =
  /^(?:sections?|sect|boom(?: section)?|teilbreiten?|tron[cç]on|secci[oó]n)[\s_.#-]*(\d{1,3})(?![\d.])(.*)$/i;
const [off, on] = [/^(?:off|false|no|inactive|aus|0(?:\.0+)?)$/i, /^(?:on|true|yes|active|an|1(?:\.0+)?)$/i];
/** What else may be said of a section behind its number. */
const beside = /^[\s_.-]*(?:(?:is )?(?:on|status|state|active|applied|rate|population)\b.*|[([].*)?$/i;

/** @returns null where fewer than two columns are of sections, or they hold something else */
export function sectionColumns(rows: Rows, rowsLookedAt: number): SectionColumns | null {
  const found = rows.headers.flatMap((header, at) => {
    const [, number, more] = numbered.exec(header.trim()) ?? [];
    return more !== undefined && beside.test(more) ? [{ header, at, number: Number(number) }] : [];
  });
  const [first, ...further] = found.sort((a, b) => a.number - b.number);
  if (first === undefined || further.length === 0) return null;
  if (new Set(found.map(({ number }) => number)).size < found.length) return null;
  let [seen, others, rates] = [0, 0, 0];
  rows.forEach((cells) => {
    if (seen++ >= rowsLookedAt) return;
    for (const { at } of found) {
      const text = (cells[at] ?? "").trim();
      if (text === "" || off.test(text) || on.test(text)) continue;
      if (readNumber(text, rows.mark) > 1) rates++;
      else others++;
    }
  });
  if (others > rates) return null;
  return {
    headers: [first.header, ...further.map(({ header }) => header)],
    columns: [first.at, ...further.map(({ at }) => at)],
    areRates: rates > 0,
  };
}

/** What a row says of the sections: from where to where they were on, and the mean of what they put down. */
export interface SectionsOn {
  /** Shares of the width, from its left edge; 0 and 1 where all were on. */
  from: number;
  to: number;
  /** Sections that were on. */
  count: number;
  rate: number;
}

/** @returns null where the row says nothing of any section */
export function sectionsOn(
  { columns }: SectionColumns,
  cells: readonly string[],
  mark: Rows["mark"],
): SectionsOn | null {
  let [first, last, count, sum, known] = [-1, -1, 0, 0, 0];
  columns.forEach((at, s) => {
    const text = (cells[at] ?? "").trim();
    const value = readNumber(text, mark);
    if (text !== "" && (value === value || on.test(text) || off.test(text))) known++;
    if (!(value > 0 || on.test(text))) return;
    if (first < 0) first = s;
    last = s;
    count++;
    sum += value > 0 ? value : 0;
  });
  if (known === 0) return null;
  return count === 0
    ? { from: 0, to: 0, count, rate: 0 }
    : { from: first / columns.length, to: (last + 1) / columns.length, count, rate: sum / count };
}
