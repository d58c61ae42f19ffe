/** A file as a table: its header understood, its rows one by one. */
import {
  columnIgnored,
  columnMissing,
  columnOfHarvest,
  columnsAsRows,
  columnsBeside,
  fileEmpty,
  type SkippedRow,
  summaryBelow,
  tableBegins,
  tableInPart,
  titlesSkipped,
  yieldsAtTold,
} from "../../messages/reading.ts";
import { harvestOnlyColumns } from "../../vocabulary/harvest.ts";
import { sheetOnlyColumns } from "../../vocabulary/strip-plan.ts";
import type { Finding } from "../../vocabulary/trial.ts";
import { answerFor, type Answers, notUsedAnswer, QuestionError } from "../answers/answers.ts";
import { asAnswered, nameAnswered } from "./answered-headers.ts";
import type { Above } from "./beside-table.ts";
import { groupName } from "./data-rows.ts";
import { joinHeaderRows } from "./header-rows.ts";
import { splitHeader } from "./headers.ts";
import { locateTables, type TablePlace, type TitleRow } from "./locate.ts";
import { moistureOfYields, saysWet } from "./moisture-basis.ts";
import { namesAbove } from "./names-above.ts";
import type { Sheet } from "./sheet.ts";
import { spreadOf, spreadSheet } from "./spread-columns.ts";
import { isSummaryText, isSummaryTitle } from "./summary-rows.ts";
import { blocksOf, spreadBlocks } from "./table-blocks.ts";
import type { TableFile, TableKind } from "./table-kind.ts";
import { type TableView, viewOf } from "./table-view.ts";
import { namesAcross, tabChoices, tabsTold, whichHeader, yearChoices } from "./which-header.ts";

/**
 * The tables of a sheet with their headers read: several where one follows the other, or is beside it.
 *
 * @throws TrialError `file-empty`, `column-missing`, `table-in-part`, and as `HeaderReader.read` does
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
  const { fullest, titleOfSummary } = compared(located, kind, answers);
  const read: TableFile<Name>[] = [];
  const summaries: Finding[] = [];
  for (const [index, { sheet: own, place, spread, blocks }] of located.entries()) {
    const before = parts.slice(0, index).map((part) => part.place.titles);
    const isBeside = located[index - 1]?.place.headerRow === place.headerRow;
    const summary = titleOfSummary(index);
    if (summary !== null) {
      summaries.push(summaryBelow(sheet.file, place.headerRow, summary));
      continue;
    }
    const rows = spread === null ? own : spreadSheet(own, spread);
    for (const [block, { columns, headers, titles, beside = [] }] of blocks.entries()) {
      const text = names?.names.get(`${index} ${block}`);
      const named = text === undefined ? null : { column: names!.column, text };
      const above: Above = { titles, before: before.toReversed(), named };
      const view = viewOf(rows, place, above, { columns, headers }, block, kind.reader, answers);
      if (located.length > 1 && blocks.length === 1) refuseInPart(view, fullest, kind, answers);
      const table = withMoistureTold(readHeader(view, kind, answers), [...titles, ...below]);
      if (index === 0 && block === 0) table.findings.unshift(...sheet.findings);
      if (index > 0 && block === 0 && !isBeside)
        table.findings.push(tableBegins(sheet.file, place.dataAfter));
      if (block === 0 && spread !== null && !isBeside)
        table.findings.push(columnsAsRows(sheet.file, spread.told, spread.dimensions));
      if (beside.length > 0) table.findings.push(columnsBeside(sheet.file, beside));
      if (block === 0 && place.titles.length > 0 && !isBeside)
        table.findings.push(titlesSkipped(sheet.file, place.titles.flatMap(titleTold)));
      read.push(table);
    }
  }
  read[0]?.findings.push(...summaries);
  return read;
}

interface Compared {
  /** Columns of the table that has most of them, by their own headers. */
  fullest: ReadonlySet<string>;
  /** The title of a table that by it sums up another with more columns, such as means below the strips; else null. */
  titleOfSummary: (index: number) => string | null;
}

function compared<Name extends string>(
  located: readonly { place: TablePlace }[],
  { reader }: TableKind<Name>,
  answers: Answers,
): Compared {
  const own = located.map(
    ({ place }) =>
      new Set(
        place.headers.map((header) => nameAnswered(header, reader, answers)).filter((name) => name !== null),
      ),
  );
  const fullest = own.reduce((most, names) => (names.size > most.size ? names : most));
  const titleOfSummary = (index: number): string | null => {
    if ([...fullest].every((name) => own[index]!.has(name))) return null;
    const nearest = located[index]!.place.titles.at(-1)?.cells ?? [];
    return nearest.find(({ text }) => isSummaryTitle(text))?.text ?? null;
  };
  return { fullest, titleOfSummary };
}

/** @throws TrialError `table-in-part` where a table lacks a needed column that another one on its sheet has */
function refuseInPart<Name extends string>(
  { rows, headers, headerRow }: TableView,
  fullest: ReadonlySet<string>,
  { reader, needed, mustUnderstand }: TableKind<Name>,
  answers: Answers,
): void {
  const { columns } = reader.read(rows.file, headers, mustUnderstand, answers.columns);
  const taken = new Set<string>(columns.map(({ column }) => column.name));
  const lacked = needed.find(({ name }) => fullest.has(name) && !taken.has(name));
  if (lacked !== undefined) throw tableInPart(rows.file, headerRow, lacked.name);
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

/** A title by its first cell. */
const titleTold = ({ row, cells }: TitleRow): SkippedRow[] =>
  cells.slice(0, 1).map(({ text }) => ({ row, text }));

/** Beyond so many unknown headers a file is not misspelt but of another kind, and guessing takes long. */
const mostGuesses = 100;

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
    const mayBeAcross = name === titleNames[0] && taken.has("rate") && !taken.has("yield");
    const mayBeNames = ignored.filter((header) => !isSummaryText(header));
    const across = mayBeAcross ? namesAcross(name, mayBeNames, reader) : [];
    const error = columnMissing(
      ...([rows.file, name, also, headers, near, ignored.slice(0, 20)] as const),
      tabsTold(ofTabs),
      across.length > 0 ? mayBeNames : [],
    );
    const ofYears = ofTabs.length === 0 && name === "season" ? yearChoices(titles, rows) : [];
    const choices = [...across, ...ofTabs, ...ofYears];
    const mayBeTitle = name === titleNames[0] ? titles : [];
    throw new QuestionError(error, [whichHeader(rows.file, name, unknown, mayBeTitle, choices)]);
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
    titles,
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

const isNotUsed = (answers: Answers, header: string): boolean =>
  answerFor(answers.columns, header) === notUsedAnswer;
