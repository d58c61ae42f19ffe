/** A file as a table: its header understood, its rows one by one. */
import {
  columnIgnored,
  columnOfHarvest,
  columnMissing,
  columnsAsRows,
  columnsBeside,
  columnWithoutName,
  decodedAs,
  documentAsTable,
  emptyCellsFilled,
  fileEmpty,
  noRows,
  rowCutOff,
  rowRepeatsHeader,
  rowsSkipped,
  rowTooLong,
  tableBegins,
  tableTooWide,
  codesExplained,
  titlesSkipped,
  answerWithoutCells,
  valueFromBeside,
  valuesDisagree,
  yieldsAtTold,
  type Document,
  type SkippedRow,
} from "../../messages/reading.ts";
import { harvestOnlyColumns } from "../../vocabulary/harvest.ts";
import { sheetOnlyColumns } from "../../vocabulary/strip-plan.ts";
import type { Finding } from "../../vocabulary/trial.ts";
import {
  answerFor,
  answersWith,
  notUsedAnswer,
  QuestionError,
  type Answers,
  type Choice,
  type PlaceAnswer,
  type Question,
} from "../answers/answers.ts";
import type { Column } from "../strips/columns.ts";
import { withPlainNumbers } from "../units/numbers.ts";
import { splitAmount } from "../units/split-amount.ts";
import { asAnswered, nameAnswered } from "./answered-headers.ts";
import {
  answeredValue,
  fileBaseName,
  isOwnName,
  nameInTitle,
  valuesBeside,
  yearsIn,
  type Above,
} from "./beside-table.ts";
import { findDelimiter, forEachRow, isBlank, plainLines, type RowStart } from "./csv-rows.ts";
import { decodeText } from "./decode.ts";
import { areCodes, codeIn, codesAbove, type CodesAbove } from "./codes-above.ts";
import { detached } from "./detached.ts";
import { splitHeader, type FileColumn, type HeaderReader } from "./headers.ts";
import type { InputFile } from "./input-file.ts";
import { joinHeaderRows } from "./header-rows.ts";
import { kept } from "./kept.ts";
import { filledCells, locateTables, type HeaderKind, type TablePlace, type TitleRow } from "./locate.ts";
import { withoutInvisible } from "./invisible.ts";
import { moistureOfYields, saysWet } from "./moisture-basis.ts";
import type { Sheet } from "./sheet.ts";
import { nameAndMeasure, repetitionBehind, spreadOf, spreadSheet } from "./spread-columns.ts";

export interface TableFile<Name extends string> {
  rows: Sheet;
  headers: string[];
  headerRow: number;
  columns: FileColumn<Name>[];
  /** Places of columns without a name that have had no value so far. */
  nameless: number[];
  /** What tells rows that are no strips: places of the columns that every strip has, variety first, and of the repetition. */
  asides: { own: number; key: number[]; group: number | null; isSummary: Map<string, boolean> };
  /** Rows between the strips that are none: totals and remarks. */
  skipped: SkippedRow[];
  findings: Finding[];
}

/**
 * The sheet of a text file.
 *
 * @param known  how many headers of a row are known: tells the delimiter
 * @throws TrialError `file-is-document`; as `decodeText` does
 */
export function textSheet(file: InputFile, known: (headers: string[]) => number): Sheet {
  const { text: decoded, encoding } = decodeText(file.bytes, file.name);
  const document = documentOf(decoded);
  if (document !== null) throw documentAsTable(file.name, document);
  const { text, delimiter: told } = plainLines(withPlainNumbers(withoutInvisible(decoded)));
  const delimiter = told ?? findDelimiter(text, known);
  const starts: RowStart[] = [];
  return {
    file: file.name,
    source: file.name,
    tab: null,
    cellsFixed: false,
    merged: [],
    usualMark: delimiter === "," ? "point" : null,
    // Without quotation marks no cell between commas can hold a decimal comma.
    certainMark: delimiter === "," && !text.includes('"') ? "point" : null,
    endsWhole: text.endsWith("\n"),
    findings: encoding === "windows-1252" ? [decodedAs(file.name, "Windows-1252")] : [],
    forEach: (take, after = 0) =>
      forEachRow(
        ...([file.name, text, delimiter] as const),
        (cells, row) => {
          if (cells.length > mostColumns) throw tableTooWide(file.name, row, cells.length);
          return take(cells, row);
        },
        ...([starts, after] as const),
      ),
  };
}

/** Columns of a spreadsheet (common practice of the programs); looking for names in more takes long. */
const mostColumns = 16_384;

/** What a text is by its beginning, where it is no table. */
function documentOf(text: string): Document | null {
  const start = text.slice(0, 200).trimStart();
  if (/^(?:\{\s*["}]|\[\s*[[{"])/.test(start)) return "JSON";
  return /^<(?:!doctype|html|\?xml)/i.test(start) ? "web page" : null;
}

/** Beyond so many unknown headers a file is not misspelt but of another kind, and guessing takes long. */
const mostGuesses = 100;

/** A kind of table: how its header is known, and what it cannot do without. */
export interface TableKind<Name extends string> extends HeaderKind {
  reader: HeaderReader<Name>;
  needed: readonly Column<Name>[];
  /** Columns whose unit has to be known, or the file is refused. */
  mustUnderstand: ReadonlySet<string>;
  /** What the title above each of several tables names: the first of these columns that the tables do not have. */
  titleNames: readonly Name[];
  /** Whether a row may stand for several: columns with a rate, a repetition or the like in their names. */
  spreads: boolean;
  /** Whether columns that stand apart from others of the same names make a table of their own, with those they share. */
  isBlock(own: ReadonlySet<string>, all: ReadonlySet<string>): boolean;
}

/**
 * The tables of a sheet with their headers read: several where one follows the other, or stands beside it.
 *
 * @throws TrialError `file-empty`, `column-missing`, and as `HeaderReader.read` does
 */
export function readTables<Name extends string>(
  sheet: Sheet,
  kind: TableKind<Name>,
  answers: Answers,
): TableFile<Name>[] {
  const places = locateTables(sheet, asAnswered(kind, answers));
  if (places.length === 0) throw fileEmpty(sheet.file);
  const parts = places.flatMap((given) =>
    spreadBlocks(sheet, joinHeaderRows(sheet, given, kind.reader, answers), kind, answers),
  );
  const located = parts.map((part) => {
    const spread = kind.spreads ? spreadOf(part.place, kind.reader, answers) : null;
    const place = spread === null ? part.place : { ...part.place, headers: spread.headers };
    return { sheet: part.sheet, place, spread, blocks: blocksOf(place, kind, answers) };
  });
  const names = namesAbove(located, kind, answers);
  const below = places.at(-1)!.below ?? [];
  return located.flatMap(({ sheet: own, place, spread, blocks }, index) => {
    const before = parts.slice(0, index).map((part) => part.place.titles);
    const isBeside = located[index - 1]?.place.headerRow === place.headerRow;
    const rows = spread === null ? own : spreadSheet(own, spread);
    return blocks.map(({ columns, titles, beside = [] }, block) => {
      const text = names?.names.get(`${index} ${block}`);
      const named = text === undefined ? null : { column: names!.column, text };
      const above: Above = { titles, before: before.toReversed(), named };
      const view = viewOf(rows, place, above, columns, block, kind.reader, answers);
      const table = withMoistureTold(readHeader(view, kind, answers), [...titles, ...below]);
      if (index === 0 && block === 0) table.findings.unshift(...sheet.findings);
      if (index > 0 && block === 0 && !isBeside)
        table.findings.push(tableBegins(sheet.file, place.dataAfter));
      if (block === 0 && spread !== null && !isBeside)
        table.findings.push(columnsAsRows(sheet.file, spread.told, spread.dimensions));
      if (beside.length > 0) table.findings.push(columnsBeside(sheet.file, beside));
      if (block === 0 && place.titles.length > 0 && !isBeside)
        table.findings.push(titlesSkipped(sheet.file, place.titles.map(titleTold)));
      return table;
    });
  });
}

/** The table with the moisture that a line above or below it says its yields are at; as it is where the header says one. */
function withMoistureTold<Name extends string>(
  table: TableFile<Name>,
  lines: readonly TitleRow[],
): TableFile<Name> {
  const at = table.columns.findIndex(({ column }) => column.name === "yield");
  const grain = table.columns[at];
  if (grain === undefined || grain.atMoisturePct !== null || saysWet(grain.header)) return table;
  const told = lines
    .flatMap(({ cells }) => cells.map(({ text }) => ({ text, pct: moistureOfYields(text) })))
    .find(({ pct }) => pct !== null);
  if (told === undefined) return table;
  const columns = table.columns.with(at, { ...grain, atMoisturePct: told.pct });
  return {
    ...table,
    columns,
    findings: [...table.findings, yieldsAtTold(table.rows.file, told.text, told.pct!)],
  };
}

/** A table's columns among those of its header, null for all; and what stands right above these alone. */
interface Block {
  columns: number[] | null;
  title: string | null;
  /** What stands above it, without what stands above the others alone. */
  titles: readonly TitleRow[];
  /** Headers of columns beside it that hold no strips. */
  beside?: string[];
}

/** What the names above several tables say: a column that none of them has, and its value by the places of table and block. */
interface NamesAbove {
  column: string;
  names: ReadonlyMap<string, string>;
}

/** What the name above each table says, of the first column that it may name; null where they say nothing. */
function namesAbove<Name extends string>(
  located: readonly Located[],
  kind: TableKind<Name>,
  answers: Answers,
): NamesAbove | null {
  for (const column of kind.titleNames) {
    const names = namesOf(column, located, kind.reader, answers);
    if (names !== null) return { column, names };
  }
  return null;
}

/** Names of one column by the places of table and block; null unless there are several tables and each has one of its own. */
function namesOf<Name extends string>(
  column: Name,
  located: readonly Located[],
  reader: HeaderReader<Name>,
  answers: Answers,
): ReadonlyMap<string, string> | null {
  const names = new Map<string, string>();
  let tables = 0;
  let withYear = 0;
  let withRepetition = 0;
  for (const [index, { place, blocks }] of located.entries()) {
    for (const [block, { columns, title }] of blocks.entries()) {
      tables++;
      const own = columns?.map((at) => place.headers[at] ?? "") ?? place.headers;
      if (own.some((header) => nameAnswered(header, reader, answers) === column)) continue;
      const alone = place.titles.flatMap(({ cells }) => (cells.length === 1 ? [cells[0]!.text] : []));
      const candidates = title === null ? (columns === null ? alone.toReversed() : []) : [title];
      const name = candidates.flatMap((text) => nameInTitle(text, column, reader) ?? [])[0];
      if (name === undefined) return null;
      if (candidates.some((text) => text !== name && yearsIn(text).length === 1)) withYear++;
      if (candidates.some((text) => repetitionBehind(text).repetition !== null)) withRepetition++;
      names.set(`${index} ${block}`, name);
    }
  }
  const times = new Map<string, number>();
  for (const name of names.values()) times.set(name, (times.get(name) ?? 0) + 1);
  // Beside the season of each table a name may come more often than another.
  const isOfEach = new Set(times.values()).size === 1 || withYear === tables;
  const isOfAll = column === "field" && withRepetition === tables;
  return tables > 1 && (times.size > 1 || isOfAll) && isOfEach ? names : null;
}

/** A table where it was found, with those side by side in it. */
interface Located {
  place: TablePlace;
  blocks: readonly Block[];
}

const titleTold = ({ row, cells }: TitleRow): SkippedRow => ({ row, text: cells[0]!.text });

/** Columns of one table, its rows, and the values it has from elsewhere, as cells behind its own. */
interface TableView {
  rows: Sheet;
  headers: string[];
  /** How many of the headers are the table's own. */
  own: number;
  headerRow: number;
  /** Titles that may name what its columns do not. */
  titles: string[];
  findings: Finding[];
}

function viewOf<Name extends string>(
  sheet: Sheet,
  place: TablePlace,
  above: Above,
  columns: readonly number[] | null,
  block: number,
  reader: HeaderReader<Name>,
  answers: Answers,
): TableView {
  const own = (columns ?? place.headers.map((_, index) => index)).map((index) => place.headers[index] ?? "");
  const has = new Set(own.map((header) => nameAnswered(header, reader, answers) ?? ""));
  const beside = valuesBeside(sheet, above, reader, has, answers);
  const values = beside.map(({ text }) => splitValue(text));
  const headers = [
    ...own,
    ...beside.map(({ column }, index) =>
      values[index]!.unit === "" ? column : `${column} (${values[index]!.unit})`,
    ),
  ].map(detached);
  const file = block === 0 ? sheet.file : `${sheet.file} (block ${block + 1})`;
  const fill = own.flatMap((header, index) => {
    const name = nameAnswered(header, reader, answers);
    return name !== null && answers.fillDown.includes(name) ? [index] : [];
  });
  const given = own.flatMap((header, index) => {
    const name = nameAnswered(header, reader, answers);
    const text = name === null ? undefined : answeredValue(sheet, answers, name, reader);
    return name === null || text === undefined ? [] : [{ index, name, text }];
  });
  const names = own.map((header) => nameAnswered(header, reader, answers) ?? reader.looseNameOf(header));
  const coded = codedColumns(sheet, place, above, names, columns);
  const changes = {
    columns,
    own: own.length,
    fill,
    given,
    coded,
    values: values.map(({ number }) => number),
  };
  return {
    rows: { ...sheet, file, forEach: rowsAsSeen(sheet, place, changes) },
    headers,
    own: own.length,
    headerRow: place.headerRow,
    titles: place.titles.flatMap(({ cells }) => (cells.length === 1 ? [cells[0]!.text] : [])).toReversed(),
    findings: [
      ...beside.map(({ column, text, from }) => valueFromBeside(file, column, text, from, sheet.tab)),
      ...beside.flatMap(({ column, text, from, others }) =>
        others.length === 0 ? [] : [valuesDisagree(file, column, { text, from }, others, sheet.tab)],
      ),
      ...filledInFindings(sheet, place, file, columns, given, own),
      ...coded.map(({ at, codes }) => codesExplained(file, own[at]!, codes.row, [...codes.meanings])),
    ],
  };
}

/** What is done to the rows of a table, by the places of its own columns. */
interface RowChanges {
  /** Columns of the sheet that are the table's own; null for all. */
  columns: readonly number[] | null;
  own: number;
  /** Empty cells take what stands above. */
  fill: readonly number[];
  /** Empty cells take what was answered. */
  given: readonly { index: number; text: string }[];
  coded: readonly { at: number; codes: CodesAbove }[];
  /** Put behind the own cells. */
  values: readonly string[];
}

function rowsAsSeen(sheet: Sheet, place: TablePlace, changes: RowChanges): Sheet["forEach"] {
  const { columns, fill, given, coded, values } = changes;
  const plain = columns === null && [fill, given, coded, values].every((one) => one.length === 0);
  return (take, after = 0) => {
    const above = fill.map(() => "");
    sheet.forEach(
      (cells, row) => {
        if (row > place.lastRow) return false;
        if (plain) return take(cells, row);
        const picked = columns === null ? [...cells] : columns.map((index) => cells[index] ?? "");
        if (isBlank(picked)) picked.fill("");
        else complete(picked, changes, above);
        return take(picked, row);
      },
      Math.max(after, place.dataAfter),
    );
  };
}

/** @param above  what stands above the cells that are filled; it is kept for the next row */
function complete(picked: string[], { own, fill, given, coded, values }: RowChanges, above: string[]): void {
  const isEmpty = (index: number): boolean => (picked[index] ?? "").trim() === "";
  if (mayBeFilled(picked)) {
    fill.forEach((index, at) => {
      if (isEmpty(index)) picked[index] = above[at]!;
      else above[at] = picked[index]!;
    });
    for (const { index, text } of given) if (isEmpty(index)) picked[index] = text;
  }
  for (const { at, codes } of coded)
    picked[at] = codes.meanings.get(codeIn(picked[at] ?? "")) ?? picked[at] ?? "";
  if (values.length === 0) return;
  while (picked.length < own) picked.push("");
  if (isBlank(picked.slice(own))) picked.length = own;
  if (picked.length === own) picked.push(...values);
}

/** Columns whose cells are codes that the titles explain, by their places among the table's own. */
function codedColumns(
  sheet: Sheet,
  place: TablePlace,
  above: Above,
  names: readonly (string | null)[],
  columns: readonly number[] | null,
): { at: number; codes: CodesAbove }[] {
  const titles = [...above.before.toReversed().flat(), ...above.titles];
  const legend = legendBelow(sheet, place);
  return (["rate", "variety"] as const).flatMap((name) => {
    const at = names.indexOf(name);
    const codes = at < 0 ? null : codesAbove([...titles, ...legend], name);
    if (codes === null) return [];
    const cells = new Set<string>();
    sheet.forEach((row, number) => {
      if (number > place.lastRow || cells.size > mostCodes) return false;
      const code = codeIn(row[columns?.[at] ?? at] ?? "");
      if (code !== "" && row.filter((cell) => cell.trim() !== "").length > 1 && !isSummaryText(code))
        cells.add(code);
      return;
    }, place.dataAfter);
    return areCodes(cells, codes, name) ? [{ at, codes }] : [];
  });
}
/** Rows below the strips that may say what codes in them mean; longer tables have none. */
function legendBelow(sheet: Sheet, place: TablePlace): TitleRow[] {
  const legend: TitleRow[] = [];
  sheet.forEach((cells, row) => {
    if (row > place.dataAfter + longestCoded) {
      legend.length = 0;
      return false;
    }
    const filled = filledCells(cells);
    if (filled.length > 0 && filled.every(({ text }) => text.includes("=")))
      legend.push({ row, cells: filled });
    return;
  }, place.dataAfter);
  return legend;
}
const longestCoded = 2_000;

/** A column with more different cells holds no codes. */
const mostCodes = 200;

/** Totals and remarks stay as they are. */
const mayBeFilled = (cells: readonly string[]): boolean => {
  const filled = filledCells(cells);
  return filled.length > 1 && !filled.slice(0, 3).some(({ text }) => isSummaryText(text));
};

/** Says of columns with empty cells that an answer fills them. */
function filledInFindings(
  sheet: Sheet,
  place: TablePlace,
  file: string,
  columns: readonly number[] | null,
  given: readonly { index: number; name: string; text: string }[],
  headers: readonly string[],
): Finding[] {
  if (given.length === 0) return [];
  const counts = given.map(() => 0);
  const said = given.map(() => false);
  sheet.forEach((cells, row) => {
    if (row > place.lastRow) return false;
    const picked = columns === null ? cells : columns.map((index) => cells[index] ?? "");
    if (mayBeFilled(picked))
      given.forEach(({ index, text }, at) => {
        const own = (picked[index] ?? "").trim();
        if (own === "") counts[at]!++;
        else if (own !== text.trim()) said[at] = true;
      });
    return;
  }, place.dataAfter);
  return given.flatMap(({ name, text, index }, at) => {
    if (counts[at]! > 0) return [emptyCellsFilled(file, name, text, counts[at]!)];
    return said[at] === true ? [answerWithoutCells(file, name, headers[index]!, text)] : [];
  });
}

/** `1200 ft` → number and unit, for the column's cell and its header; a name or a year has no unit. */
function splitValue(text: string): { number: string; unit: string } {
  const parts = splitAmount(text);
  return parts === null ||
    !/^[\p{L}%/"²⁻\d\s.]*$/u.test(parts.unit) ||
    parts.currency !== "" ||
    parts.unit === ""
    ? { number: text, unit: "" }
    : { number: parts.number, unit: parts.unit };
}

/** Tables side by side: places of the columns of each, with the title above them; one of all where they are one table. */
function blocksOf<Name extends string>(
  place: TablePlace,
  { reader, isBlock, spreads, titleNames }: TableKind<Name>,
  answers: Answers,
): Block[] {
  const { headers, titles } = place;
  const all: Block[] = [{ columns: null, title: null, titles }];
  const names = headers.map((header) => nameAnswered(header, reader, answers));
  const first = names.findIndex((name, index) => name !== null && names.indexOf(name, index + 1) !== -1);
  if (first === -1) return all;
  const starts = names.flatMap((name, index) => (name === names[first] ? [index] : []));
  const shared = headers.flatMap((_, index) => (index < first ? [index] : []));
  const titleOf = (start: number, end: number): string | null => {
    const [first] = titleNames;
    if (first === undefined) return null;
    for (const { cells } of titles.toReversed()) {
      const own = cells.filter(({ index }) => index >= start && index < end);
      const name =
        cells.length >= starts.length && own.length === 1 ? nameInTitle(own[0]!.text, first, reader) : null;
      if (name !== null) return own[0]!.text;
    }
    return null;
  };
  const ends = starts.map((_, block) => starts[block + 1] ?? headers.length);
  const titlesOf = (start: number, end: number): TitleRow[] =>
    titles.map(({ row, cells }) => {
      const isOfEach = starts.every(
        (from, block) => cells.filter(({ index }) => index >= from && index < ends[block]!).length === 1,
      );
      return { row, cells: isOfEach ? cells.filter(({ index }) => index >= start && index < end) : cells };
    });
  const blocks = starts.map((start, block) => {
    const end = ends[block]!;
    const columns = headers.flatMap((_, index) => (index >= start && index < end ? [index] : []));
    return { columns, title: titleOf(start, end), titles: titlesOf(start, end) };
  });
  const namesAt = (indices: readonly number[]): string[] =>
    indices.map((index) => names[index] ?? reader.looseNameOf(headers[index]!) ?? "");
  const isWhole = ({ columns, title }: (typeof blocks)[number]): boolean => {
    const own = new Set(namesAt(columns));
    const told = title === null ? [] : titleNames.slice(0, 1);
    // Yields across a block, such as below rep 1, rep 2, have no name of their own.
    const cells = columns.map((index) => headers[index]!);
    const across =
      spreads && spreadOf({ ...place, headers: cells }, reader, answers) !== null ? ["yield"] : [];
    const had = new Set([...own, ...namesAt(shared), ...told, ...across]);
    return own.size > 0 && isBlock(new Set([...own, ...across]), had);
  };
  const whole = blocks.filter(isWhole);
  // Means or notes in columns of their own beside the strips, with an empty one between.
  const isApart = whole.length === 1 && first === 0 && headers[starts[1]! - 1]!.trim() === "";
  const others = blocks.filter((block) => !whole.includes(block)).flatMap(({ columns }) => columns);
  const besides = isApart ? { beside: others.map((at) => headers[at]!.trim()).filter(Boolean) } : {};
  return whole.length === blocks.length || isApart
    ? whole.map((block) => ({ ...block, columns: [...shared, ...block.columns], ...besides }))
    : all;
}

/** Tables side by side whose columns repeat within each, such as a rate and its repetitions: each as a sheet of its own. */
function spreadBlocks<Name extends string>(
  sheet: Sheet,
  place: TablePlace,
  kind: TableKind<Name>,
  answers: Answers,
): { sheet: Sheet; place: TablePlace }[] {
  const whole = [{ sheet, place }];
  if (!kind.spreads) return whole;
  const blocks = blocksOf(place, kind, answers).flatMap(({ columns, titles }) =>
    columns === null ? [] : [{ columns, titles, headers: columns.map((index) => place.headers[index]!) }],
  );
  const isSpread = ({ headers }: { headers: string[] }): boolean =>
    spreadOf({ ...place, headers }, kind.reader, answers) !== null;
  if (blocks.length === 0 || !blocks.every(isSpread)) return whole;
  return blocks.map(({ columns, titles, headers }, block) => ({
    place: { ...place, headers, titles: [...titles] },
    sheet: {
      ...sheet,
      file: block === 0 ? sheet.file : `${sheet.file} (block ${block + 1})`,
      forEach: (take, after) =>
        sheet.forEach(
          (cells, row) =>
            take(
              columns.map((index) => cells[index] ?? ""),
              row,
            ),
          after,
        ),
    },
  }));
}

/** Reads the header of a view and holds it against what the kind of table needs. */
function readHeader<Name extends string>(
  { rows, headers, own, headerRow, titles, findings: besides }: TableView,
  { reader, needed, mustUnderstand, titleNames }: TableKind<Name>,
  answers: Answers,
): TableFile<Name> {
  const { columns, ignored, findings } = reader.read(rows.file, headers, mustUnderstand, answers.columns);
  const taken = new Set<string>(columns.map(({ column }) => column.name));
  for (const { name, also } of needed) {
    if (taken.has(name)) continue;
    const near =
      ignored.slice(0, mostGuesses).find((header) => reader.nearest(header, taken) === name) ?? null;
    const unknown = near === null ? ignored : [near, ...ignored.filter((header) => header !== near)];
    const ofTabs = tabChoices(name, rows);
    const told = tabsTold(ofTabs);
    const ofYears = ofTabs.length === 0 && name === "season" ? yearChoices(titles, rows) : [];
    const mayBeAcross = name === titleNames[0] && taken.has("rate") && !taken.has("yield");
    const mayBeNames = ignored.filter((header) => !isSummaryText(header));
    const across = mayBeAcross ? namesAcross(name, mayBeNames, reader) : [];
    const error = columnMissing(
      ...([rows.file, name, also, headers, near, ignored.slice(0, 20), told] as const),
      across.length > 0 ? mayBeNames : [],
    );
    throw new QuestionError(error, [
      whichHeader(rows.file, name, unknown, name === titleNames[0] ? titles : [], [
        ...across,
        ...ofTabs,
        ...ofYears,
      ]),
    ]);
  }
  const told = new Set(findings.map(({ column }) => column));
  const unknown = ignored.filter((header) => !told.has(header) && !isNotUsed(answers, header));
  return {
    rows,
    headers,
    headerRow,
    columns,
    nameless: headers.flatMap((header, index) => (header.trim() === "" ? [index] : [])),
    asides: {
      own,
      key: columns.filter(({ column }) => column.needed).map(({ index }) => index),
      group: columns.find(({ column }) => column.name === groupName)?.index ?? null,
      isSummary: new Map(),
    },
    skipped: [],
    findings: [
      ...besides,
      ...findings,
      ...unknown.map((header, index) =>
        isOfHarvest(header)
          ? columnOfHarvest(rows.file, header)
          : columnIgnored(
              rows.file,
              header,
              index < mostGuesses && !isOfSheet(header) ? reader.nearest(header, taken) : null,
            ),
      ),
    ],
  };
}

/** Columns that say of a strip how it was made of points. */
const isOfHarvest = (header: string): boolean =>
  (harvestOnlyColumns as readonly string[]).includes(splitHeader(header).name.trim());

/** Our own field sheet's columns are no misspelt others. */
const isOfSheet = (header: string): boolean =>
  (sheetOnlyColumns as readonly string[]).includes(splitHeader(header).name.trim());

/** Headers that may each be a name, with the yields of it below. */
const namesAcross = <Name extends string>(
  column: string,
  headers: readonly string[],
  reader: HeaderReader<Name>,
): Choice[] =>
  headers.length < 2 || headers.length > mostNamesAcross
    ? []
    : [
        {
          text: `none: ${[...new Set(headers.map((header) => nameAndMeasure(header, reader).name))].join(", ")} are each a ${column}, with its yield below`,
          answers: answersWith({ columns: Object.fromEntries(headers.map((header) => [header, column])) }),
        },
      ];
const mostNamesAcross = 30;

/** What the names of tabs may say of a column that their tables do not have: one answer for all of a workbook. */
function tabChoices(column: string, { tab, file, source, together }: Sheet): Choice[] {
  if (tab === null || file === source || !isOwnName(tab)) return [];
  const answerOf = (name: string): PlaceAnswer | null => {
    if (column === "variety")
      return isOwnName(name) ? { holds: "strips", nameIs: "variety", values: {} } : null;
    const short = column === "season" ? /^\D*(?<!\d)(\d\d)(?!\d)\D*$/.exec(name)?.[1] : undefined;
    return short === undefined ? null : { holds: null, nameIs: null, values: { season: `20${short}` } };
  };
  const choice = (tabs: readonly string[]): Choice[] => {
    const answers = tabs.flatMap((name) => {
      const answer = answerOf(name);
      return answer === null ? [] : [{ name, answer }];
    });
    if (answers.length < tabs.length) return [];
    const told = answers.map(({ name, answer: { values } }) =>
      values["season"] === undefined ? `“${name}”` : `“${name}” is ${values["season"]}`,
    );
    const more =
      told.length > 4 ? `${told.slice(0, 3).join(", ")} and ${told.length - 3} more` : told.join(", ");
    return [
      {
        text: `none: the ${tabs.length === 1 ? "name of the tab is" : "names of the tabs are"} the ${column}: ${more}`,
        answers: answersWith({
          tabs: Object.fromEntries(answers.map(({ name, answer }) => [name, answer])),
        }),
      },
    ];
  };
  const ofAll = together === undefined ? [] : choice(together);
  return ofAll.length > 0 ? ofAll : choice([tab]);
}

/** Years that titles, tab and file may mean by two digits: `CY24`, `Season '24`, `strips_24.csv`. */
function yearChoices(titles: readonly string[], { tab, source }: Sheet): Choice[] {
  const file = fileBaseName(source);
  const yearsOf = (text: string): string[] =>
    [...text.matchAll(/(?<![\d.,])([0-4]\d)(?![\d.,%])/g)].map(([two]) => `20${two}`);
  const ofTab = tab === null ? [] : yearsOf(tab);
  const years = [...titles.flatMap(yearsOf), ...ofTab, ...yearsOf(file.replace(/\.\w+$/, ""))];
  return [...new Set(years)].map((season) => {
    // Of this file alone, or of this tab: next year's has another.
    const place = { holds: null, nameIs: null, values: { season } };
    const isOfTab = tab !== null && ofTab.includes(season);
    return {
      text: `none: it is ${season} in all rows of ${isOfTab ? tab : file}`,
      answers: answersWith(isOfTab ? { tabs: { [tab]: place } } : { files: { [file]: place } }),
    };
  });
}

/** Seasons of tabs as the answers file has them. */
const tabsTold = ([choice]: readonly Choice[]): string =>
  Object.entries(choice?.answers.tabs ?? {})
    .flatMap(([name, { values }]) =>
      values["season"] === undefined ? [] : [`${JSON.stringify(name)}: {season: ${values["season"]}}`],
    )
    .join(", ");

/**
 * Asks which of the headers that are not known is a column, the likeliest first.
 *
 * @param titles  what stands above the table and may be the value of all its rows
 * @param others  answers of other kinds, which come first
 */
export const whichHeader = (
  file: string,
  column: string,
  unknown: readonly string[],
  titles: readonly string[] = [],
  others: readonly Choice[] = [],
): Question => ({
  id: `${file} ${column}`,
  text: `${file}: which column is the ${column}?`,
  choices: [
    ...others,
    ...titles.slice(0, 12).map((title) => ({
      text: `none: it is “${title}” in all rows`,
      answers: answersWith({ values: { [column]: title } }),
    })),
    ...unknown
      .filter(mayBeMeasured)
      .slice(0, 12)
      .map((header) => ({
        text: header,
        answers: answersWith({ columns: { [header]: column } }),
      })),
  ],
});

/** `Ticket #` numbers the rows, and measures nothing. */
const mayBeMeasured = (header: string): boolean => !/(?:#|\bno\.?|\bnumber|\bid|\bnr\.?)\s*$/i.test(header);

const isNotUsed = (answers: Answers, header: string): boolean =>
  answerFor(answers.columns, header) === notUsedAnswer;

/** Every row below the header that is not blank; `last` for the very last line of the file. Says so when there is none. */
export function forEachDataRow<Name extends string>(
  table: TableFile<Name>,
  take: (cells: string[], row: number, last: boolean) => void,
): void {
  let any = false;
  let waiting: string[] | null = null;
  let waitingRow = 0;
  table.rows.forEach((cells, row) => {
    if (row <= table.headerRow) return;
    if (waiting !== null) take(waiting, waitingRow, false);
    waiting = isBlank(cells) || isAside(table, cells, row) ? null : cells;
    waitingRow = row;
    any ||= waiting !== null;
    if (table.nameless.length > 0) noticeNameless(table, cells, row);
  });
  if (waiting !== null) take(waiting, waitingRow, true);
  if (!any) table.findings.push(noRows(table.rows.file));
  if (table.skipped.length > 0) table.findings.push(rowsSkipped(table.rows.file, table.skipped));
}

/** What the first cell of a row of totals says. */
const summaryWords =
  /^(?:grand\s+|over\s?all\s+|(?:trial|rep|block|field|variety)\s+)?(?:(?:sub-?\s?)?totals?|sums?|averages?|avg|means?|medians?|st\.?\s?dev|std|s\.?e\.?d?|c\.?v\.?|lsd|p-?\s?values?|n\.?s|min(?:imum)?|max(?:imum)?|summen?|gesamt|mittel(?:wert)?|durchschnitt|moyennes?|sommes?|promedios?|medias?|sumas?)(?![\p{L}\d])[\s\p{L}%.:()\d]{0,24}$/iu;

/** The column whose cells may say that a row is of totals. */
const groupName = "block";

/** `Ostrindel average`: of what is above it. */
const summaryBehind =
  /^.{1,40}\s(?:(?:sub-?\s?)?totals?|averages?|avg|means?|mittel(?:wert)?|durchschnitt|moyennes?|promedios?|medias?)\.?:?$/iu;

/** Whether a text is what the first cell of a row of totals says. */
export const isSummaryText = (text: string): boolean =>
  summaryWords.test(text.trim()) || summaryBehind.test(text.trim());

/** Whether a row is of totals or a remark below the table, and no strip: listed together, and not counted as read. */
function isAside<Name extends string>(
  table: TableFile<Name>,
  cells: readonly string[],
  row: number,
): boolean {
  const { own, key, group, isSummary } = table.asides;
  const bare = key.some((index) => (cells[index] ?? "").trim() === "");
  const sums = (index: number): boolean => {
    const text = cells[index] ?? "";
    return kept(isSummary, text, () => summaryWords.test(text.trim()));
  };
  const ofGroup = group !== null && sums(group);
  if (!bare && !ofGroup && !sums(key[0] ?? -1)) return false;
  const filled = filledCells(cells.slice(0, own));
  const [first] = filled;
  if (first === undefined) return false;
  const isTotal =
    ofGroup || filled.slice(0, 3).some(({ text }) => (bare ? isSummaryText(text) : summaryWords.test(text)));
  // A row that ends early may be cut off: a remark it is where it holds a sentence.
  const asWords = cells.length >= own ? /\s/ : /\S\s+\S+\s+\S/;
  const isRemark = filled.length === 1 && own >= 4 && asWords.test(first.text) && first.text.length > 12;
  if (!isTotal && !isRemark) return false;
  if (table.skipped.at(-1)?.row !== row) table.skipped.push({ row, text: first.text });
  return true;
}

/** Says once of a column without a name that there is something in it. */
function noticeNameless<Name extends string>(
  table: TableFile<Name>,
  cells: readonly string[],
  row: number,
): void {
  table.nameless = table.nameless.filter((index) => {
    const value = cells[index] ?? "";
    if (value.trim() === "") return true;
    table.findings.push(columnWithoutName(table.rows.file, row, index, value));
    return false;
  });
}

/** What keeps a row from being read at all: the wrong number of cells, or the header once more. Null where nothing does. */
export function rowFault<Name extends string>(
  { rows: { file, endsWhole }, headers }: TableFile<Name>,
  cells: readonly string[],
  row: number,
  last: boolean,
): Finding | null {
  const { length } = cells;
  if (length > headers.length && cells.some((cell, index) => index >= headers.length && cell.trim() !== "")) {
    return rowTooLong({ file, row }, length, headers.length);
  }
  if (length < headers.length)
    return last && !endsWhole ? rowCutOff({ file, row }, length, headers.length) : null;
  return cells[0] === headers[0] && headers.every((header, index) => header === cells[index])
    ? rowRepeatsHeader({ file, row })
    : null;
}
