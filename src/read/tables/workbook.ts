/** Workbooks (.xlsx) → sheets, with a limit to all that a small file can be made to claim. */
import { strFromU8, unzipSync, zipSync, type Unzipped } from "fflate";
import readWorkbook from "read-excel-file/universal";
import {
  cellComments,
  coloursNotRead,
  columnsHidden,
  formulasWithoutResult,
  rowsHidden,
  rowsStruck,
  sheetHidden,
  workbookBroken,
  workbookEmpty,
  workbookSwells,
  workbookTextTooLong,
  workbookTooLarge,
  workbookTooWide,
} from "../../messages/workbook.ts";
import { plainSigns } from "../units/numbers.ts";
import type { InputFile } from "./input-file.ts";
import { TrialError, type Finding } from "../../vocabulary/trial.ts";
import { swells } from "./swells.ts";
import { withoutInvisible } from "./invisible.ts";
import { gridSheet, type Sheet } from "./sheet.ts";
import { documentAsTable, type Document } from "../../messages/reading.ts";
import { columnNumber, looksOfSheets, type SheetLook } from "./workbook-look.ts";

/** Unpacked, all parts together [bytes]; a million cells take about 30 million. */
const mostBytes = 50_000_000;
const mostParts = 2_000;
/** Rows × columns up to the last that is filled, all sheets together: readers make room for all of them. */
const mostCells = 4_000_000;

interface TabRead {
  sheet: string;
  data: unknown[][];
}
type AnyTab = Pick<TabRead, "sheet"> & Partial<TabRead>;

/**
 * The sheets of a workbook that hold anything: rows keep their numbers, numbers are as typed, percents are percents, dates
 * are ISO dates, merged cells are filled downwards.
 *
 * @throws TrialError `workbook-too-large`, `workbook-too-wide` where unpacking it would not be safe
 * @throws TrialError `file-is-document` if it is another program's archive
 * @throws TrialError `workbook-broken` if it is no workbook, or a damaged one; `workbook-empty`
 */
export async function workbookSheets(file: InputFile): Promise<Sheet[]> {
  const parts = unpack(file);
  checkExtent(file.name, parts);
  checkSheets(file.name, parts);
  // A sheet that is a chart has no data.
  const filled = (await readSheets(file.name, parts)).filter(({ data }) =>
    data?.some((row) => row.some((cell) => cell !== null)),
  ) as TabRead[];
  if (filled.length === 0) throw workbookEmpty(file.name);
  const lookOf = looksOfSheets(parts);
  return filled.map(({ sheet: tab, data }) => {
    const look = lookOf(tab);
    const { isPercent, merged } = look;
    const grid = data.map((row, index) =>
      row.map((cell, column) =>
        typeof cell === "number" && isPercent(index + 1, column) ? percentText(cell) : cellText(cell),
      ),
    );
    const name = filled.length === 1 ? file.name : `${file.name} [${tab}]`;
    const sheet = gridSheet({ file: name, source: file.name, tab }, grid, merged);
    return { ...sheet, findings: [...findingsOf(name, grid, look), ...besideCells(name, tab, grid, look)] };
  });
}

/** What a person does not see in the sheet, and what the file does not hold though it shows. */
function findingsOf(name: string, grid: readonly string[][], look: SheetLook): Finding[] {
  const filled = (cells: readonly string[] | undefined): boolean =>
    cells?.some((cell) => cell !== "") === true;
  const rows = look.hiddenRows.filter((row) => filled(grid[row - 1]));
  const columns = look.hiddenColumns
    .filter((column) => grid.some((cells) => (cells[column] ?? "") !== ""))
    .map(columnLetters);
  return [
    ...(look.withoutResult.length > 0 ? [formulasWithoutResult(name, look.withoutResult)] : []),
    ...(rows.length > 0 ? [rowsHidden(name, rows)] : []),
    ...(columns.length > 0 ? [columnsHidden(name, columns)] : []),
  ];
}

/** What a person sees in the sheet that is no text of its cells: comments, colours, text struck through, and the sheet hidden. */
function besideCells(name: string, tab: string, grid: readonly string[][], look: SheetLook): Finding[] {
  const struck = look.struckRows.filter((row) => grid[row - 1]?.some((cell) => cell !== "") === true);
  const ofColours = grid
    .slice(0, rowsOfLegend)
    .concat(grid.slice(rowsOfLegend).slice(-rowsOfLegend))
    .flatMap(
      (cells) => cells.find((cell) => cell.length < longestLegend && speaksOfColours.test(cell)) ?? [],
    );
  return [
    ...(look.isHidden ? [sheetHidden(name, tab)] : []),
    ...(struck.length > 0 ? [rowsStruck(name, struck)] : []),
    ...(look.comments.length > 0 ? [cellComments(name, look.comments)] : []),
    ...ofColours.slice(0, 1).map((text) => coloursNotRead(name, text)),
  ];
}

/** Rows at either end of a sheet among which a legend is looked for. */
const rowsOfLegend = 60;
const longestLegend = 120;
const colours =
  "red|yellow|orange|green|blue|gr[ae]y|pink|purple|rot|gelb|grün|blau|grau|rouge|jaune|vert|bleu|gris|rojo|amarillo|verde|azul";
const speaksOfColours = new RegExp(
  `\\b(?:${colours})\\b\\s*(?:[=:–-]|means?|rows?|strips?|cells?|plots?|zeilen?|lignes?|filas?)|\\b(?:highlighted|shaded|colou?red|markiert|surlignée?s?|resaltad[ao]s?)\\b`,
  "iu",
);

/** 0 is A, 26 AA. */
const columnLetters = (column: number): string =>
  column < 26
    ? String.fromCharCode(65 + column)
    : `${columnLetters(Math.floor(column / 26) - 1)}${columnLetters(column % 26)}`;

/** The parts of the archive that describe sheets. Nothing is unpacked before its claimed size is added up. */
function unpack({ name, bytes }: InputFile): Unzipped {
  if (bytes.length > mostBytes) throw workbookTooLarge(name);
  let size = 0;
  let count = 0;
  let other = null as Document | null;
  try {
    const parts = unzipSync(bytes, {
      filter: (part) => {
        if (/^word\//.test(part.name)) other = "letter";
        if (/^content\.xml$|\.iwa$/.test(part.name)) other = "open spreadsheet";
        if (!/\.(?:xml|rels)$/i.test(part.name)) return false;
        size += part.originalSize;
        count++;
        if (size > mostBytes || count > mostParts) throw workbookTooLarge(name);
        if (swells(part)) throw workbookSwells(name, part.name);
        return true;
      },
    });
    if (other !== null && !("xl/workbook.xml" in parts)) throw documentAsTable(name, other);
    return parts;
  } catch (error) {
    if (error instanceof TrialError) throw error;
    throw workbookBroken(name);
  }
}

/**
 * Sheets that share a part would be read from it again and again.
 *
 * @throws TrialError `workbook-broken`
 */
function checkSheets(name: string, parts: Unzipped): void {
  const tags = (part: string, kind: string, attribute: RegExp): string[] => {
    const bytes = parts[part];
    if (bytes === undefined) return [];
    const wanted = new RegExp(`^(?:[\\w.-]+:)?${kind}\\s`);
    return [...tagsOf(name, latin1(bytes))].flatMap((tag) => {
      const [, inDouble, inSingle] = (wanted.test(tag) ? attribute.exec(tag) : null) ?? [];
      return inDouble ?? inSingle ?? [];
    });
  };
  const ids = tags("xl/workbook.xml", "sheet", /\s[\w.-]+:id\s*=\s*(?:"([^"]*)"|'([^']*)')/);
  const targets = tags(
    "xl/_rels/workbook.xml.rels",
    "Relationship",
    /\sTarget\s*=\s*(?:"([^"]*)"|'([^']*)')/,
  ).map((target) => target.replace(/^\/?(?:xl\/)?(?:\.\/)*/, ""));
  for (const named of [ids, targets]) if (new Set(named).size < named.length) throw workbookBroken(name);
}

/** A hundred times what a cell of a spreadsheet can hold; the parser's time grows with the square of it. */
const longestText = 4_000_000;
/** No program writes a longer tag; a parser may take longer and longer for one. */
const longestTag = 16_384;
const closers: readonly [opener: string, closer: string][] = [
  ["<!--", "-->"],
  ["<![CDATA[", "]]>"],
  ["<?", "?>"],
];
const plainTag = /^\/?[\w:.-]+(?:\s+[\w:.-]+\s*=\s*(?:"[^"<]*"|'[^'<]*'))*\s*\/?$/;
const reference = /\sr\s*=\s*(?:"([^"]*)"|'([^']*)')/;

/**
 * Looks through every part before anything makes room for what it claims.
 *
 * One stray cell at the far end of a sheet makes it as large as the whole sheet could be, wherever its part lies and
 * however it is written. Linear in the bytes.
 */
function checkExtent(name: string, parts: Unzipped): void {
  let cells = 0;
  for (const bytes of Object.values(parts)) {
    let row = 0;
    let column = 0;
    let rows = 0;
    let columns = 0;
    let last = "";
    for (const tag of tagsOf(name, latin1(bytes))) {
      const kind = /^(?:[\w.-]+:)?(c|row)(?=[\s/]|$)/.exec(tag)?.[1];
      if (kind === undefined) continue;
      const at = reference.exec(tag);
      const told = at?.[1] ?? at?.[2];
      if (kind === "row") {
        if (told !== undefined && !/^\d{1,7}$/.test(told)) throw workbookBroken(name);
        row = told === undefined ? row + 1 : Number(told);
        column = 0;
      } else {
        const cell = /^([A-Z]{1,3})(\d{1,7})$/.exec(told ?? "A1");
        if (cell?.[1] === undefined) throw workbookBroken(name);
        column = told === undefined ? column + 1 : columnNumber(cell[1]);
        if (told !== undefined) row = Number(cell[2]);
      }
      if (row > rows || column > columns) last = told ?? `row ${row}`;
      rows = Math.max(rows, row);
      columns = Math.max(columns, column);
    }
    cells += rows * Math.max(columns, 1);
    if (cells > mostCells) throw workbookTooWide(name, last);
  }
}

/** The inside of every tag; comments, character data and declarations are skipped. */
function* tagsOf(name: string, xml: string): Generator<string> {
  for (let at = xml.indexOf("<"); at !== -1; at = xml.indexOf("<", at)) {
    const passed = closers.find(([opener]) => xml.startsWith(opener, at));
    if (passed !== undefined) {
      const end = xml.indexOf(passed[1], at + passed[0].length);
      if (end === -1) throw workbookBroken(name);
      at = end + passed[1].length;
      continue;
    }
    // A document type could name entities; no workbook has one.
    if (xml.startsWith("<!", at)) throw workbookBroken(name);
    const end = endOfTag(xml, at + 1);
    if (end === -1) throw workbookBroken(name);
    const tag = xml.slice(at + 1, end);
    if (!plainTag.test(tag)) throw workbookBroken(name);
    yield tag;
    at = end + 1;
    const next = xml.indexOf("<", at);
    if (next - at > longestText) throw workbookTextTooLong(name);
  }
}

/** Where the tag closes: a `>` may stand in quotation marks. -1 where it does not, or too late. */
function endOfTag(xml: string, start: number): number {
  const stop = Math.min(xml.length, start + longestTag);
  let quote = 0;
  for (let at = start; at < stop; at++) {
    const code = xml.charCodeAt(at);
    if (quote !== 0) {
      if (code === quote) quote = 0;
    } else if (code === 34 || code === 39) quote = code;
    else if (code === 62) return at;
  }
  return -1;
}

/** Enough for tags and cell references, which are plain ASCII. */
const latin1 = (bytes: Uint8Array): string => strFromU8(bytes, true);

/** Packed anew without compression, so that what is read is what was measured. */
async function readSheets(name: string, parts: Unzipped): Promise<AnyTab[]> {
  const { buffer } = Uint8Array.from(zipSync(parts, { level: 0 }));
  try {
    return (await readWorkbook(buffer)) as AnyTab[];
  } catch {
    throw workbookBroken(name);
  }
}

function cellText(cell: unknown): string {
  if (cell === null || cell === undefined) return "";
  if (typeof cell === "number") return numberText(cell);
  if (typeof cell === "string") return plainSigns(withoutInvisible(cell));
  if (typeof cell === "boolean") return cell ? "TRUE" : "FALSE";
  return dateText(cell as { toISOString(): string });
}

/** Never with three decimals, so that a number of the sheet is one number whatever the texts beside it. */
const numberText = (number: number): string => {
  const text = String(number);
  return /\.\d{3}$/.test(text) ? `${text}0` : text;
};

/** A share shown as a percent, without the digits that binary arithmetic adds. Example: 0.149 → `14.9 %`. */
const percentText = (share: number): string => `${numberText(Number((share * 100).toPrecision(12)))} %`;

function dateText(date: { toISOString(): string }): string {
  try {
    return date.toISOString().slice(0, 10);
  } catch {
    return "#DATE!";
  }
}
