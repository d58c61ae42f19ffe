/** The rows of one table as its readers see them: own columns, empty cells filled, codes as what they mean. */
import {
  answerWithoutCells,
  codesExplained,
  emptyCellsFilled,
  valueFromBeside,
  valuesDisagree,
} from "../../messages/reading.ts";
import type { Finding } from "../../vocabulary/trial.ts";
import type { Answers } from "../answers/answers.ts";
import { splitAmount } from "../units/split-amount.ts";
import { nameAnswered } from "./answered-headers.ts";
import { type Above, answeredValue, valuesBeside } from "./beside-table.ts";
import { areCodes, codeIn, type CodesAbove, codesAbove } from "./codes-above.ts";
import { isBlank } from "./csv-rows.ts";
import { detached } from "./detached.ts";
import type { HeaderReader } from "./headers.ts";
import { filledCells, textAlone, type TablePlace, type TitleRow } from "./locate.ts";
import type { Sheet } from "./sheet.ts";
import { isSummaryText } from "./summary-rows.ts";
import type { Block } from "./table-blocks.ts";

/** Columns of one table, its rows, and the values it has from elsewhere, as cells after its own. */
export interface TableView {
  rows: Sheet;
  headers: string[];
  /** How many of the headers are the table's own. */
  own: number;
  headerRow: number;
  /** Titles that may name what its columns do not. */
  titles: string[];
  findings: Finding[];
}

/**
 * One of the tables of a sheet with its headers and rows: values from titles, tab and answers follow its own cells.
 *
 * @param its    own headers, and their places in the sheet, null for all
 * @param block  which of the tables side by side it is, from 0 on
 */
export function viewOf<Name extends string>(
  sheet: Sheet,
  place: TablePlace,
  above: Above,
  its: Pick<Block, "columns" | "headers">,
  block: number,
  reader: HeaderReader<Name>,
  answers: Answers,
): TableView {
  const { columns } = its;
  const own = its.headers.map((header, index) => ({
    index,
    header,
    name: nameAnswered(header, reader, answers),
  }));
  const has = new Set(own.map(({ name }) => name ?? ""));
  const beside = valuesBeside(sheet, above, reader, has, answers).map((value) => {
    return { ...value, ...splitValue(value.text, reader.isMeasured(value.column)) };
  });
  const headers = [
    ...its.headers,
    ...beside.map(({ column, unit }) => (unit === "" ? column : `${column} (${unit})`)),
  ].map(detached);
  const file = block === 0 ? sheet.file : `${sheet.file} (block ${block + 1})`;
  const fill = own.flatMap(({ index, name }) =>
    name !== null && answers.fillDown.includes(name) ? [index] : [],
  );
  const given = own.flatMap(({ index, header, name }) => {
    const text = name === null ? undefined : answeredValue(sheet, answers, name, reader);
    return name === null || text === undefined ? [] : [{ index, header, name, text }];
  });
  const named = own.map((column) => ({ ...column, name: column.name ?? reader.looseNameOf(column.header) }));
  const coded = codedColumns(sheet, place, above, named, columns);
  const changes = {
    columns,
    own: own.length,
    fill,
    given,
    coded,
    values: beside.map(({ number }) => number),
  };
  return {
    rows: { ...sheet, file, forEach: rowsAsSeen(sheet, place, changes) },
    headers,
    own: own.length,
    headerRow: place.headerRow,
    titles: place.titles.flatMap(({ cells }) => textAlone(cells) ?? []).toReversed(),
    findings: [
      ...beside.map(({ column, text, from }) => valueFromBeside(file, column, text, from, sheet.tab)),
      ...beside.flatMap(({ column, text, from, others }) =>
        others.length === 0 ? [] : [valuesDisagree(file, column, { text, from }, others, sheet.tab)],
      ),
      ...filledInFindings(sheet, place, file, columns, given),
      ...coded.map(({ header, codes }) => codesExplained(file, header, codes.row, [...codes.meanings])),
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
  coded: readonly { index: number; codes: CodesAbove }[];
  /** Put behind the own cells. */
  values: readonly string[];
}

function rowsAsSeen(sheet: Sheet, place: TablePlace, changes: RowChanges): Sheet["forEach"] {
  const { columns, fill, given, coded, values } = changes;
  const plain = columns === null && [fill, given, coded, values].every((one) => one.length === 0);
  return (take, after = 0) => {
    const above = fill.map((index) => ({ index, text: "" }));
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
function complete(
  picked: string[],
  { own, given, coded, values }: RowChanges,
  above: readonly { index: number; text: string }[],
): void {
  if (mayBeFilled(picked)) {
    for (const column of above) {
      const text = picked[column.index] ?? "";
      if (text.trim() === "") picked[column.index] = column.text;
      else column.text = text;
    }
    for (const { index, text } of given) if ((picked[index] ?? "").trim() === "") picked[index] = text;
  }
  for (const { index, codes } of coded) {
    const text = picked[index] ?? "";
    picked[index] = codes.meanings.get(codeIn(text)) ?? text;
  }
  if (values.length === 0) return;
  while (picked.length < own) picked.push("");
  if (isBlank(picked.slice(own))) picked.length = own;
  if (picked.length === own) picked.push(...values);
}

/** A column by its place among the table's own. */
interface NamedPlace {
  index: number;
  header: string;
  name: string | null;
}

/** Columns whose cells are codes that the titles explain, by their places among the table's own. */
function codedColumns(
  sheet: Sheet,
  place: TablePlace,
  above: Above,
  own: readonly NamedPlace[],
  columns: readonly number[] | null,
): (NamedPlace & { codes: CodesAbove })[] {
  const titles = [...above.before.toReversed().flat(), ...above.titles];
  const legend = legendBelow(sheet, place);
  return (["rate", "variety"] as const).flatMap((name) => {
    const column = own.find((one) => one.name === name);
    const codes = column === undefined ? null : codesAbove([...titles, ...legend], name);
    if (column === undefined || codes === null) return [];
    const cells = new Set<string>();
    sheet.forEach((row, number) => {
      if (number > place.lastRow || cells.size > mostCodes) return false;
      const code = codeIn(row[columns?.[column.index] ?? column.index] ?? "");
      if (code !== "" && filledCells(row).length > 1 && !isSummaryText(code)) cells.add(code);
      return;
    }, place.dataAfter);
    return areCodes(cells, codes, name) ? [{ ...column, codes }] : [];
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
  given: readonly { index: number; header: string; name: string; text: string }[],
): Finding[] {
  if (given.length === 0) return [];
  const looked = given.map((column) => ({ ...column, empty: 0, saysOther: false }));
  sheet.forEach((cells, row) => {
    if (row > place.lastRow) return false;
    const picked = columns === null ? cells : columns.map((index) => cells[index] ?? "");
    if (mayBeFilled(picked))
      for (const column of looked) {
        const own = (picked[column.index] ?? "").trim();
        if (own === "") column.empty++;
        else if (own !== column.text.trim()) column.saysOther = true;
      }
    return;
  }, place.dataAfter);
  return looked.flatMap(({ header, name, text, empty, saysOther }) => {
    if (empty > 0) return [emptyCellsFilled(file, name, text, empty)];
    return saysOther ? [answerWithoutCells(file, name, header, text)] : [];
  });
}

/** `1200 ft` → number and unit, for the column's cell and its header; a name, `40 North`, or a year has no unit. */
function splitValue(text: string, isMeasured: boolean): { number: string; unit: string } {
  const parts = isMeasured ? splitAmount(text) : null;
  return parts === null ||
    !/^[\p{L}%/"²⁻\d\s.]*$/u.test(parts.unit) ||
    parts.currency !== "" ||
    parts.unit === ""
    ? { number: text, unit: "" }
    : { number: parts.number, unit: parts.unit };
}
