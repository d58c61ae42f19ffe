/** Strips told by treatments: `Ostrindel @ 1.1 M` in one cell, or a number that a key in another tab explains → columns of their own. */
import { keyJoined, siteYearsParted, treatmentsParted } from "../../messages/reading.ts";
import { stripHeaders } from "../strips/strips-header.ts";
import { plainName } from "./headers.ts";
import type { Sheet } from "./sheet.ts";
import { rateIn } from "./spread-columns.ts";

/** Rows among which the header is looked for, and rows looked at below it. */
const rowsOfTitles = 40;
const rowsLookedAt = 400;
/** Of the cells of such a column, at least so many say it. */
const fewestShare = 0.8;
const fewest = 3;

interface Table {
  sheet: Sheet;
  headerRow: number;
  headers: string[];
  names: (string | null)[];
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
export function withKeysOfFiles(files: readonly (readonly Sheet[])[]): { sheets: Sheet[][]; keys: Sheet[] } {
  const keys = files.flatMap((sheets) => (sheets.length === 1 && isKeyAlone(sheets[0]!) ? [...sheets] : []));
  if (keys.length === 0 || keys.length === files.length)
    return { sheets: files.map((own) => [...own]), keys: [] };
  const { sheets, used } = joinedSheets(files.flat(), ({ file }) => file);
  const sources = new Map(files.flatMap((own, index) => own.map((sheet) => [sheet.file, index] as const)));
  return {
    sheets: files.map((_, index) => sheets.filter((sheet) => sources.get(sheet.file) === index)),
    keys: [...used],
  };
}

const isKeyAlone = (sheet: Sheet): boolean =>
  keyIn(sheet)?.headers.some((header) => ofTreatments.test(header.trim())) === true;

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
  const [first] = [tableIn(sheet)];
  if (first === null || first.names.includes("rate") === isMeasured(first)) return sheet;
  const starts: number[] = [];
  let last = 0;
  let wasBlank = true;
  sheet.forEach((cells, row) => {
    const names = new Set(
      cells.flatMap((cell) => (cell.trim() === "" ? [] : (stripHeaders.nameOf(cell) ?? []))),
    );
    if (names.size >= 2 && wasBlank) starts.push(row);
    wasBlank = cells.every((cell) => cell.trim() === "");
    if (!wasBlank) last = row;
    return row < rowsOfTables;
  });
  if (starts.length !== 2) return sheet;
  const [upper, lower] = [
    { from: 0, to: starts[1]! - 1 },
    { from: starts[1]! - 1, to: last },
  ] as const;
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

const isMeasured = ({ names }: Table): boolean => names.some((name) => measured.has(name));

/** The first row that names two columns or more, and what is below it. */
function tableIn(sheet: Sheet): Table | null {
  let found: Table | null = null;
  sheet.forEach((cells, row) => {
    if (found === null) {
      if (row > rowsOfTitles) return false;
      const names = cells.map((cell) => (cell.trim() === "" ? null : stripHeaders.nameOf(cell)));
      if (new Set(names.filter((name) => name !== null)).size < 2) return;
      found = { sheet, headerRow: row, headers: [...cells], names, rows: [] };
      return;
    }
    if (cells.some((cell) => cell.trim() !== "")) found.rows.push([...cells]);
    return found.rows.length < rowsLookedAt;
  });
  return found;
}

const measured: ReadonlySet<string | null> = new Set(["yield", "strip_weight", "gross_weight"]);

/** A table of what was harvested that has no column for the rate. */
function measuredWithoutRate(sheet: Sheet): Table | null {
  const table = tableIn(sheet);
  const isOne = table !== null && table.names.some((name) => measured.has(name));
  return isOne && !table.names.includes("rate") ? table : null;
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
  const behind = seasonBehind.exec(text.trim());
  if (behind !== null) return { field: behind[1]!, season: behind[2]! };
  const before = seasonBefore.exec(text.trim());
  return before === null ? null : { field: before[2]!, season: before[1]! };
}

/** `Hill 2025` below `Site-year`, where no column says the season. */
function partedFields(sheet: Sheet): Sheet {
  const table = tableIn(sheet);
  if (table === null || table.names.includes("season") || !table.names.some((name) => measured.has(name)))
    return sheet;
  const isField = (index: number): boolean =>
    table.names[index] === "field" ||
    (table.names[index] === null && ofSiteYears.test(table.headers[index]!.trim()));
  return partedColumn(table, isField, ["field", "season"], siteYearIn, siteYearsParted);
}

function partedSheet(table: Table): Sheet {
  const { headers, names } = table;
  const isFree = names.includes("variety")
    ? (index: number) => names[index] === "variety"
    : (index: number) => names[index] === null && headers[index]!.trim() !== "";
  return partedColumn(table, isFree, ["variety", "rate"], treatmentIn, treatmentsParted);
}

/**
 * The first column that may be meant and whose cells mostly name two things: the one stays in it, the other goes into a
 * column of its own behind all others.
 */
function partedColumn<First extends string, Second extends string>(
  table: Table,
  mayBe: (index: number) => boolean,
  [first, second]: readonly [First, Second],
  partsIn: (cell: string) => Record<First | Second, string> | null,
  tell: (
    file: string,
    header: string,
    example: string,
    parts: Record<First | Second, string>,
  ) => Sheet["findings"][number],
): Sheet {
  const { sheet, headers, headerRow, rows } = table;
  const at = headers.findIndex((_, index) => {
    if (!mayBe(index)) return false;
    const cells = rows.map((row) => (row[index] ?? "").trim()).filter((cell) => cell !== "");
    const parted = cells.filter((cell) => partsIn(cell) !== null);
    return parted.length >= fewest && parted.length >= fewestShare * cells.length;
  });
  if (at < 0) return sheet;
  const example = rows.map((row) => row[at] ?? "").find((cell) => partsIn(cell) !== null)!;
  const width = Math.max(headers.length, ...rows.map((row) => row.length));
  const told = tell(sheet.file, headers[at]!, example.trim(), partsIn(example)!);
  return changed(table, told, (cells, row) => {
    const parts = row === headerRow ? { [first]: first, [second]: second } : partsIn(cells[at] ?? "");
    if (parts === null) return cells;
    cells[at] = parts[first]!;
    while (cells.length < width) cells.push("");
    return [...cells, parts[second]!];
  });
}

/** A tab that says what treatments are: a rate for each, nothing that was harvested. */
function keyIn(sheet: Sheet): Table | null {
  const table = tableIn(sheet);
  const isKey =
    table !== null && table.names.includes("rate") && !table.names.some((name) => measured.has(name));
  return isKey ? table : null;
}

const ofTreatments = /^(?:trt|treat(?:ment)?s?|entry|code|variante|prüfglied|traitement|tratamiento)\b/i;

/** The column that both have: of the same name, or called a treatment in both; no variety, which lots have as well. */
function sharedColumn(table: Table, key: Table): { own: number; theirs: number } | null {
  for (const [theirs, header] of key.headers.entries()) {
    const isTreatment = ofTreatments.test(header.trim());
    if (
      header.trim() === "" ||
      (key.names[theirs] !== null && !isTreatment && key.names[theirs] !== "position")
    )
      continue;
    const own = table.headers.findIndex(
      (one) => plainName(one) === plainName(header) || (isTreatment && ofTreatments.test(one.trim())),
    );
    if (own >= 0) return { own, theirs };
  }
  return null;
}

const codeOf = (cell: string | undefined): string => (cell ?? "").trim().toUpperCase();

/** @param place  where the key is, as told to the person */
function joinedSheet(table: Table, key: Table, place: string): Sheet | null {
  const shared = sharedColumn(table, key);
  if (shared === null) return null;
  const { own, theirs } = shared;
  const meanings = new Map(
    key.rows.flatMap((row) => (codeOf(row[theirs]) === "" ? [] : [[codeOf(row[theirs]), row] as const])),
  );
  const codes = table.rows.map((row) => codeOf(row[own])).filter((code) => code !== "");
  const known = codes.filter((code) => meanings.has(code));
  const isUnique = meanings.size === key.rows.filter((row) => codeOf(row[theirs]) !== "").length;
  if (!isUnique || known.length < fewest || known.length < fewestShare * codes.length) return null;
  // A number below `Entry` is no variety where the key says which variety it is.
  const isCode = key.names.some((name, index) => index !== theirs && name === table.names[own]);
  const had = table.names.filter((_, index) => index !== own || !isCode);
  const added = key.headers.flatMap((header, index) => {
    const name = key.names[index];
    return index === theirs || name === null || had.includes(name!) || header.trim() === "" ? [] : [index];
  });
  const width = Math.max(table.headers.length, ...table.rows.map((row) => row.length));
  const told = keyJoined(
    table.sheet.file,
    table.headers[own]!,
    place,
    added.map((index) => key.headers[index]!),
  );
  return changed(table, told, (cells, row) => {
    const meaning = row === table.headerRow ? key.headers : meanings.get(codeOf(cells[own]));
    if (meaning === undefined) return cells;
    // A code says nothing more once it is explained; a position does.
    if (isCode || table.names[own] === null) cells[own] = "";
    while (cells.length < width) cells.push("");
    return [...cells, ...added.map((index) => meaning[index] ?? "")];
  });
}
