/** Columns that repeat with another rate, repetition, season or variety in their names → rows, one for each of them. */
import { answerFor, type Answers } from "../answers/answers.ts";
import { nameAnswered } from "./answered-headers.ts";
import { parseUnit } from "../units/column-units.ts";
import { parseLoose } from "../units/loose-numbers.ts";
import { readNumber } from "../units/numbers.ts";
import { pairIn } from "../pair-in.ts";
import { isBlank } from "./csv-rows.ts";
import { splitHeader, type HeaderReader } from "./headers.ts";
import { filledCells, type TablePlace, type TitleRow } from "./locate.ts";
import type { Sheet } from "./sheet.ts";

/** What the names of such columns can tell. */
const dimensions = ["rate", "block", "season", "variety"] as const;
type Dimension = (typeof dimensions)[number];
type Marks = Partial<Record<Dimension, string>>;

/** What may stand below such names; the first where nothing says what. */
const measures: readonly string[] = [
  "yield",
  "strip_weight",
  "gross_weight",
  "tare_weight",
  "moisture",
  "stand",
  "heads",
  "lodging",
  "protein",
  "test_weight",
];

/** One of the columns: where it is, what its name says, and the header of what is below. */
interface SpreadColumn {
  index: number;
  marks: Marks;
  measure: string;
}

/** How rows of a sheet become rows of strips. */
export interface Spread {
  /** Of a row of strips: columns that all share, what the names told, what was measured. */
  headers: string[];
  /** Headers as they are in the sheet, of the columns that became rows. */
  told: string[];
  dimensions: Dimension[];
  rowsOf(cells: readonly string[]): string[][];
}

const linking = /^(?:at|@|for|in|by|of|bei|à|a|en|pour|para|con|[-–—:,/=])$/iu;
const repetition =
  /^(?:rep(?:licate|lication|etition|l|\.)?|r|block|blk|bloc|bloque|b|wdh\.?|wiederholung|répétition|rép\.?|repetición)[\s.#-]*(?:no\.?\s*)?(\d{1,2}|i{1,3}|iv|vi{0,3}|[a-f])$/iu;
/** The repetition that a text of two words names, `Rep 2`; null for any other. */
export function repetitionIn(text: string): string | null {
  const found = /^\p{L}{3,}/u.test(text.trim()) ? repetition.exec(text.trim())?.[1] : undefined;
  return found ?? null;
}

const wordsAtEnd = /^(.*?)[\s,;:–—(/-]*\b(\p{L}{3,}\.?[\s.#-]*(?:no\.?\s*)?[\da-fivx]{1,3})\)?$/iu;
/** A text and the repetition that its last words name: `Hill 2025 – Rep 2` is `Hill 2025` and 2. */
export function repetitionBehind(text: string): { rest: string; repetition: string | null } {
  const [rest, last] = pairIn(wordsAtEnd, text.trim()) ?? [text, ""];
  const repetition = repetitionIn(last);
  return { rest: repetition === null ? text : rest, repetition };
}

const year = /^(?:19[89]\d|20\d\d)$/;
/** Longer names of columns tell nothing of this kind. */
const longestHeader = 120;
/** Words of one mark: `0.8 million viable seeds/ac`. */
const mostWords = 4;
/** From here on a bare number is seeds per acre or hectare, and no number of a strip. */
const surelyRate = 10_000;

const bracketless = (text: string): string => text.trim().replace(/^[([](.*)[)\]]$/, "$1");

/** The rate in a name, as the cell of a column of rates. */
export function rateIn(text: string): string | null {
  if (!/\d/.test(text)) return null;
  const grouped = /^\d{1,3}(?:[,.' ]\d{3})+$/.test(text) ? Number(text.replace(/\D/g, "")) : NaN;
  if (grouped >= surelyRate) return String(grouped);
  const bare = readNumber(text, "point");
  if (!Number.isNaN(bare)) return bare >= surelyRate ? text : null;
  const loose = parseLoose(text);
  if (loose === null || loose.number.kind === "none") return null;
  if (loose.unit === "") return loose.times > 1 ? text : null;
  const unit = parseUnit("rate", loose.unit);
  const inSeeds = loose.times > 1 || Number(/^[\d.,' ]+/.exec(text)?.[0].replace(/\D/g, "")) >= surelyRate;
  return unit === null || (inSeeds && unit.seedWeight === true) ? null : text;
}

/** @param small  what a number by itself is, where it may be any of these */
function markIn(text: string, small: Dimension | null): [Dimension, string] | null {
  if (year.test(text)) return ["season", text];
  const block = repetition.exec(text)?.[1];
  if (block !== undefined) return ["block", block];
  const rate = rateIn(text);
  if (rate !== null) return ["rate", rate];
  return small !== null && /^\d+(?:[.,]\d+)?$/.test(text) ? [small, text] : null;
}

/** What the name of one column says; null for a column like any other. */
function columnOf<Name extends string>(
  header: string,
  reader: HeaderReader<Name>,
  small: Dimension | null,
): { marks: Marks; measure: string; rateHeader: string } | null {
  if (header.length > longestHeader || header.trim() === "") return null;
  const marks: Marks = {};
  const rest: string[] = [];
  const withLinks: string[] = [];
  const words = header
    .trim()
    .split(/[\s@_]+/)
    .filter((word) => word !== "");
  let next = 0;
  for (const [at, word] of words.entries()) {
    if (at < next) continue;
    let taken = 0;
    for (let count = Math.min(mostWords, words.length - at); count > 0 && taken === 0; count--) {
      const text = bracketless(words.slice(at, at + count).join(" "));
      const mark = markIn(text, small);
      if (mark === null || marks[mark[0]] !== undefined) continue;
      marks[mark[0]] = mark[1];
      taken = count;
    }
    if (taken === 0) {
      const plain = word.replace(/[,:]$/, "");
      withLinks.push(plain);
      if (!linking.test(word)) rest.push(plain);
    }
    next = at + Math.max(taken, 1);
  }
  // `poids à vide` is one name.
  const whole = withLinks.join(" ");
  const told = reader.nameOf(whole) === null ? rest.join(" ") : whole;
  if (Object.keys(marks).length === 0) {
    const [first = "", ...names] = rest;
    return reader.nameOf(first) === "variety" && names.length > 0 && reader.nameOf(header) === null
      ? { marks: { variety: names.join(" ") }, measure: "yield", rateHeader: "" }
      : null;
  }
  if (told === "") return { marks, measure: "", rateHeader: "" };
  const name = reader.nameOf(told);
  if (name !== null && measures.includes(name)) return { marks, measure: told, rateHeader: "" };
  if (name === "rate" && marks.rate !== undefined) return { marks, measure: "", rateHeader: told };
  if (name !== null && dimensions.includes(name as Dimension) && marks[name as Dimension] !== undefined)
    return { marks, measure: "", rateHeader: "" };
  return parseUnit("yield", bracketless(told)) === null
    ? null
    : { marks, measure: `yield (${bracketless(told)})`, rateHeader: "" };
}

/** Names of what was measured and of the rate in what stands above a table: `Yield bu/ac by seeding rate (seeds/ac)`. */
function namesIn<Name extends string>(
  titles: readonly TitleRow[],
  reader: HeaderReader<Name>,
): { measure: string; rate: string } {
  const texts = titles
    .toReversed()
    .flatMap(({ cells }) => cells.map(({ text }) => text))
    .filter(({ length }) => length <= longestHeader);
  const parts = texts.flatMap((text) => [
    text,
    ...text.split(/\s+(?:by|at|for|per variety and|and)\s+|;\s*|:\s+/i),
  ]);
  const first = (name: string): string => {
    const found = parts.filter((part) => reader.nameOf(part) === name);
    return found.find((part) => reader.bracketOf(part) !== "") ?? found[0] ?? "";
  };
  return { measure: first("yield"), rate: first("rate") };
}

/** Whether bare small numbers in names are rates, or the numbers of the repetitions. */
function smallNumbers<Name extends string>(
  headers: readonly string[],
  has: ReadonlySet<string>,
  titles: readonly TitleRow[],
  reader: HeaderReader<Name>,
): Dimension | null {
  const numbers = headers.flatMap((header) => {
    if (header.length > longestHeader || reader.nameOf(header) !== null) return [];
    const found = pairIn(/^(\D*?)\s*(\d+(?:[.,]\d+)?)$/, header.trim());
    return found === null ? [] : [{ name: found[0].trim(), number: Number(found[1].replace(",", ".")) }];
  });
  if (numbers.length < 2) return null;
  const named = numbers.map(({ name }) => reader.nameOf(name));
  if (!has.has("rate") && (named.includes("rate" as Name) || namesIn(titles, reader).rate !== ""))
    return "rate";
  if (!has.has("rate") && has.has("variety") && areRates(numbers)) return "rate";
  const inOrder = numbers.every(({ number }, index) => number === index + 1);
  return has.has("rate") && !has.has("block") && inOrder ? "block" : null;
}

/** A name and what is below it: `Halden moisture (%)` is Halden and `moisture (%)`; the measure is "" where none is named. */
export function nameAndMeasure<Name extends string>(
  header: string,
  reader: HeaderReader<Name>,
): { name: string; measure: string } {
  const { name, bracket } = splitHeader(header);
  const withUnit = (measure: string): string => (bracket === "" ? measure : `${measure} (${bracket})`);
  const isMeasure = (text: string): boolean => measures.includes(reader.nameOf(text) ?? "");
  const words = name.trim().split(/[\s_]+/);
  for (let count = words.length - 1; count > 0; count--) {
    const [front, behind] = [words.slice(0, count).join(" "), words.slice(count).join(" ")];
    if (isMeasure(behind)) return { name: front.replace(linkAtEnd, ""), measure: withUnit(behind) };
    if (isMeasure(front)) return { name: behind.replace(linkAtStart, ""), measure: withUnit(front) };
  }
  return { name: name.trim(), measure: bracket === "" ? "" : `yield (${bracket})` };
}
const linkAtEnd = /\s*[-–—:,/]\s*$/u;
const linkAtStart = /^\s*(?:[-–—:,/]|(?:of|von|de|du)\s)\s*/iu;

const bareNumber = /^\d{1,3}(?:\.\d+)?$/;

/** Bare numbers that rise or fall and are no count from 1 on: `0.8, 1.1, 1.4` above yields. */
function areRates(numbers: readonly { name: string; number: number }[]): boolean {
  if (numbers.length < fewestRates || numbers.some(({ name }) => name !== "")) return false;
  const values = numbers.map(({ number }) => number);
  const rises = values.every((value, index) => index === 0 || value > values[index - 1]!);
  const falls = values.every((value, index) => index === 0 || value < values[index - 1]!);
  const counts = values.every((value, index) => value === index + values[0]!);
  return (rises || falls) && !counts;
}
const fewestRates = 3;

/** The columns of a header that repeat; null where there are none, or another column says the same. */
function repeatedColumns<Name extends string>(
  headers: readonly string[],
  titles: readonly TitleRow[],
  reader: HeaderReader<Name>,
  answers: Answers,
): { columns: SpreadColumn[]; rateHeader: string } | null {
  const nameAt = (header: string): string | null => nameAnswered(header, reader, answers);
  const has = new Set(headers.flatMap((header) => nameAt(header) ?? []));
  const asVarieties = headers.filter((header) => answerFor(answers.columns, header) === "variety");
  if (asVarieties.length > 1) {
    const columns = headers.flatMap((header, index): SpreadColumn[] => {
      if (!asVarieties.includes(header)) return [];
      const { name, measure } = nameAndMeasure(header, reader);
      return [
        { index, marks: { variety: name }, measure: measure || namesIn(titles, reader).measure || "yield" },
      ];
    });
    return { columns, rateHeader: "" };
  }
  const small = smallNumbers(headers, has, titles, reader);
  const found = headers.flatMap((header, index) => {
    if (nameAt(header) !== null || answerFor(answers.columns, header) !== undefined) return [];
    const column = columnOf(header, reader, small);
    return column === null ? [] : [{ index, ...column }];
  });
  if (found.length < 2) return null;
  const above = namesIn(titles, reader);
  const columns = found.map(({ index, marks, measure }) => ({
    index,
    marks,
    measure: measure === "" ? above.measure || "yield" : measure,
  }));
  const used = dimensions.filter((dimension) => columns.some(({ marks }) => marks[dimension] !== undefined));
  const alike = columns.every(({ marks }) => used.every((dimension) => marks[dimension] !== undefined));
  const distinct = new Set(
    columns.map(({ marks, measure }) => JSON.stringify([marks, reader.nameOf(measure)])),
  );
  if (!alike || distinct.size < columns.length || used.some((dimension) => has.has(dimension))) return null;
  if (columns.some(({ measure }) => has.has(reader.nameOf(measure) ?? ""))) return null;
  return { columns, rateHeader: found.map((one) => one.rateHeader).find((one) => one !== "") ?? above.rate };
}

/** Whether the name of a column gives a rate, a repetition, a season or a variety, with what is below it. */
export const tellsOneOf = <Name extends string>(header: string, reader: HeaderReader<Name>): boolean =>
  reader.nameOf(header) === null && columnOf(header, reader, null) !== null;

/** The name of what is below such a column, `Yield` of `Yield 1.1 M` and of `Yield 2`; null for any other. */
export const measureNamed = <Name extends string>(
  header: string,
  reader: HeaderReader<Name>,
): string | null =>
  reader.nameOf(header) === null ? columnOf(header, reader, "block")?.measure || null : null;

/** Whether a row names columns that repeat, beside others that say whose they are. */
export function isSpreadHeader<Name extends string>(
  cells: readonly string[],
  reader: HeaderReader<Name>,
): boolean {
  const names = new Set(cells.flatMap((cell) => reader.nameOf(cell) ?? [])) as ReadonlySet<string>;
  if (names.size === 0 || (names.size === 1 && !names.has("variety"))) return false;
  const numbers = cells.flatMap((cell) =>
    bareNumber.test(cell.trim()) ? [{ name: "", number: Number(cell) }] : [],
  );
  const isOfRates = names.has("variety") && areRates(numbers);
  const marked = cells.filter(
    (cell) => tellsOneOf(cell, reader) || (isOfRates && bareNumber.test(cell.trim())),
  );
  return marked.length > 1 && marked.length + names.size > filledCells(cells).length / 2;
}

/**
 * How the columns of a table that repeat become rows; null for a table without such.
 *
 * A row with nothing below any of them stays one row, so that totals and remarks are listed as elsewhere.
 *
 * @example headers `Variety, Rep, 0.8 M, 1.1 M` → rows of `Variety, Rep, rate, yield`
 */
export function spreadOf<Name extends string>(
  { headers, titles }: TablePlace,
  reader: HeaderReader<Name>,
  answers: Answers,
): Spread | null {
  const found = repeatedColumns(headers, titles, reader, answers);
  if (found === null) return null;
  const { columns, rateHeader } = found;
  const at = new Set(columns.map(({ index }) => index));
  const shared = headers.flatMap((_, index) => (at.has(index) ? [] : [index]));
  const used = dimensions.filter((dimension) => columns.some(({ marks }) => marks[dimension] !== undefined));
  const measured = [...new Map(columns.map(({ measure }) => [reader.nameOf(measure), measure])).values()];
  const groups = new Map<string, { told: string[]; places: number[] }>();
  for (const { index, marks, measure } of columns) {
    const told = used.flatMap((dimension) => marks[dimension] ?? []);
    const key = JSON.stringify(told);
    const group = groups.get(key) ?? { told, places: measured.map(() => -1) };
    group.places[measured.findIndex((one) => reader.nameOf(one) === reader.nameOf(measure))] = index;
    groups.set(key, group);
  }
  const bare = (dimension: Dimension): string =>
    dimension === "rate" && rateHeader !== "" ? rateHeader : dimension;
  return {
    headers: [...headers.filter((_, index) => !at.has(index)), ...used.map(bare), ...measured],
    told: headers.filter((_, index) => at.has(index)),
    dimensions: [...used],
    rowsOf: (cells) => {
      const own = shared.map((index) => cells[index] ?? "");
      const rows = [...groups.values()].flatMap(({ told, places }) => {
        const values = places.map((place) => cells[place] ?? "");
        return isBlank(values) ? [] : [[...own, ...told, ...values]];
      });
      return rows.length > 0 ? rows : [[...own, ...used.map(() => ""), ...measured.map(() => "")]];
    },
  };
}

/** The sheet with each row below the header as the rows that it stands for. */
export const spreadSheet = (sheet: Sheet, { rowsOf }: Spread): Sheet => ({
  ...sheet,
  forEach: (take, after = 0) =>
    sheet.forEach((cells, row) => {
      for (const one of rowsOf(cells)) if (take(one, row) === false) return false;
      return;
    }, after),
});
