/** Files, whatever kind they are → sheets, and which of them hold strips and which lots. */
import {
  lotsAsStrips,
  meansNotRead,
  sheetAsked,
  sheetOfText,
  sheetsNotRead,
  sheetUnknown,
  stripsAsLots,
  textNamedWorkbook,
} from "../../messages/workbook.ts";
import type { Finding } from "../../vocabulary/trial.ts";
import { noAnswers, type Answers } from "../answers/answers.ts";
import { nearestName } from "../nearest-name.ts";
import { lotHeaders, lotsTable } from "../strips/lots-header.ts";
import { stripHeaders, stripsTable } from "../strips/strips-header.ts";
import type { LotColumnName, StripColumnName } from "../strips/columns.ts";
import { asAnswered, nameAnswered } from "./answered-headers.ts";
import { placeAnswers, valuesBeside } from "./beside-table.ts";
import type { InputFile } from "./input-file.ts";
import { locateTables } from "./locate.ts";
import type { Sheet } from "./sheet.ts";
import type { TableKind } from "./table-kind.ts";
import { textSheet } from "./text-sheet.ts";
import { withKeysOfFiles, withTreatments } from "./treatments.ts";
import { upright } from "./upright.ts";

/** Whether a file is a workbook (.xlsx): those are zip archives and start like them. */
export const isWorkbook = ({ bytes }: InputFile): boolean =>
  bytes[0] === 0x50 && bytes[1] === 0x4b && bytes[2] === 3 && bytes[3] === 4;

const knownHeaders = (headers: string[]): number =>
  Math.max(stripHeaders.known(headers), lotHeaders.known(headers));

/** A text file as a sheet: the mark between its cells is the one under which most headers are known. */
export const openText = (file: InputFile): Sheet => {
  const [sheet] = withTreatments([upright(textSheet(file, knownHeaders), [stripsTable])]) as [Sheet];
  return namedWorkbook.test(file.name)
    ? { ...sheet, findings: [...sheet.findings, textNamedWorkbook(file.name)] }
    : sheet;
};

/** Names of what only spreadsheet programs write. */
const namedWorkbook = /\.xls[xmb]?$/i;

/**
 * The sheets of a file: one of text, every filled one of a workbook.
 *
 * What reads workbooks is loaded only when there is one.
 *
 * @throws TrialError as `textSheet` and `workbookSheets` do
 */
export async function openSheets(file: InputFile): Promise<Sheet[]> {
  if (!isWorkbook(file)) return [openText(file)];
  const { workbookSheets } = await import("./workbook.ts");
  return withTreatments((await workbookSheets(file)).map((sheet) => upright(sheet, [stripsTable])));
}

/** What a sheet holds by its answers, else by its header; null for neither strips nor lots. */
export function holdsWhat(sheet: Sheet, answers: Answers): "strips" | "lots" | null {
  for (const { holds } of placeAnswers(sheet, answers)) {
    if (holds !== null) return holds === "not read" ? null : holds;
  }
  const stripsKind = asAnswered(stripsTable, answers);
  const lotsKind = asAnswered(lotsTable, answers);
  const strips = locateTables(sheet, stripsKind, 1).find(
    ({ headers }) => stripsKind.isHeader(headers) || stripsKind.isSpread(headers),
  );
  const lots = locateTables(sheet, lotsKind, 1).find(({ headers }) => lotsKind.isHeader(headers));
  const headers = (strips ?? lots)?.headers ?? [];
  const names = headers.map((header) => nameAnswered(header, stripHeaders, answers));
  const has = (any: ReadonlySet<string>): boolean => names.some((name) => name !== null && any.has(name));
  if (strips === undefined && lots === undefined) return null;
  if (strips === undefined) return has(ofStripsOnly) ? "strips" : "lots";
  if (lots === undefined || stripsKind.isSpread(headers)) return "strips";
  const isSold = lots.headers.some((header) => ofLotsOnly.has(lotHeaders.nameOf(header) ?? ""));
  return has(ofStripsOnly) || (has(ofFields) && !isSold) ? "strips" : "lots";
}

/** Names of tabs that hold what was worked out of other tabs. */
const ofMeans =
  /\b(?:summar(?:y|ies)|averages?|avgs?|means?|pivot|charts?|graphs?|overview|recap|zusammenfassung|übersicht|mittel(?:werte?)?|auswertung|résumé|synthèse|moyennes?|resumen|promedios?|medias?)\b/iu;
/** Headers of a number of strips that were put together, or of their mean. */
const ofCounts =
  /^(?:n|count|no\.? of (?:strips|reps|plots)|# ?(?:strips|reps|plots)|strips|reps|plots|anzahl|nombre|número)$/i;
const ofMean = /\b(?:avg|average|mean|mittel|mittelwert|moyenne?|promedio|media)\b/i;

/**
 * Tabs of means beside those of the strips themselves, by the tab's name, or by headers of means or counts where others have
 * repetitions and these have none; what was answered of a tab holds.
 */
function meansAmong(sheets: readonly Sheet[], answers: Answers): Sheet[] {
  const looked = sheets.map((sheet) => {
    const headers = locateTables(sheet, asAnswered(stripsTable, answers), 1)[0]?.headers ?? [];
    const names = headers.map((header) => nameAnswered(header, stripHeaders, answers));
    const isSaid = placeAnswers(sheet, answers).some(({ holds }) => holds !== null);
    const hasRepetitions = names.includes("block") || names.includes("position");
    const counts = headers.some((header) => ofCounts.test(header.trim()) || ofMean.test(header));
    return { sheet, isSaid, hasRepetitions, isNamed: ofMeans.test(sheet.tab ?? ""), counts };
  });
  const repeats = looked.some(({ hasRepetitions }) => hasRepetitions);
  const means = looked.filter(
    ({ isSaid, isNamed, counts, hasRepetitions }) =>
      !isSaid && !hasRepetitions && (isNamed || (repeats && counts)),
  );
  return means.length === sheets.length ? [] : means.map(({ sheet }) => sheet);
}

/** What the name of a tab says of columns that its first table of strips does not have: season, field or variety. */
export function toldByTab(sheet: Sheet): Record<string, string> {
  const [table] = locateTables(sheet, stripsTable, 1);
  if (sheet.tab === null || table === undefined) return {};
  const has = new Set(table.headers.flatMap((header) => stripHeaders.nameOf(header) ?? []));
  const above = { titles: table.titles, before: [], named: null };
  const values = valuesBeside(sheet, above, stripHeaders, has, noAnswers);
  return Object.fromEntries(
    values.flatMap(({ column, text, from }) => (from === "tab" ? [[column, text]] : [])),
  );
}

/** Headers of a sheet's first table that name certain columns. */
function namedHeaders<Name extends string>(
  sheet: Sheet,
  kind: TableKind<Name>,
  wanted: (name: string) => boolean,
): string[] {
  const headers = locateTables(sheet, kind, 1)[0]?.headers ?? [];
  return headers.filter((header) => {
    const name = kind.reader.nameOf(header);
    return name !== null && wanted(name);
  });
}

/** What a strip has and a lot of seed has not: a table with any of these is of strips, whatever else it lacks. */
const ofStripsOnly: ReadonlySet<string> = new Set<StripColumnName>([
  ...(["yield", "strip_weight", "gross_weight", "tare_weight", "strip_length", "strip_width"] as const),
  ...(["block", "position", "moisture", "lodging", "stand", "heads"] as const),
]);
/** What a list of lots may have as well. */
const ofFields: ReadonlySet<string> = new Set<StripColumnName>(["season", "field"]);
/** What only seed to be bought or sown has. */
const ofLotsOnly: ReadonlySet<string> = new Set<LotColumnName>([
  "seed_price",
  "treatment_cost",
  "treated",
  "area",
]);

/** Sheets by what they hold. */
export interface SortedSheets {
  strips: Sheet[];
  /** Of workbooks whose other tabs hold strips. */
  lots: Sheet[];
  findings: Finding[];
}

/**
 * Adds every tab that holds strips or lots, and says which do not.
 *
 * @throws TrialError `sheet-asked` where none holds strips
 */
function sortTabs(sorted: SortedSheets, file: string, sheets: readonly Sheet[], answers: Answers): void {
  const tabs = sheets.map(({ tab }) => tab ?? "");
  const kinds = sheets.map((sheet) => holdsWhat(sheet, answers));
  if (!kinds.includes("strips")) throw sheetAsked(file, tabs);
  const means = meansAmong(
    sheets.filter((_, index) => kinds[index] === "strips"),
    answers,
  );
  sorted.strips.push(
    ...together(sheets.filter((sheet, index) => kinds[index] === "strips" && !means.includes(sheet))),
  );
  if (means.length > 0)
    sorted.findings.push(
      meansNotRead(
        file,
        means.map(({ tab }) => tab!),
      ),
    );
  sorted.lots.push(...sheets.filter((_, index) => kinds[index] === "lots"));
  const others = tabs.filter((_, index) => kinds[index] === null);
  if (others.length > 0) sorted.findings.push(sheetsNotRead(file, others));
}

/**
 * Opens files of strips and picks the sheets: those that are named, else of each workbook every tab that holds strips.
 *
 * The only sheet of a file is taken as it is, unless it holds lots.
 *
 * @param wanted  names of tabs; a name serves for every workbook that has it
 * @throws TrialError `sheet-unknown`, `sheet-asked`, `sheet-of-text`, `lots-as-strips`; as `openSheets` does
 */
export async function openStrips(
  files: readonly InputFile[],
  wanted: readonly string[],
  answers: Answers,
): Promise<SortedSheets> {
  const sorted: SortedSheets = { strips: [], lots: [], findings: [] };
  const missing = new Set(wanted);
  const seen: { file: string; tabs: string[] }[] = [];
  const opened: { file: InputFile; sheets: Sheet[] }[] = [];
  for (const file of files) opened.push({ file, sheets: await openSheets(file) });
  const { files: ofFiles, keys } = withKeysOfFiles(opened);
  for (const { file, sheets } of ofFiles) {
    if (sheets.length === 0 && keys.length > 0) continue;
    const tabs = sheets.map(({ tab }) => tab ?? "");
    if (sheets.length > 1 || sheets.some(isNamed)) seen.push({ file: file.name, tabs });
    const named = sheets.filter(({ tab }) => wanted.some((one) => tab !== null && sameName(tab, one)));
    for (const { tab } of named) for (const one of wanted) if (sameName(tab!, one)) missing.delete(one);
    if (named.length > 0) {
      sorted.strips.push(...together(named));
      sorted.lots.push(
        ...sheets.filter((sheet) => !named.includes(sheet) && holdsWhat(sheet, answers) === "lots"),
      );
      continue;
    }
    const [only, other] = sheets;
    if (only !== undefined && other === undefined) {
      if (holdsWhat(only, answers) === "lots")
        throw lotsAsStrips(
          file.name,
          namedHeaders(only, lotsTable, (name) => name !== "variety"),
        );
      sorted.strips.push(only);
      continue;
    }
    sortTabs(sorted, file.name, sheets, answers);
  }
  for (const name of missing) {
    const book = seen[0];
    if (book === undefined) throw sheetOfText(files[0]?.name ?? "", name);
    throw sheetUnknown(book.file, name, book.tabs, nearestName(name, book.tabs));
  }
  return sorted;
}

/**
 * The sheet of a file of lots: the one named, else the first that holds lots, else the only one.
 *
 * @throws TrialError `sheet-unknown`, `sheet-asked`, `sheet-of-text`, `strips-as-lots`; as `openSheets` does
 */
export async function openLots(file: InputFile, wanted: string | null, answers: Answers): Promise<Sheet> {
  const sheets = await openSheets(file);
  const names = sheets.map(({ tab }) => tab ?? "");
  if (wanted !== null && !isWorkbook(file)) throw sheetOfText(file.name, wanted);
  if (wanted !== null && sheets.some(isNamed)) {
    const named = sheets.find(({ tab }) => tab !== null && sameName(tab, wanted));
    if (named === undefined) throw sheetUnknown(file.name, wanted, names, nearestName(wanted, names));
    return named;
  }
  const [only, other] = sheets;
  if (only !== undefined && other === undefined) {
    if (holdsWhat(only, answers) === "strips")
      throw stripsAsLots(
        file.name,
        namedHeaders(only, stripsTable, (name) => ofStripsOnly.has(name)),
      );
    return only;
  }
  const found = sheets.find((sheet) => holdsWhat(sheet, answers) === "lots");
  if (found === undefined) throw sheetAsked(file.name, names);
  return found;
}

/** Tabs of one workbook, each with the names of all: what is asked of one is asked of all at once. */
const together = (tabs: readonly Sheet[]): Sheet[] =>
  tabs.length < 2 ? [...tabs] : tabs.map((sheet) => ({ ...sheet, together: tabs.map(({ tab }) => tab!) }));

const isNamed = ({ tab }: Sheet): boolean => tab !== null;

const sameName = (one: string, other: string): boolean =>
  one.trim().toLowerCase() === other.trim().toLowerCase();
