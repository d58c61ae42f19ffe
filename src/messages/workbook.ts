/** Messages about workbooks. */
import { TrialError, type Finding } from "../vocabulary/trial.ts";
import { finding } from "./finding.ts";
import { shown } from "./reading.ts";

const quotedNames = (names: readonly string[]): string =>
  names
    .slice(0, 20)
    .map((name) => `"${shown(name)}"`)
    .join(", ") + (names.length > 20 ? ` and ${names.length - 20} more` : "");

export const workbookTooLarge = (file: string): TrialError =>
  new TrialError(
    "workbook-too-large",
    `${file} unpacks to more than 50 MB. Save the sheet with the strips as CSV and give that file.`,
  );

/** @param part  path in the archive of the part that would unpack too large */
export const workbookSwells = (file: string, part: string): TrialError =>
  new TrialError(
    "workbook-too-large",
    `${file}: its part ${part} would unpack to more than a hundred times its size. No spreadsheet program packs a table like that, so it was not unpacked. Save the sheet with the strips as CSV and give that file.`,
  );

export const workbookTextTooLong = (file: string): TrialError =>
  new TrialError(
    "workbook-too-large",
    `${file}: a cell holds more than 4 million characters, which no spreadsheet program allows. Save the sheet with the strips as CSV and give that file.`,
  );

export const workbookTooWide = (file: string, cell: string): TrialError =>
  new TrialError(
    "workbook-too-wide",
    `${file}: the sheet reaches to cell ${cell}. Delete what is far from the table, or save the sheet as CSV.`,
  );

export const workbookBroken = (file: string): TrialError =>
  new TrialError(
    "workbook-broken",
    `${file} cannot be read as a workbook. Open it in a spreadsheet program and save it as .xlsx without a password, or as CSV.`,
  );

export const workbookEmpty = (file: string): TrialError =>
  new TrialError("workbook-empty", `${file} has no sheet with anything in it.`);

export const sheetAsked = (file: string, names: readonly string[]): TrialError =>
  new TrialError(
    "sheet-asked",
    `${file} has several sheets: ${quotedNames(names)}. None of them looks like strips. Name each one that holds strips: --sheet ${JSON.stringify(names[0])}.`,
  );

export const sheetUnknown = (
  file: string,
  sheet: string,
  names: readonly string[],
  near: string | null,
): TrialError =>
  new TrialError(
    "sheet-unknown",
    `${file} has no sheet "${shown(sheet)}". ${near === null ? "" : `Did you mean "${shown(near)}"? `}Its sheets: ${quotedNames(names)}.`,
  );

/** Tabs without a table of strips or lots. */
export const sheetsNotRead = (file: string, names: readonly string[]): Finding =>
  finding(
    "note",
    "sheets-not-read",
    `${names.length === 1 ? "The sheet" : "The sheets"} ${quotedNames(names)} ${names.length === 1 ? "holds" : "hold"} no table of strips or lots, and ${names.length === 1 ? "is" : "are"} not read.`,
    { file },
  );

/** Tabs of means beside tabs of strips. */
export const meansNotRead = (file: string, names: readonly string[]): Finding =>
  finding(
    "doubt",
    "means-not-read",
    `${names.length === 1 ? "The sheet" : "The sheets"} ${quotedNames(names)} ${names.length === 1 ? "seems" : "seem"} to hold means of the strips in other sheets, and ${names.length === 1 ? "is" : "are"} not read. ` +
      `If ${names.length === 1 ? "it holds" : "they hold"} strips of their own, say so in columns.yaml: tabs: {${JSON.stringify(names[0])}: strips}.`,
    { file },
  );

/** What some of many are called, with how many more there are. */
const firstOf = (names: readonly (number | string)[]): string =>
  names.length > 6 ? `${names.slice(0, 6).join(", ")} and ${names.length - 6} more` : names.join(", ");

export const rowsHidden = (file: string, rows: readonly number[]): Finding =>
  finding(
    "doubt",
    "rows-hidden",
    `${rows.length === 1 ? "Row" : "Rows"} ${firstOf(rows)} of the sheet ${rows.length === 1 ? "is" : "are"} hidden or filtered away, but read all the same. To leave rows out, add a column exclude.`,
    { file },
  );

export const rowsStruck = (file: string, rows: readonly number[]): Finding =>
  finding(
    "doubt",
    "rows-struck",
    `${rows.length === 1 ? "Row" : "Rows"} ${firstOf(rows)} of the sheet ${rows.length === 1 ? "is" : "are"} struck through, but read all the same. To leave rows out, add a column exclude.`,
    { file },
  );

export const cellComments = (file: string, comments: readonly { at: string; text: string }[]): Finding =>
  finding(
    "doubt",
    "cell-comments",
    `Comments on cells are not used: ${firstOf(comments.map(({ at, text }) => `${at} "${shown(text)}"`))}. If one says that a strip should not count, leave it out with a column exclude.`,
    { file },
  );

/** @param text  a cell that says what colours mean */
export const coloursNotRead = (file: string, text: string): Finding =>
  finding(
    "doubt",
    "colours-not-read",
    `"${shown(text)}" mentions colours, but colours are not read. If they mark strips that should not count, leave those out with a column exclude.`,
    { file },
  );

export const sheetHidden = (file: string, tab: string): Finding =>
  finding(
    "doubt",
    "sheet-hidden",
    `The sheet "${shown(tab)}" is hidden, but read all the same. If its strips should not count, say so in columns.yaml: tabs: {${JSON.stringify(tab)}: not read}.`,
    { file },
  );

export const columnsHidden = (file: string, columns: readonly string[]): Finding =>
  finding(
    "note",
    "columns-hidden",
    `${columns.length === 1 ? "Column" : "Columns"} ${firstOf(columns)} of the sheet ${columns.length === 1 ? "is" : "are"} hidden, but read all the same.`,
    { file },
  );

export const formulasWithoutResult = (file: string, cells: readonly string[]): Finding =>
  finding(
    "doubt",
    "formulas-without-result",
    `${cells.length === 1 ? "Cell" : "Cells"} ${firstOf(cells)} ${cells.length === 1 ? "holds a formula whose result is" : "hold formulas whose results are"} not in the file, so ${cells.length === 1 ? "it counts" : "they count"} as empty. Open the file in a spreadsheet program, save it there, and read it again.`,
    { file },
  );

/** A sheet is named, and no file that was given has sheets. */
export const sheetOfText = (file: string, sheet: string): TrialError =>
  new TrialError(
    "sheet-of-text",
    `${file} is not a workbook and has no sheets, but the sheet "${shown(sheet)}" was asked for. Leave the sheet out, or give the workbook (.xlsx).`,
  );

/** Which headers show what a table is. */
const byHeaders = (headers: readonly string[]): string =>
  headers
    .slice(0, 3)
    .map((header) => `"${shown(header)}"`)
    .join(", ");

export const lotsAsStrips = (file: string, headers: readonly string[]): TrialError =>
  new TrialError(
    "lots-as-strips",
    `${file} is a table of seed lots (${byHeaders(headers)}), not of strips. Give it as lots: --lots ${JSON.stringify(file)}.`,
  );

export const stripsAsLots = (file: string, headers: readonly string[]): TrialError =>
  new TrialError(
    "strips-as-lots",
    `${file} is given as seed lots, but it is a table of strips (${byHeaders(headers)}). Give it as strips, without --lots; lots have variety, rate_now, seeds_per_lb, germination_pct and seed_price.`,
  );

/** A text that somebody gave the ending of a workbook. */
export const textNamedWorkbook = (file: string): Finding =>
  finding(
    "note",
    "text-named-workbook",
    "By its name this is a workbook (.xlsx), but it is text, and was read as text. Name it .csv.",
    { file },
  );
