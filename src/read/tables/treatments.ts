/** Strips told by treatments: `Ostrindel @ 1.1 M` in one cell, or a number that a key in another tab explains → columns of their own. */
import { keyJoined, siteYearsParted, treatmentsParted } from "../../messages/reading.ts";
import { stripHeaders } from "../strips/strips-header.ts";
import { isBlank } from "./csv-rows.ts";
import { plainName } from "./headers.ts";
import { pairIn } from "../pair-in.ts";
import type { Sheet } from "./sheet.ts";
import { rateIn } from "./spread-columns.ts";

/** Rows among which the header is looked for, and rows looked at below it. */
const rowsOfTitles = 40;
const rowsLookedAt = 400;
/** Of the cells of such a column, at least so many say it. */
const fewestShare = 0.8;
const fewest = 3;

/** A column by its place in the sheet, and what its header names. */
interface TableColumn {
  at: number;
  header: string;
  name: string | null;
}

interface Table {
  sheet: Sheet;
  headerRow: number;
  columns: TableColumn[];
  /** Filled rows below the header, the first of them. */
  rows: string[][];
}

/** The sheets of a file, with columns for what treatments say; a tab that only explains them is none of them. */
export function withTreatments(sheets: readonly Sheet[]): Sheet[] {
  const parted = sheets.map(partedFields).map((sheet) => {
    const table = measuredWithoutRate(sheet);
    return table === null ? sheet : partedSheet(table);
  });
  const whole = parted.map(withKeyOfItsOwn);
  return whole.length < 2
    ? whole
    : joinedSheets(whole, (sheet) => `the sheet "${sheet.tab ?? sheet.file}"`).sheets;
}

/** Files of one sheet that only explain the treatments of other files, taken up by these. */
export function withKeysOfFiles<Opened extends { sheets: Sheet[] }>(
  files: readonly Opened[],
): { files: readonly Opened[]; keys: Sheet[] } {
  const keys = files.flatMap(({ sheets }) => (sheets.length === 1 && sheets.every(isKeyAlone) ? sheets : []));
  if (keys.length === 0 || keys.length === files.length) return { files, keys: [] };
  const { sheets: joined, used } = joinedSheets(
    files.flatMap(({ sheets }) => sheets),
    ({ file }) => file,
  );
  const sources = new Map(files.flatMap((own) => own.sheets.map(({ file }) => [file, own] as const)));
  return {
    files: files.map((own) => ({ ...own, sheets: joined.filter(({ file }) => sources.get(file) === own) })),
    keys: [...used],
  };
}

const isKeyAlone = (sheet: Sheet): boolean =>
  keyIn(sheet)?.columns.some(({ header }) => ofTreatments.test(header.trim())) === true;

function joinedSheets(
  sheets: readonly Sheet[],
  placeOf: (key: Sheet) => string,
): { sheets: Sheet[]; used: ReadonlySet<Sheet> } {
  const keys = sheets.flatMap((sheet) => keyIn(sheet) ?? []);
  const used = new Set<Sheet>();
  const joined = sheets.map((sheet) => {
    const table = keys.length === 0 ? null : measuredWithoutRate(sheet);
    if (table === null) return sheet;
    for (const key of keys) {
      const whole = joinedSheet(table, key, placeOf(key.sheet));
      if (whole === null) continue;
      used.add(key.sheet);
      return whole;
    }
    return sheet;
  });
  return { sheets: joined.filter((sheet) => !used.has(sheet)), used };
}

/** Further rows of a sheet are not looked through for a second table. */
const rowsOfTables = 5_000;

/** A sheet with strips that have no rate and, above or below them, a table that says what their treatments are: as one. */
function withKeyOfItsOwn(sheet: Sheet): Sheet {
  const first = tableIn(sheet);
  if (first === null || hasColumn(first, "rate") === isMeasured(first)) return sheet;
  const starts: number[] = [];
  let last = 0;
  let wasBlank = true;
  sheet.forEach((cells, row) => {
    const names = new Set(
      cells.flatMap((cell) => (cell.trim() === "" ? [] : (stripHeaders.nameOf(cell) ?? []))),
    );
    if (names.size >= 2 && wasBlank) starts.push(row);
    wasBlank = isBlank(cells);
    if (!wasBlank) last = row;
    return row < rowsOfTables;
  });
  const [, second, third] = starts;
  if (second === undefined || third !== undefined) return sheet;
  const upper = { from: 0, to: second - 1 };
  const lower = { from: second - 1, to: last };
  for (const [own, theirs] of [
    [upper, lower],
    [lower, upper],
  ] as const) {
    const table = measuredWithoutRate(rowsOf(sheet, own));
    const key = keyIn(rowsOf(sheet, theirs));
    const whole =
      table === null || key === null
        ? null
        : joinedSheet(table, key, `rows ${key.headerRow} to ${theirs.to}`);
    if (whole !== null) return whole;
  }
  return sheet;
}

/** Some rows of a sheet, behind `from` and up to `to`. */
const rowsOf = (sheet: Sheet, { from, to }: { from: number; to: number }): Sheet => ({
  ...sheet,
  forEach: (take, after = 0) =>
    sheet.forEach((cells, row) => (row > to ? false : take(cells, row)), Math.max(after, from)),
});

const hasColumn = ({ columns }: Table, wanted: string): boolean =>
  columns.some(({ name }) => name === wanted);

const isMeasured = ({ columns }: Table): boolean => columns.some(({ name }) => measured.has(name));

/** The first row that names two columns or more, and what is below it. */
function tableIn(sheet: Sheet): Table | null {
  let found: Table | null = null;
  sheet.forEach((cells, row) => {
    if (found === null) {
      if (row > rowsOfTitles) return false;
      const columns = cells.map((header, at) => {
        return { at, header, name: header.trim() === "" ? null : stripHeaders.nameOf(header) };
      });
      if (new Set(columns.flatMap(({ name }) => name ?? [])).size < 2) return;
      found = { sheet, headerRow: row, columns, rows: [] };
      return;
    }
    if (!isBlank(cells)) found.rows.push([...cells]);
    return found.rows.length < rowsLookedAt;
  });
  return found;
}

const measured: ReadonlySet<string | null> = new Set(["yield", "strip_weight", "gross_weight"]);

const widthOf = ({ columns, rows }: Table): number =>
  Math.max(columns.length, ...rows.map((row) => row.length));

/** A table of what was harvested that has no column for the rate. */
function measuredWithoutRate(sheet: Sheet): Table | null {
  const table = tableIn(sheet);
  return table !== null && isMeasured(table) && !hasColumn(table, "rate") ? table : null;
}

/** A variety and a rate in one text, either first; null for any other. */
export function treatmentIn(text: string): { variety: string; rate: string } | null {
  const told = text.trim();
  if (told.length > 60 || !/\d/.test(told) || !/\p{L}/u.test(told)) return null;
  for (const { index, 0: between } of told.matchAll(
    /\s*(?:@|,|:|\/|\s[-–—]\s|\s(?:at|bei|à|a)\s|\s)\s*/giu,
  )) {
    const [before, after] = [told.slice(0, index).trim(), told.slice(index + between.length).trim()];
    if (/^\p{L}/u.test(before) && rateIn(after) !== null) return { variety: before, rate: after };
    if (/^\p{L}{3}/u.test(after) && rateIn(before) !== null && rateIn(told) === null)
      return { variety: after, rate: before };
  }
  return null;
}

/** Another column, and what takes the place of a cell. */
const changed = (
  { sheet, headerRow }: Table,
  finding: Sheet["findings"][number],
  change: (cells: string[], row: number) => string[],
): Sheet => ({
  ...sheet,
  findings: [...sheet.findings, finding],
  forEach: (take, after = 0) =>
    sheet.forEach((cells, row) => take(row < headerRow ? cells : change([...cells], row), row), after),
});

const ofSiteYears = /^(?:site|field|location|loc|environment|env|trial)\b/i;
const seasonBehind = /^(.*?\p{L}.*?)[\s,_/–—-]+((?:19[89]|20\d)\d)$/u;
const seasonBefore = /^((?:19[89]|20\d)\d)[\s,_/–—-]+(.*\p{L}.*)$/u;

/** A field and its season in one text, either first; null for any other. */
export function siteYearIn(text: string): { field: string; season: string } | null {
  const behind = pairIn(seasonBehind, text.trim());
  if (behind !== null) return { field: behind[0], season: behind[1] };
  const before = pairIn(seasonBefore, text.trim());
  return before === null ? null : { field: before[1], season: before[0] };
}

/** `Hill 2025` below `Site-year`, where no column says the season. */
function partedFields(sheet: Sheet): Sheet {
  const table = tableIn(sheet);
  if (table === null || hasColumn(table, "season") || !isMeasured(table)) return sheet;
  const isField = ({ name, header }: TableColumn): boolean =>
    name === "field" || (name === null && ofSiteYears.test(header.trim()));
  return partedColumn(table, isField, ["field", "season"], siteYearIn, siteYearsParted);
}

function partedSheet(table: Table): Sheet {
  const isFree = hasColumn(table, "variety")
    ? ({ name }: TableColumn) => name === "variety"
    : ({ name, header }: TableColumn) => name === null && header.trim() !== "";
  return partedColumn(table, isFree, ["variety", "rate"], treatmentIn, treatmentsParted);
}

/**
 * The first column that may be meant and whose cells mostly name two things: the one stays in it, the other goes into a
 * column of its own behind all others.
 */
function partedColumn<First extends string, Second extends string>(
  table: Table,
  mayBe: (column: TableColumn) => boolean,
  [first, second]: readonly [First, Second],
  partsIn: (cell: string) => Record<First | Second, string> | null,
  tell: (
    file: string,
    header: string,
    example: string,
    parts: Record<First | Second, string>,
  ) => Sheet["findings"][number],
): Sheet {
  const { sheet, columns, headerRow, rows } = table;
  const found = columns.find((column) => {
    if (!mayBe(column)) return false;
    const cells = rows.map((row) => (row[column.at] ?? "").trim()).filter((cell) => cell !== "");
    const parted = cells.filter((cell) => partsIn(cell) !== null);
    return parted.length >= fewest && parted.length >= fewestShare * cells.length;
  });
  if (found === undefined) return sheet;
  const { at, header } = found;
  const example = rows.map((row) => row[at] ?? "").find((cell) => partsIn(cell) !== null)!;
  const told = tell(sheet.file, header, example.trim(), partsIn(example)!);
  const pairOf = (cell: string): readonly [string, string] | null => {
    const parts = partsIn(cell);
    return parts === null ? null : [parts[first], parts[second]];
  };
  const width = widthOf(table);
  return changed(table, told, (cells, row) => {
    const parts = row === headerRow ? ([first, second] as const) : pairOf(cells[at] ?? "");
    if (parts === null) return cells;
    cells[at] = parts[0];
    while (cells.length < width) cells.push("");
    return [...cells, parts[1]];
  });
}

/** A tab that says what treatments are: a rate for each, nothing that was harvested. */
function keyIn(sheet: Sheet): Table | null {
  const table = tableIn(sheet);
  return table !== null && hasColumn(table, "rate") && !isMeasured(table) ? table : null;
}

const ofTreatments = /^(?:trt|treat(?:ment)?s?|entry|code|variante|prüfglied|traitement|tratamiento)\b/i;

/** The column that both have: of the same name, or called a treatment in both; no variety, which lots have as well. */
function sharedColumn(table: Table, key: Table): { own: TableColumn; theirs: TableColumn } | null {
  for (const theirs of key.columns) {
    const { header, name } = theirs;
    const isTreatment = ofTreatments.test(header.trim());
    if (header.trim() === "" || (name !== null && !isTreatment && name !== "position")) continue;
    const own = table.columns.find(
      (one) =>
        plainName(one.header) === plainName(header) || (isTreatment && ofTreatments.test(one.header.trim())),
    );
    if (own !== undefined) return { own, theirs };
  }
  return null;
}

const codeIn = (cells: readonly string[], { at }: TableColumn): string =>
  (cells[at] ?? "").trim().toUpperCase();

/** @param place  where the key is, as told to the person */
function joinedSheet(table: Table, key: Table, place: string): Sheet | null {
  const shared = sharedColumn(table, key);
  if (shared === null) return null;
  const { own, theirs } = shared;
  const meanings = new Map(
    key.rows.flatMap((row) => (codeIn(row, theirs) === "" ? [] : [[codeIn(row, theirs), row] as const])),
  );
  const codes = table.rows.map((row) => codeIn(row, own)).filter((code) => code !== "");
  const known = codes.filter((code) => meanings.has(code));
  const isUnique = meanings.size === key.rows.filter((row) => codeIn(row, theirs) !== "").length;
  if (!isUnique || known.length < fewest || known.length < fewestShare * codes.length) return null;
  // A number below `Entry` is no variety where the key says which variety it is.
  const isCode = key.columns.some((column) => column !== theirs && column.name === own.name);
  const had = table.columns.filter((column) => column !== own || !isCode).map(({ name }) => name);
  const added = key.columns.filter(
    (column) => column !== theirs && column.name !== null && !had.includes(column.name),
  );
  const told = keyJoined(
    table.sheet.file,
    own.header,
    place,
    added.map(({ header }) => header),
  );
  const keyHeader = key.columns.map(({ header }) => header);
  const width = widthOf(table);
  return changed(table, told, (cells, row) => {
    const meaning = row === table.headerRow ? keyHeader : meanings.get(codeIn(cells, own));
    if (meaning === undefined) return cells;
    // A code says nothing more once it is explained; a position does.
    if (isCode || own.name === null) cells[own.at] = "";
    while (cells.length < width) cells.push("");
    return [...cells, ...added.map(({ at }) => meaning[at] ?? "")];
  });
}
