/** What stands beside and above a table and says what its columns do not: titles, names of tabs and files, answers. */
import type { HeaderReader } from "./headers.ts";
import type { TitleRow } from "./locate.ts";
import type { Sheet } from "./sheet.ts";
import { repetitionBehind } from "./spread-columns.ts";
import { answerFor, type Answers, type PlaceAnswer } from "../answers/answers.ts";
import { plainUnit } from "../units/column-units.ts";
import { pairIn } from "../pair-in.ts";
import { splitAmount } from "../units/split-amount.ts";

/** One value for every row of a table, and where it comes from. */
export interface TableValue<Name extends string> {
  column: Name;
  text: string;
  from: "answer" | "title" | "name above" | "tab" | "file";
  /** What else is said of it beside the table, and is not used. */
  others: { text: string; from: TableValue<Name>["from"] }[];
}

/** A season over two years, `2023/24`, and no day, month or range of years. */
const twoYears = /(?<!\d)((?:19[89]|20\d)\d)\s*[/_–—-]\s*((?:19|20)?\d\d)(?!\d|[/.-]\d)/g;

/** A year that is told for something other than the harvest: `sown 9/20/2023`. */
const otherYear =
  /(?<!\p{L})(?:seeded|sown|planted|drilled|printed|exported|saved|gesät|aussaat|semis|semé|siembra|sembrado)(?!\p{L})[^,;]{0,20}?(?:19[89]|20\d)\d/giu;

/** A text with years of harvest alone: `Hill 2023/24` is `Hill 2024`, `sown 2023, cut 2024` is `, cut 2024`. */
export const inHarvestYears = (text: string): string =>
  text
    .replace(twoYears, (both, sown: string, cut: string) => {
      const harvest = String(Number(sown) + 1);
      return harvest.endsWith(cut) ? harvest : both;
    })
    .replace(otherYear, "");

/** The different years in a text, four digits each; of a season over two years that of harvest. */
export const yearsIn = (text: string): string[] => [
  ...new Set(inHarvestYears(text).match(/(?<![\d.,])(?:19[89]\d|20\d\d)(?![\d.,]\d|\d)/g) ?? []),
];

/** The file without its folders. */
export const fileBaseName = (path: string): string => path.replace(/^.*[/\\]/, "");

/** Names that spreadsheet programs give, and that say nothing of the field. */
const plainTab =
  /^(?:sheet|tabelle|feuil(?:le)?|hoja|blatt|table|data|all|strips?|trial|plots?|results?)\s*\d*$/i;

/** Whether a tab has a name that the person gave it. */
export const isOwnName = (tab: string): boolean => !plainTab.test(tab);

/** What was answered about the tab, else about the file. */
export function placeAnswers(sheet: Sheet, answers: Answers): PlaceAnswer[] {
  const tab = sheet.tab === null ? undefined : answerFor(answers.tabs, sheet.tab);
  const file = answerFor(answers.files, fileBaseName(sheet.source));
  return [tab, file].filter((one) => one !== undefined);
}

/** What was answered of a column for all rows of a sheet, for those without a value of their own; undefined for nothing. */
export function answeredValue<Name extends string>(
  sheet: Sheet,
  answers: Answers,
  name: Name,
  reader: HeaderReader<Name>,
): string | undefined {
  const said = [...placeAnswers(sheet, answers).map(({ values }) => values), answers.values];
  return said
    .flatMap((values) => Object.entries(values))
    .find(([column, text]) => reader.nameOf(column) === name && text.trim() !== "")?.[1];
}

/** What is above a table. */
export interface Above {
  /** Rows right above it. */
  titles: readonly TitleRow[];
  /** Rows above the tables before it in the sheet, the nearest table first: they hold for it where its own say nothing. */
  before: readonly (readonly TitleRow[])[];
  /** What the title of this table alone names, such as its variety; null for none. */
  named: { column: string; text: string } | null;
}

/**
 * Values for columns that the table does not have, from the surest source to the least: what was answered, labels above
 * the table (`Strip length (ft): 1200`) and above those before it, the name above each of several tables, the tab's name,
 * a year in the titles, a year in the file's name.
 *
 * @param has  columns that the table has
 */
export function valuesBeside<Name extends string>(
  sheet: Sheet,
  { titles, before, named }: Above,
  reader: HeaderReader<Name>,
  has: ReadonlySet<string>,
  answers: Answers,
): TableValue<Name>[] {
  const values = new Map<string, TableValue<Name>>();
  /** What was answered: nothing beside it makes that doubtful, but for one season of all tabs. */
  const settled = new Set<string>();
  const add = (column: string, text: string, from: TableValue<Name>["from"], isRival = false): void => {
    const name = reader.nameOf(column);
    if (name === null || has.has(name) || text.trim() === "") return;
    const used = values.get(name);
    if (used === undefined) values.set(name, { column: name, text: text.trim(), from, others: [] });
    else if (
      (isRival || name === "season") &&
      from !== "file" &&
      !settled.has(name) &&
      isOther(inHarvestYears(used.text), text)
    )
      used.others.push({ text: text.trim(), from });
  };
  for (const { values: own, nameIs } of placeAnswers(sheet, answers)) {
    for (const [column, text] of Object.entries(own)) add(column, text, "answer");
    if (nameIs !== null) add(nameIs, nameFor(nameIs, sheet), "answer");
  }
  const ofPlace = values.size;
  for (const [column, text] of Object.entries(answers.values)) add(column, text, "answer");
  [...values.keys()].forEach((name, index) => {
    if (index < ofPlace || name !== "season" || sheet.tab === null) settled.add(name);
  });
  const above = [titles, ...before];
  const addLabelled = (rows: readonly TitleRow[], areOwn: boolean): void => {
    for (const title of rows)
      for (const [column, text] of labelled(title, reader)) add(column, text, "title", areOwn);
  };
  addLabelled(titles, true);
  if (named !== null) add(named.column, named.text, "name above");
  for (const rows of before) addLabelled(rows, false);
  const tab = sheet.tab === null ? null : toldByTab(sheet.tab);
  if (tab !== null) {
    add("season", tab.season, "tab");
    add("block", tab.block, "tab");
    if (tab.name !== "" && sheet.file !== sheet.source && isOwnName(sheet.tab!) && isOwnName(tab.name)) {
      const isVariety =
        !has.has("variety") && !values.has("variety") && (has.has("field") || values.has("field"));
      add(isVariety ? "variety" : "field", tab.name, "tab");
    }
  }
  for (const rows of above) {
    const [year, ...others] = yearsIn(rows.flatMap(({ cells }) => cells.map(({ text }) => text)).join(" "));
    if (year !== undefined && others.length === 0) add("season", year, "title");
  }
  const [fileYear, ...otherYears] = yearsIn(fileBaseName(sheet.source));
  if (fileYear !== undefined && otherYears.length === 0) add("season", fileYear, "file");
  return [...values.values()];
}

/** Season, repetition and the rest of a tab's name, "" for what it does not say: `Hill 2025 – Rep 2`. */
function toldByTab(written: string): { season: string; block: string; name: string } {
  const tab = inHarvestYears(written);
  const [year = "", ...others] = yearsIn(tab);
  const { rest, repetition } = repetitionBehind(tab.replace(year, "").trim());
  return {
    season: others.length > 0 ? "" : year,
    block: repetition ?? "",
    name: rest.replace("()", "").replace(separators, ""),
  };
}

/** Whether two texts say different things: other numbers or units, other names, other years. */
function isOther(used: string, other: string): boolean {
  const [a, b] = [used, other].map((text) => {
    const parts = splitAmount(text);
    return parts === null ? text.trim().toLowerCase() : `${Number(parts.number)} ${plainUnit(parts.unit)}`;
  });
  return a !== b;
}

/** What parts names from years and repetitions beside them, at either end. */
const separators = /^[\s,;–—/)-]+|[\s,;–—/(-]+$/g;

/** A text of one year and more, without it: `Hill - 2025` is `Hill`. */
function withoutYear(text: string): string {
  const [year, ...others] = yearsIn(text);
  const rest = year === undefined || others.length > 0 ? "" : inHarvestYears(text).replace(year, "");
  const name = rest.replace("()", "").replace(separators, "");
  return name === "" ? text.trim() : name;
}

/** The name of the tab, else of the file: a season is its year, and other names go without the year beside them. */
function nameFor(column: string, { tab, source }: Sheet): string {
  const name = tab ?? fileBaseName(source).replace(/\.(?:csv|tsv|txt|xlsx)$/i, "");
  const [year, ...others] = yearsIn(name);
  if (year === undefined || others.length > 0) return name;
  const rest = inHarvestYears(name).replace(year, "").trim();
  return column === "season" ? year : tab === null || rest === "" ? name : rest;
}

/** `combine header 30 ft`: a length that is named without a colon. */
const lengthInWords =
  /^(\D{2,60}?)(?:\s+(?:of|de|von))?\s+(\d[\d.,]*\s*(?:ft|feet|foot|m|metres?|meters?|in|inch(?:es)?|cm|'|"))$/i;
/** `30 ft header`, `7.5" rows`. */
const lengthBeforeWords =
  /^(\d[\d.,]*\s*(?:ft|feet|foot|m|metres?|meters?|in|inch(?:es)?|cm|'|"))\s+(\p{L}[\p{L}\s]{2,40})$/iu;
const lengths: ReadonlySet<string> = new Set(["strip_length", "strip_width", "row_spacing"]);
/** `strips 30 ft wide and 1200 ft long`; a drill may be wider than the strip that is cut. */
const sideInWords =
  /(\d[\d.,]*\s*(?:ft|feet|foot|m|metres?|meters?|mètres?|metros?|'))\s+(?:de\s+)?(wide|long|breit|lang|large|longueur|largeur|largo|ancho)\b/giu;
/** `800 ft x 30 ft`: a strip is longer than wide. */
const twoSides =
  /(\d[\d.,]*)\s*(ft|feet|foot|m|metres?|meters?|')?\s*(?:x|×|by|mal|par|por)\s*(\d[\d.,]*)\s*(ft|feet|foot|m|metres?|meters?|')(?!\p{L})/iu;
const ofDrill = /drill|planter|seeder|drille|sämaschine|semoir|sembradora/i;
/** The two sides of a strip, each with its unit, the longer one first; null where a text does not tell both. */
function sidesTold(text: string): [string, string][] | null {
  const [, one, ownUnit, other, unit] = twoSides.exec(text) ?? [];
  if (one === undefined || other === undefined || unit === undefined) return null;
  const [first, second] = [`${one} ${ownUnit ?? unit}`, `${other} ${unit}`];
  const isLong = Number(one.replace(",", "")) >= Number(other.replace(",", ""));
  return [
    ["strip_length", isLong ? first : second],
    ["strip_width", isLong ? second : first],
  ];
}
const isWidth = /^(?:wide|breit|large|largeur|ancho)$/i;

/** `Label: value` in one cell, several with commas between them, or a label and its value in the next filled cell. */
function labelled<Name extends string>(title: TitleRow, reader: HeaderReader<Name>): [string, string][] {
  const namesLength = (label: string): boolean => lengths.has(reader.nameOf(label) ?? "");
  const found: [string, string][] = [];
  title.cells.forEach(({ text }, index) => {
    const { rest: told, repetition } = repetitionBehind(text);
    if (repetition !== null) found.push(["block", repetition]);
    if (told.trim() === "") return;
    const pieces = told.split(/[,;]\s+(?=[\p{L}\d])|\s{2,}/u).flatMap((piece) => {
      const apart = pairIn(/^(.*?)\s+[-–—]\s+(.+)$/, piece);
      return apart === null || reader.nameOf(apart[0]) !== null ? [piece] : apart;
    });
    const parts = pieces.flatMap((part): [string, string][] => {
      const apart = pairIn(/^([^:=]{2,60}?)(?:\s*[:=]\s*|\s+[-–—]\s+)(.+)$/, part);
      if (apart !== null) return [apart];
      const measured = ofDrill.test(part) ? [] : [...part.matchAll(sideInWords)];
      if (measured.length > 0)
        return measured.map(([, text, side]) => [
          isWidth.test(side!) ? "strip_width" : "strip_length",
          text!,
        ]);
      const sides = ofDrill.test(part) ? null : sidesTold(part);
      if (sides !== null) return sides;
      const beforeWords = pairIn(lengthBeforeWords, part.trim());
      if (beforeWords !== null && namesLength(beforeWords[1]) && !ofDrill.test(part))
        return [[beforeWords[1], beforeWords[0]]];
      const inWords = pairIn(lengthInWords, part.trim());
      return inWords !== null && namesLength(inWords[0]) ? [inWords] : [];
    });
    if (parts.length > 0) {
      found.push(...parts.filter(([label]) => reader.nameOf(label) !== null));
      return;
    }
    const label = told.replace(/\s*[:=]\s*$/, "");
    const next = title.cells[index + 1];
    if (next === undefined || reader.nameOf(label) === null || reader.nameOf(next.text) !== null) return;
    found.push([label, next.text]);
  });
  return found.map(([label, value]): [string, string] => {
    const bracket = reader.bracketOf(label);
    return [label, bracket === "" || splitAmount(value)?.unit !== "" ? value : `${value} ${bracket}`];
  });
}

/** Longer titles name no variety. */
const longestTitle = 60;

/**
 * The name in a title that stands above one table alone: `Ostrindel`, or `Variety Ostrindel`.
 *
 * @returns null for a label of something else, a year, or a sentence
 */
export function nameInTitle<Name extends string>(
  text: string,
  column: Name,
  reader: HeaderReader<Name>,
): string | null {
  // A field may have its season beside it, `Hill 2025`; a variety may end in what looks like one.
  const { rest: told } = repetitionBehind(text);
  const plain = column === "field" ? withoutYear(told) : told.trim();
  const [first = "", ...rest] = plain.split(/\s+/);
  const name = rest.length > 0 && reader.nameOf(first) === column ? rest.join(" ") : plain;
  const isName = name.length <= longestTitle && /\p{L}/u.test(name) && !/[:=]/.test(name);
  return isName && reader.nameOf(name) === null && !/^\D*(?:19[89]\d|20\d\d)\D*$/.test(name) ? name : null;
}
