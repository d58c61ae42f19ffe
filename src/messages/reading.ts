/**
 * Messages about files that cannot be read, columns that cannot be understood, and rows and values left out.
 *
 * Codes `row-…` name a row that is not used; there is exactly one for each. Codes `value-…` name a value that is left
 * out of a strip that is used.
 */

import { TrialError, type Finding } from "../vocabulary/trial.ts";
import { capitalized, counted, fixed, plainStyle } from "../numbers/written-numbers.ts";
import { finding, type Whereabouts } from "./finding.ts";
import { firstFew } from "./listing.ts";

/** A text from the file, short enough to show. */
export const shown = (text: string): string => {
  const plain = text.slice(0, 1000).replace(/\s+/g, " ").trim();
  return plain.length <= 60 ? plain : `${plain.slice(0, 59)}…`;
};

const quoted = (text: string): string => `"${shown(text)}"`;
const listedOr = (words: readonly string[]): string =>
  words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} or ${words.at(-1)!}`;
const someOf = (headers: readonly string[]): string =>
  headers.length === 0
    ? "none"
    : headers.slice(0, 20).map(quoted).join(", ") +
      (headers.length > 20 ? ` and ${headers.length - 20} more` : "");

// Files

export const noFiles = (): TrialError =>
  new TrialError("no-files", "No file was given. Name at least one file of strips.");

/** @param file its name, or the path it was given by */
export const fileTwice = (file: string): TrialError =>
  new TrialError("file-twice", `${file} is given twice: its strips would count twice. Give it once.`);

export const fileTooLarge = (file: string): TrialError =>
  new TrialError(
    "file-too-large",
    `${file} is too large to be read at once (over 500 MB). Split it into several files.`,
  );

/** One file among others that holds nothing. */
export const emptyPassedOver = (file: string): Finding =>
  finding("doubt", "file-empty", `${file} is empty and was skipped. Should strips have been in it?`, {
    file,
  });

/** `place` is the name of the tab or of the file that says so. */
export const cropNamedOtherwise = (
  file: string,
  place: { kind: "tabs" | "files"; name: string },
  found: string,
  crop: string,
): Finding =>
  finding(
    "doubt",
    "crop-named-otherwise",
    `By the name ${JSON.stringify(place.name)} these are strips of ${found}, but they are read as ${crop}, with its bushel, moisture and usual rates. For ${found} write "crop: ${found}" in the season file, give --crop ${found}, or say it once in columns.yaml: ${place.kind}: {${JSON.stringify(place.name)}: {crop: ${found}}}.`,
    { file, value: place.name },
  );

export const cropTitledOtherwise = (file: string, title: string, found: string, crop: string): Finding =>
  finding(
    "doubt",
    "crop-titled-otherwise",
    `By the title ${quoted(title)} these are strips of ${found}, but they are read as ${crop}, with its bushel, moisture and usual rates. For ${found} write "crop: ${found}" in the season file, or give --crop ${found}.`,
    { file, value: title },
  );

export const fileEmpty = (file: string): TrialError =>
  new TrialError(
    "file-empty",
    `${file} is empty. It needs a line with the names of the columns and a row for each strip.`,
  );

export const binaryFile = (file: string): TrialError =>
  new TrialError(
    "file-binary",
    /\.xls[xmb]?$/i.test(file)
      ? `${file} is named like a workbook, but is not one, or is damaged. Open it in a spreadsheet program, save it as .xlsx or CSV, and give that file.`
      : `${file} is not a text file. Save the table as CSV (comma separated, UTF-8) and give that file.`,
  );

export const spreadsheetAsText = (file: string): TrialError =>
  new TrialError(
    "file-is-spreadsheet",
    `${file} is a workbook or another zip archive, not text. Save the sheet as CSV and give that file.`,
  );

export const oldSpreadsheet = (file: string): TrialError =>
  new TrialError(
    "file-is-spreadsheet",
    `${file} is a workbook of an old kind (.xls) or with a password. Save it as .xlsx without a password, or as CSV, and give that file.`,
  );

/** Files that are no table: what each is called, and what to do with its table. */
const documents = {
  PDF: ["a PDF file", "Copy its table into a spreadsheet and save that as .xlsx or CSV."],
  JSON: [
    "a JSON file",
    "A table is .csv or .xlsx. A result of stripcurve fit goes with --since, and evidence of a farm to stripcurve region.",
  ],
  "web page": ["a web page", "Save its table as CSV, or copy it into a spreadsheet."],
  picture: ["a picture", "Type its numbers into a spreadsheet and save that as .xlsx or CSV."],
  letter: ["a word processor's file", "Copy its table into a spreadsheet and save that as .xlsx or CSV."],
  "open spreadsheet": ["a spreadsheet of another kind", "Open it and save it as .xlsx or CSV."],
  archive: ["a packed archive", "Unpack it, and give the files that are in it."],
} as const;

export type Document = keyof typeof documents;

export const documentAsTable = (file: string, kind: Document): TrialError =>
  new TrialError(
    "file-is-document",
    `${file} is ${documents[kind][0]}, not a table that can be read. ${documents[kind][1]}`,
  );

export const quotesBroken = (file: string, row: number): TrialError =>
  new TrialError(
    "quotes-broken",
    `${file}, row ${row}: a quotation mark is opened and not closed as it should be, so it is not clear where the next rows begin. ` +
      'Delete the mark, or write it twice ("") inside a quoted cell.',
  );

/** @param columns that a row has, and more than any spreadsheet */
export const tableTooWide = (file: string, row: number, columns: number): TrialError =>
  new TrialError(
    "table-too-wide",
    `${file}, row ${row}: there are ${columns} columns, and no spreadsheet has more than 16384. Delete what is beside the table.`,
  );

export const noRows = (file: string): Finding =>
  finding("doubt", "no-rows", "There are names of columns but no rows below them.", { file });

// Columns

export const columnMissing = (
  file: string,
  column: string,
  also: readonly string[],
  headers: readonly string[],
  near: string | null,
  unknown: readonly string[],
  ofTabs = "",
  across: readonly string[] = [],
): TrialError =>
  new TrialError(
    "column-missing",
    `${file}: there is no column ${quoted(column)} (also understood: ${also.join(", ")}). ` +
      `Columns found: ${someOf(headers)}. ${whereNamesStand(column, near, unknown)}${ofTabs === "" ? sameForAll(column) : ` If the names of the tabs give it, say so in columns.yaml: tabs: {${ofTabs}}.`}` +
      (across.length < 2
        ? ""
        : ` If ${across.map(quoted).join(", ")} are each a ${column} with its yields below, say so in columns.yaml: columns: ` +
          `{${across.map((header) => `${JSON.stringify(header)}: ${column}`).join(", ")}}.`),
  );

/** @param row  of its names of columns */
export const tableInPart = (file: string, row: number, column: string): TrialError =>
  new TrialError(
    "table-in-part",
    `${file}, row ${row}: the table that begins here has no column ${quoted(column)}, which another one in this file has. ` +
      `If it sums up strips, delete it, or write "Means" in the row above it. If it holds strips of its own, give it that column.`,
  );

/** @param row  of its names of columns */
export const summaryBelow = (file: string, row: number, title: string): Finding =>
  finding(
    "note",
    "summary-below",
    `The table from here on, below ${quoted(title)}, sums up strips and is not read.`,
    { file, row },
  );

const dimensionWords: Readonly<Record<string, string>> = {
  rate: "rate",
  block: "repetition",
  season: "season",
  variety: "variety",
};

export const treatmentsParted = (
  file: string,
  header: string,
  example: string,
  { variety, rate }: { variety: string; rate: string },
): Finding =>
  finding(
    "note",
    "treatments-parted",
    `Cells of this column name variety and rate together; “${example}” is read as variety ${variety}, rate ${rate}.`,
    { file, column: header },
  );

export const siteYearsParted = (
  file: string,
  header: string,
  example: string,
  { field, season }: { field: string; season: string },
): Finding =>
  finding(
    "note",
    "site-years-parted",
    `Cells of this column name field and season together; “${example}” is read as field ${field}, season ${season}.`,
    { file, column: header },
  );

/** @param key  where it is: `the sheet "Key"` */
export const keyJoined = (file: string, header: string, key: string, columns: readonly string[]): Finding =>
  finding(
    "note",
    "treatments-explained",
    `What each ${header} means is taken from ${key}: ${columns.join(", ")}. No strips are read from it.`,
    { file, column: header },
  );

/** Columns that each hold strips: each row became as many. */
export const columnsAsRows = (
  file: string,
  headers: readonly string[],
  dimensions: readonly string[],
): Finding =>
  finding(
    "note",
    "columns-as-rows",
    `Columns ${someOf(headers)} each name a ${dimensions.map((one) => dimensionWords[one] ?? one).join(" and ")}: each of their cells is read as a strip. If that is wrong, say so for one of them in columns.yaml: columns: {${JSON.stringify(headers[0])}: not used}.`,
    { file },
  );

const examplesOfValues = new Map([
  ["season", "2026"],
  ["variety", "Ostrindel"],
]);

const sameForAll = (column: string): string => {
  const example = examplesOfValues.get(column);
  return example === undefined
    ? ""
    : ` If it is the same for all strips, say so in columns.yaml: values: {${column}: ${example}}.`;
};

const whereNamesStand = (column: string, near: string | null, unknown: readonly string[]): string => {
  const [first] = unknown;
  return near !== null
    ? `Is ${quoted(near)} meant? Then rename it, or say it once in columns.yaml: columns: {${quoted(near)}: ${column}}.`
    : first !== undefined
      ? `If one of ${someOf(unknown)} is meant, rename it, or say it once in columns.yaml: columns: {${quoted(first)}: ${column}}.`
      : "One row has to hold the names of the columns.";
};

export const yieldMissing = (
  file: string,
  headers: readonly string[],
  near: string | null,
  unknown: readonly string[],
): TrialError =>
  new TrialError(
    "column-missing",
    `${file}: there is no column "yield". Without one, each strip needs the weight of its grain ("strip_weight", or "gross_weight" and "tare_weight") and its area ("strip_area", or "strip_length" and "strip_width"). Columns found: ${someOf(headers)}. ${whereNamesStand("yield", near, unknown)} ` +
      "Length and width that are the same for all strips can be given above the table (Strip length: 1200 ft), or in columns.yaml: values: {strip_length: 1200 ft, strip_width: 30 ft}.",
  );

/** A row that is no strip, and the first words in it. */
export interface SkippedRow {
  row: number;
  text: string;
  /** It has all that a strip has. */
  mayBeStrip?: boolean;
}

const skippedRows = (rows: readonly SkippedRow[]): string =>
  rows
    .slice(0, 6)
    .map(({ row, text }) => `${row} (${quoted(text)})`)
    .join(", ") + (rows.length > 6 ? ` and ${rows.length - 6} more` : "");

export const titlesSkipped = (file: string, rows: readonly SkippedRow[]): Finding =>
  finding(
    "note",
    "titles-skipped",
    `${rows.length === 1 ? "Row" : "Rows"} ${skippedRows(rows)} above the table ${rows.length === 1 ? "is a title, not a strip" : "are titles, not strips"}.`,
    { file },
  );

export const codesExplained = (
  file: string,
  column: string,
  row: number,
  codes: readonly (readonly [string, string])[],
): Finding =>
  finding(
    "note",
    "codes-explained",
    `Row ${row} explains ${codes.map(([code, text]) => `"${code}" (${text})`).join(", ")}, and that meaning is used. ` +
      `If it is wrong, write what is meant into the column itself.`,
    { file, column },
  );

/** Columns beside the strips, with an empty one between, that hold means or notes. */
export const columnsBeside = (file: string, headers: readonly string[]): Finding =>
  finding(
    "note",
    "columns-beside",
    `Columns ${someOf(headers)} beside the strips hold no strips, and are not read.`,
    { file },
  );

export const tableBegins = (file: string, row: number): Finding =>
  finding(
    "note",
    "table-begins",
    `Row ${row} names columns again: another table begins there, and its rows are read by those names.`,
    { file },
  );

export const rowsSkipped = (file: string, rows: readonly SkippedRow[]): Finding =>
  finding(
    rows.some(({ mayBeStrip }) => mayBeStrip) ? "doubt" : "note",
    "rows-skipped",
    `${rows.length === 1 ? "Row" : "Rows"} ${skippedRows(rows)} ${rows.length === 1 ? "holds a total or a remark, not a strip" : "hold totals or remarks, not strips"}.`,
    { file },
  );

export const notesSayNotUsed = (file: string, rows: readonly SkippedRow[]): Finding =>
  finding(
    "doubt",
    "notes-say-not-used",
    `By ${rows.length === 1 ? "its note, row" : "their notes, rows"} ${skippedRows(rows)} should not be used, but ${rows.length === 1 ? "is" : "are"}. To leave rows out, add a column exclude with the reason.`,
    { file, column: "note" },
  );

const besideWords = {
  answer: "as answered",
  "name above": "from the title above this table only",
  title: "from what is above the table",
  tab: "from the name of the tab",
  file: "from the name of the file",
} as const;

/** What to do about a value that holds for a whole table. The name of a file is the weakest source. */
const besideRemedy = (
  column: string,
  value: string,
  from: keyof typeof besideWords,
  tab: string | null,
): string =>
  from === "answer"
    ? ""
    : from === "tab"
      ? ` If that is wrong, add the column, or say it in columns.yaml: tabs: {${JSON.stringify(tab ?? "")}: {${column}: …}}.`
      : from === "name above"
        ? ` If that is no ${column}, add the column; if it is spelt otherwise, say so in columns.yaml: names: {${column}: {${JSON.stringify(value)}: …}}.`
        : ` If that is wrong, add the column, or say it in columns.yaml: values: {${column}: …}.`;

export const valueFromBeside = (
  file: string,
  column: string,
  value: string,
  from: keyof typeof besideWords,
  tab: string | null,
): Finding =>
  finding(
    from === "file" || from === "name above" || (from === "tab" && column === "variety") ? "doubt" : "note",
    "value-from-beside",
    `There is no column ${column}: ${quoted(value)} is used for all rows, ${besideWords[from]}.${besideRemedy(column, value, from, tab)}`,
    { file, column },
  );

/** Two values for all rows of a table; only one can be right. */
export const valuesDisagree = (
  file: string,
  column: string,
  used: { text: string; from: keyof typeof besideWords },
  others: readonly { text: string; from: keyof typeof besideWords }[],
  tab: string | null,
): Finding => {
  const place = column === "season" && tab !== null ? `tabs: {${JSON.stringify(tab)}: ` : "values: ";
  return finding(
    "doubt",
    "values-disagree",
    `There are two values for ${column}: ${quoted(used.text)} ${besideWords[used.from]}, which is used, and ${others
      .map(({ text, from }) => `${quoted(text)} ${besideWords[from]}`)
      .join(
        ", ",
      )}. Say once in columns.yaml which is right: ${place}{${column}: ${shown(used.text)}}${place === "values: " ? "" : "}"}.`,
    { file, column },
  );
};

/** An answer for empty cells, for a column without any. */
export const answerWithoutCells = (file: string, column: string, header: string, value: string): Finding =>
  finding(
    "doubt",
    "answer-not-used",
    `Column ${quoted(header)} has a value in every row, so ${quoted(value)}, which you answered for ${column}, is not used. Take the answer out of columns.yaml, or the column: columns: {${JSON.stringify(header)}: not used}.`,
    { file, column },
  );

/** Names below one another, a strip in each column. */
export const tableOnItsSide = (file: string, names: string, row: number, column: string): Finding =>
  finding(
    "note",
    "table-on-its-side",
    `The table is on its side: its names are in column ${names}, and each further column is a strip. Messages speak of these columns as rows: row ${row} is column ${column}.`,
    { file },
  );

/** An answer that fills the cells that a column leaves empty. */
export const emptyCellsFilled = (file: string, column: string, value: string, count: number): Finding =>
  finding(
    "note",
    "empty-cells-filled",
    `${counted(count, "empty cell")} of column ${column} ${count === 1 ? "is" : "are"} filled with ${quoted(value)}, as you answered.`,
    { file, column },
  );

export const columnTwice = (file: string, column: string, first: string, second: string): TrialError =>
  new TrialError(
    "column-twice",
    first.trim().toLowerCase() === second.trim().toLowerCase()
      ? `${file}: two columns are called ${quoted(second)}, and nothing says which is meant. Give one of them another name in the file.`
      : `${file}: two columns mean ${column}: ${quoted(first)} and ${quoted(second)}. Say once in columns.yaml what one of them is: columns: {${quoted(second)}: ${column === "rate" ? "stand} if it counts plants, or {" + quoted(second) + ": " : ""}not used}.`,
  );

/** Of a wet and a dry yield, the dry one counts. `atPct` is null where its header gives no percentage. */
export const yieldTwice = (file: string, used: string, other: string, atPct: number | null): Finding =>
  finding(
    atPct === null ? "doubt" : "note",
    "yield-twice",
    `Two columns give the yield: ${quoted(used)} counts, at ${atPct === null ? "the market's moisture" : `${atPct}% moisture`}, and ${quoted(other)} is not used. If it should be the other way around, say so in columns.yaml: columns: {${quoted(used)}: not used}.`,
    { file, column: other },
  );

/** A line beside the table that gives the moisture of its yields. */
export const yieldsAtTold = (file: string, line: string, pct: number): Finding =>
  finding(
    "note",
    "yields-at-told-moisture",
    `Yields are at ${pct}% moisture already, as ${quoted(line)} says, so they are not adjusted again.`,
    { file, column: "yield" },
  );

export const headerUnitUnknown = (
  file: string,
  column: string,
  header: string,
  unit: string,
  accepted: readonly string[],
): TrialError =>
  new TrialError(
    "unit-unknown",
    `${file}: the unit ${quoted(unit)} of column ${quoted(header)} is not known. Write ${column} with one of ${listedOr(accepted)} in brackets, or say it once in columns.yaml: columns: {${quoted(header)}: ${column} (${accepted[0]!})}.`,
  );

export const columnUnitUnclear = (
  file: string,
  column: string,
  header: string,
  unit: string,
  accepted: readonly string[],
): Finding =>
  finding(
    "stops",
    "column-left-out",
    `Column ${quoted(header)} is left out, because ${quoted(unit)} is not a known unit or scale. Write ${column} with one of ${listedOr(accepted)} in brackets.`,
    { file, column: header },
  );

export const columnIgnored = (file: string, header: string, near: string | null): Finding =>
  finding(
    near === null ? "note" : "doubt",
    "column-ignored",
    `Column ${quoted(header)} has no known name and is not used.${near === null ? "" : ` Rename it to ${quoted(near)} if that is meant.`}`,
    { file, column: header },
  );

export const columnOfHarvest = (file: string, header: string): Finding =>
  finding(
    "note",
    "column-of-harvest",
    `Column ${quoted(header)} says how the strip was made from the monitor's points. It is for you to read; no curve is fitted to it.`,
    { file, column: header },
  );

/** `row` is the first with a value in it. */
export const columnWithoutName = (file: string, row: number, index: number, value: string): Finding =>
  finding(
    "doubt",
    "column-without-name",
    `Column ${index + 1} of the file has values but no name. It is not used. Give it a name if it matters.`,
    { file, row, value: shown(value) },
  );

/** Bare numbers do not show their unit: the person has to say it. */
export const unitAsked = (
  file: string,
  row: number,
  column: string,
  value: string,
  accepted: readonly string[],
  header: string,
): TrialError =>
  new TrialError(
    "unit-unclear",
    `${file}, row ${row}, column ${column}: in what unit is ${quoted(value)}? The header does not say. ` +
      `Write the unit after the column's name, in brackets, or say it once in columns.yaml: columns: {${JSON.stringify(shown(header))}: ${column} (${accepted[0]})}. It can be ${listedOr(accepted)}.`,
  );

/** A number that can be read in two ways by its decimal mark, and nothing shows which is right. */
export const decimalMarkAsked = (
  file: string,
  row: number,
  column: string,
  value: string,
  point: number,
  comma: number,
  mixed: boolean,
): TrialError =>
  new TrialError(
    "number-ambiguous",
    `${file}, row ${row}, column ${column}: is ${quoted(value)} ${point} or ${comma}? ` +
      (mixed
        ? "Both decimal marks occur in this file. "
        : "Nothing else in the file shows its decimal mark. ") +
      "Write the numbers without marks between thousands, or do not give them exactly three decimals.",
  );

// Rows and values

export const rowOut = "The row is left out.";
/** What a row is. */
export type RowKind = "strip" | "lot";
export const valueOut = (kind: RowKind): string => `The value is left out, the ${kind} is used.`;
const numberAdvice = "Write a plain number, such as 1250000 or 54.2, with the unit in the header.";

export const rowValueMissing = (cell: Whereabouts, column: string): Finding =>
  finding(
    "stops",
    "row-value-missing",
    `There is no ${column}. ${rowOut} Fill the cell in if it is known. If empty cells repeat the one above, say so once in columns.yaml: fill_down: [${column}].`,
    cell,
  );

export const rowBesideTrial = (cell: Whereabouts): Finding =>
  finding(
    "stops",
    "row-beside-trial",
    `By its name this is ground beside the trial, and no variety. ${rowOut} If it is a variety, say so once in columns.yaml: names: {variety: {${quoted(cell.value ?? "")}: ${quoted(cell.value ?? "")}}}.`,
    cell,
  );

export const rowYieldMissing = (cell: Whereabouts): Finding =>
  finding(
    "stops",
    "row-value-missing",
    `There is no yield. ${rowOut} If the strip was harvested, enter its yield, or its weight and ground (length and width, or area).`,
    cell,
  );

/** What programs write for no number. */
const ofProgram = /^(?:nan|inf(?:inity)?|undefined|null)$/i;

export const rowNotANumber = (cell: Whereabouts): Finding =>
  finding(
    "stops",
    "row-not-a-number",
    cell.column === "rate" && /^\p{L}[\p{L}\s.-]*\d*$/u.test(cell.value ?? "") && !ofProgram.test(cell.value!)
      ? `This is not a rate. ${rowOut} Say once what it stands for in columns.yaml: names: {rate: {${JSON.stringify(cell.value)}: 1200000}}.`
      : `This is not a number. ${rowOut} ${numberAdvice}`,
    cell,
  );

export const valueNotANumber = (cell: Whereabouts, kind: RowKind): Finding =>
  finding("stops", "value-not-a-number", `This is not a number. ${valueOut(kind)} ${numberAdvice}`, cell);

export const rowSeasonUnclear = (cell: Whereabouts): Finding =>
  finding(
    "stops",
    "row-season-unclear",
    `This is not a season. ${rowOut} Write the year of harvest with four digits, such as 2026${cell.value === null ? "" : `, or say it once in columns.yaml: names: {season: {${JSON.stringify(cell.value)}: 2026}}`}.`,
    cell,
  );

/** A rate given as a share of today's rate, which is not known. */
export const rowTodayUnknown = (cell: Whereabouts, variety: string): Finding =>
  finding(
    "stops",
    "row-today-unknown",
    `This is a share of today's rate, but today's rate of ${quoted(variety)} is not known. ${rowOut} Give rate_now in the lots or in the season file, or --rate-now.`,
    cell,
  );

export const ratesOfToday = (file: string, varieties: readonly string[]): Finding =>
  finding(
    "doubt",
    "rates-of-today",
    `Rates in percent are read as shares of today's rate of ${firstFew(varieties)}. If they are shares of another rate, give each rate in columns.yaml: names: {rate: {"100%": 1300000}}.`,
    { file, column: "rate" },
  );

export const rowUnitUnclear = (cell: Whereabouts, usual: string): Finding =>
  finding(
    "stops",
    "row-unit-unclear",
    `This cannot be in ${usual} like the rest of the column. ${rowOut} Correct it, or give every number in the unit that the header names in brackets.`,
    cell,
  );

/** @param named  whether the header names the unit, as `germination_pct` does */
export const valueUnitUnclear = (cell: Whereabouts, usual: string, kind: RowKind, named: boolean): Finding =>
  finding(
    "stops",
    "value-unit-unclear",
    named
      ? `This number is implausible in ${usual}, the unit in the header. ${valueOut(kind)} Correct the number.`
      : `This number is implausible in ${usual}, and the header names no unit. ${valueOut(kind)} Write the unit after the column's name, in brackets.`,
    cell,
  );

export const rowNotPositive = (cell: Whereabouts): Finding =>
  finding("stops", "row-not-positive", `This has to be more than 0. ${rowOut} Correct the number.`, cell);

export const valueNotPositive = (cell: Whereabouts, kind: RowKind): Finding =>
  finding(
    "stops",
    "value-not-positive",
    `This has to be more than 0. ${valueOut(kind)} Correct the number.`,
    cell,
  );

export const rowNameTooLong = (cell: Whereabouts, longest: number): Finding =>
  finding(
    "stops",
    "row-name-too-long",
    `This is not a name: it has more than ${longest} characters. ${rowOut} Look for a quotation mark that is not closed.`,
    cell,
  );

export const rowGrossBelowTare = (cell: Whereabouts): Finding =>
  finding(
    "stops",
    "row-gross-below-tare",
    `The gross weight is not above the tare weight. ${rowOut} Look at the scale ticket.`,
    cell,
  );

export const rowMoistureImpossible = (cell: Whereabouts): Finding =>
  finding(
    "stops",
    "row-moisture-impossible",
    `Moisture is between 0 and 100%. ${rowOut} Correct it, or empty the cell if the yield is at market moisture.`,
    cell,
  );

/** The cell is that of the variety; `near` is a lot that may be meant. */
export const rowSeedWeightUnknown = (
  cell: Whereabouts,
  missing: readonly string[],
  hasLots: boolean,
  near: string | null,
): Finding =>
  finding(
    "stops",
    "row-seed-weight-unknown",
    `The rate is a weight. Without ${listedOr(missing)} of this variety, it cannot be turned into seeds. ${rowOut} ` +
      (near !== null
        ? `There is a lot of ${quoted(near)}: if that is the variety, spell it the same way, or say it once in columns.yaml: names: {variety: {${quoted(cell.value ?? "")}: ${quoted(near)}}}.`
        : `${hasLots ? "No lot has this name. Add one" : "Give the lots"}, or add columns seeds_per_lb (or tkw_g) and germination_pct.`),
    cell,
  );

/** A germination or purity that cannot be, in a row whose rate is a weight. */
export const rowSeedShareImpossible = (cell: Whereabouts): Finding =>
  finding(
    "stops",
    "row-seed-share-impossible",
    `This has to be above 0 and at most 100%, and the rate, which is a weight, cannot be turned into seeds without it. ${rowOut} Correct the number, or empty the cell to use the lot's.`,
    cell,
  );

/** A rate that is far too small as written and usual in thousands; `told` is that rate. */
export const rowRateInThousands = (cell: Whereabouts, told: string): Finding =>
  finding(
    "stops",
    "row-rate-in-thousands",
    `This is far too few seeds. Thousands? That would be ${told}. ${rowOut} Write the rate in full, or say it once in columns.yaml: thousands: [rate].`,
    cell,
  );

export const rowOtherCrop = (cell: Whereabouts, crop: string): Finding =>
  finding(
    "stops",
    "row-other-crop",
    `This strip is not ${crop}, the crop that is being analyzed. ${rowOut} Ask for the other crop to see it.`,
    cell,
  );

/** A strip in a file or tab whose name says another crop than the files beside it. */
export const rowCropNamedOtherwise = (
  { file, row }: { file: string; row: number },
  place: { kind: "tabs" | "files"; name: string },
  found: string,
  crop: string,
): Finding =>
  finding(
    "stops",
    "row-other-crop",
    `By the name ${JSON.stringify(place.name)} this strip is ${found}, and those beside it are ${crop}. ${rowOut} Give --crop ${found} to see ${found}; if it is ${crop}, say so once in columns.yaml: ${place.kind}: {${JSON.stringify(place.name)}: {crop: ${crop}}}.`,
    { file, row, value: place.name },
  );

export const rowTooLong = (place: Whereabouts, cells: number, columns: number): Finding =>
  finding(
    "stops",
    "row-too-long",
    `The row has ${cells} cells, the header ${columns}. ${rowOut} Look for a decimal comma or a comma in a name; such cells need quotation marks.`,
    place,
  );

export const rowCutOff = (place: Whereabouts, cells: number, columns: number): Finding =>
  finding(
    "stops",
    "row-cut-off",
    `The file ends in the middle of this row (${cells} of ${columns} cells, no line end). ${rowOut} Get the whole file.`,
    place,
  );

export const rowRepeatsHeader = (place: Whereabouts): Finding =>
  finding(
    "stops",
    "row-repeats-header",
    `This row repeats the names of the columns. ${rowOut} Delete it.`,
    place,
  );

export const valueNotADate = (cell: Whereabouts): Finding =>
  finding(
    "stops",
    "value-not-a-date",
    `This is not a date that can be read in one way only. ${valueOut("strip")} Write it as year-month-day, such as 2026-04-28.`,
    cell,
  );

export const valueOffScale = (cell: Whereabouts, scale: string, lowest: number, highest: number): Finding =>
  finding(
    "stops",
    "value-off-scale",
    `The lodging scale is ${scale}, from ${lowest} to ${highest}, and this is not on it. ${valueOut("strip")} If another scale was used, name it in the header, such as lodging (%).`,
    cell,
  );

/** @param kept scores of the same place that are on the scale */
export const lodgingOnOtherScale = (
  file: string,
  place: string,
  scale: string,
  off: number,
  kept: number,
): Finding =>
  finding(
    "stops",
    "lodging-on-other-scale",
    `${capitalized(counted(off, "lodging score"))} of ${shown(place)} ${off === 1 ? "is" : "are"} off the scale ${scale}, so the ${counted(kept, "other")} there ${kept === 1 ? "is" : "are"} probably of another scale, too, and left out. The strips are used. Give these scores a column of their own with its scale in the header, such as lodging (%), or correct those that are wrong.`,
    { file, column: "lodging" },
  );

/** The first ditto mark of a column. */
export const dittoMarks = (cell: Whereabouts, above: string): Finding =>
  finding(
    above === "" ? "doubt" : "note",
    "ditto-marks",
    above === ""
      ? "This repeats the cell above, but that cell is empty."
      : `This repeats the cell above, here ${quoted(above)}. The same goes for the other rows of the column.`,
    cell,
  );

/** Some rows without a block, where others have one. */
export const blocksMissing = (file: string, rows: number): Finding =>
  finding(
    "doubt",
    "blocks-missing",
    `There is no block in ${counted(rows, "row")}, so ${rows === 1 ? "that strip is" : "each of those strips is"} treated as a block of its own. If empty cells repeat the one above, say so once in columns.yaml: fill_down: [block].`,
    { file, column: "block" },
  );

/** A column that says which strips are used, but is empty for some. */
export const leftOutUnclear = (file: string, header: string, rows: number): Finding =>
  finding(
    "doubt",
    "use-unclear",
    `Column ${quoted(header)} is empty in ${rows} of its rows, and those strips are used. Write no where a strip should not be used.`,
    { file, column: header },
  );

/** Numbers that are less certain than plain ones. */
const jotted = {
  range: ["number-is-range", "This is a range, and its middle is used. Write one number if it is known."],
  unsure: [
    "number-unsure",
    "This is marked as not sure, and used as it is. Remove the mark, or empty the cell.",
  ],
  letters: [
    "number-with-letters",
    "The letters after the number are read as marks of a comparison or a footnote, and the number is used.",
  ],
} as const;

export const numberJotted = (cell: Whereabouts, how: keyof typeof jotted): Finding => {
  const [code, message] = jotted[how];
  return finding(how === "letters" ? "note" : "doubt", code, message, cell);
};

export const lodgingWordUnknown = (cell: Whereabouts): Finding =>
  finding(
    "stops",
    "value-not-a-number",
    `This is neither a score nor a known word for lodging. ${valueOut("strip")} Give its score from 0 upright to 9 flat in columns.yaml: lodging_words: {${cell.value ?? "word"}: 4}.`,
    cell,
  );

/** `words` as read: "none 0, leaning 4, sagging 3 as you answered". */
export const lodgingWordsRead = (file: string, words: string): Finding =>
  finding(
    "note",
    "lodging-words",
    `Lodging in words is read as scores from 0 upright to 9 flat: ${words}. Scores that you did not give are common practice, without a source. Give others in columns.yaml: lodging_words.`,
    { file, column: "lodging" },
  );

export const seasonsInWords = (file: string, years: string): Finding =>
  finding(
    "note",
    "season-in-words",
    `Seasons are read as years of harvest: ${years}. If a year is wrong, write it with four digits.`,
    { file, column: "season" },
  );

/** `spacing` as used; assumed where nobody gave it. */
export const countedAlongRow = (
  file: string,
  column: "rate" | "stand",
  spacing: string,
  assumed: boolean,
): Finding =>
  finding(
    assumed ? "doubt" : "note",
    `${column}-along-row`,
    `${column === "stand" ? "Stands" : "Rates"} were counted along the row, and converted to an area with a row spacing of ${spacing}${assumed ? ", which is assumed. Give yours as row_spacing in the season file, above the table, or in columns.yaml: values" : ""}.`,
    { file, column },
  );

export const rowExcluded = (cell: Whereabouts, reason: string, kept: string): Finding =>
  finding(
    "stops",
    "row-excluded",
    `Left out as the file says: ${shown(reason)}.${kept === "" ? "" : ` Recorded: ${kept}.`}`,
    cell,
  );

export const seedWeightsDiffer = (cell: Whereabouts): Finding =>
  finding(
    "doubt",
    "seed-weights-differ",
    "The seeds per weight and the thousand-kernel weight of this row do not agree. Seeds per weight is used. Correct the wrong one.",
    cell,
  );

export const yieldAndWeightDiffer = (cell: Whereabouts, percent: number): Finding =>
  finding(
    "doubt",
    "yield-and-weight-differ",
    `The yield is ${percent}% away from what weight, length and width of the strip give. The yield is used. ` +
      "If it is at market moisture already, say so in the header, such as yield (bu/ac at 13.5%); else correct the wrong number.",
    cell,
  );

// Notes

/** `others` are other spellings of a name, with how many strips have each. */
export const namesInOneSpelling = (
  column: string,
  name: string,
  others: readonly { name: string; strips: number }[],
): Finding => {
  const told = others.map((other) => `${quoted(other.name)} (${counted(other.strips, "strip")})`);
  const [first] = others.map((other) => quoted(other.name));
  return finding(
    "note",
    `one-${column}-spelling`,
    `${firstFew(told, 6)} ${others.length === 1 ? "is" : "are"} read as ${column} ${quoted(name)}: only capitals, spaces, hyphens or marks differ. If it is a ${column} of its own, say so in columns.yaml: names: {${column}: {${first}: ${first}}}.`,
    { column },
  );
};

export const rateFromLot = (varieties: readonly string[]): Finding =>
  finding(
    "note",
    "rate-from-lot",
    `Rates by weight of ${listedOr(varieties.slice(0, 9).map(quoted))}${varieties.length > 9 ? " and others" : ""} were turned into seeds with ` +
      "the seed size or germination of the lots. If the strips were sown with other seed, give its figures in the strips file.",
    { column: "rate" },
  );

export const yieldBroughtToMarket = (file: string, marketPct: number): Finding =>
  finding(
    "note",
    "yield-at-market-moisture",
    `Yields were adjusted from the moisture in column moisture to ${marketPct}%. If they were at market moisture already, say so in the header: yield (bu/ac at ${marketPct}%).`,
    { file, column: "moisture" },
  );

export const bareMetricRates = (file: string): Finding =>
  finding(
    "note",
    "rate-taken-as-seeds",
    "The rates have no unit and are read as viable seeds/m². If they are a weight of seed, write rate (kg/ha).",
    { file, column: "rate" },
  );

export const decodedAs = (file: string, encoding: string): Finding =>
  finding(
    "note",
    "encoding",
    `The file is not UTF-8 and was read as ${encoding}. Check whether names with accents are right.`,
    { file },
  );

/**
 * Thousand-kernel weights that are all usual test weights, while the lot of the variety gives another seed size.
 *
 * @param grams  least and most of the column, as written
 */
export const testWeightsAsKernels = (
  file: string,
  header: string,
  [least, most]: readonly [number, number],
  unit: string,
  variety: string,
  gramsOfLot: number,
): Finding =>
  finding(
    "doubt",
    "test-weight-as-kernels",
    `Column ${quoted(header)} holds ${fixed(least, 1, plainStyle)} to ${fixed(most, 1, plainStyle)} and is read as grams per thousand kernels. But these could be test weights in ${unit}, and the lot of ${variety} has ${fixed(gramsOfLot, 1, plainStyle)} g. If they are test weights, rates by weight come out wrong: say so once in columns.yaml: columns: {${JSON.stringify(header)}: test_weight (${unit})}.`,
    { file, column: "tkw_g", value: `${header} (${unit})` },
  );

/** Yields or rates that are all far from usual in their unit, and all usual in another. */
export const numbersInAnotherUnit = (
  { file, header, column, unit }: { file: string; header: string; column: "rate" | "yield"; unit: string },
  count: number,
  [least, most]: readonly [number, number],
  other: string,
  tooLittle: boolean,
): Finding =>
  finding(
    "doubt",
    `${column}s-in-another-unit`,
    `All ${count} ${column}s are between ${shortNumber(least)} and ${shortNumber(most)} ${unit}, ${tooLittle ? "far too little" : "far too much"}: ${other}? If so, say so once in columns.yaml: columns: {${quoted(header)}: ${column} (${other})}.`,
    { file, column, value: `${header} (${other})` },
  );

const shortNumber = (value: number): string => String(Number(value.toPrecision(4)));
