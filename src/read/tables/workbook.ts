/** Workbooks (.xlsx) → sheets, with a limit to all that a small file can be made to claim. */
import { strFromU8, unzipSync, zipSync, type Unzipped } from "fflate";
import readWorkbook from "read-excel-file/universal";
import { workbookBroken, workbookEmpty, workbookTooLarge, workbookTooWide } from "../../messages/workbook.ts";
import type { InputFile } from "./input-file.ts";
import { gridSheet, type Sheet } from "./sheet.ts";
import { looksOfSheets } from "./workbook-look.ts";

/** Unpacked, all parts together [bytes]; a million cells take about 30 million. */
const mostBytes = 50_000_000;
const mostParts = 2_000;
/** Rows × columns up to the last that is filled: readers make room for all of them. */
const mostCells = 4_000_000;

interface TabRead {
  sheet: string;
  data: unknown[][];
}

/**
 * The sheets of a workbook that hold anything: rows keep their numbers, numbers are as typed, percents are percents, dates
 * are ISO dates, merged cells are filled downwards.
 *
 * @throws TrialError `workbook-too-large`, `workbook-too-wide` where unpacking it would not be safe
 * @throws TrialError `workbook-broken` if it is no workbook, or a damaged one; `workbook-empty`
 */
export async function workbookSheets(file: InputFile): Promise<Sheet[]> {
  const parts = unpack(file);
  checkExtent(file.name, parts);
  const filled = (await readSheets(file.name, parts)).filter(({ data }) =>
    data.some((row) => row.some((cell) => cell !== null)),
  );
  if (filled.length === 0) throw workbookEmpty(file.name);
  const lookOf = looksOfSheets(parts);
  return filled.map(({ sheet: tab, data }) => {
    const { isPercent, merged } = lookOf(tab);
    const grid = data.map((row, index) =>
      row.map((cell, column) =>
        typeof cell === "number" && isPercent(index + 1, column) ? percentText(cell) : cellText(cell),
      ),
    );
    const name = filled.length === 1 ? file.name : `${file.name} [${tab}]`;
    return gridSheet({ file: name, source: file.name, tab }, grid, merged);
  });
}

/** The parts of the archive that describe sheets. Nothing is unpacked before its claimed size is added up. */
function unpack({ name, bytes }: InputFile): Unzipped {
  if (bytes.length > mostBytes) throw workbookTooLarge(name);
  let size = 0;
  let count = 0;
  try {
    return unzipSync(bytes, {
      filter: (part) => {
        if (!/\.(?:xml|rels)$/i.test(part.name)) return false;
        size += part.originalSize;
        count++;
        if (size > mostBytes || count > mostParts) throw workbookTooLarge(name);
        return true;
      },
    });
  } catch (error) {
    if (size > mostBytes || count > mostParts) throw error;
    throw workbookBroken(name);
  }
}

/** One stray cell at the far end of a sheet makes it as large as the whole sheet could be. */
function checkExtent(name: string, parts: Unzipped): void {
  for (const [path, bytes] of Object.entries(parts)) {
    if (!/worksheets\/[^/]+\.xml$/i.test(path)) continue;
    let rows = 0;
    let columns = 0;
    let last = "";
    for (const [, letters, digits] of latin1(bytes).matchAll(/\sr="([A-Z]{1,4})?(\d{1,9})"/g)) {
      const [row, column] = [Number(digits), letters === undefined ? 0 : columnNumber(letters)];
      if (row > rows || column > columns) last = `${letters ?? ""}${digits!}`;
      rows = Math.max(rows, row);
      columns = Math.max(columns, column);
    }
    if (rows * Math.max(columns, 1) > mostCells) throw workbookTooWide(name, last);
  }
}

/** A is 1, Z 26, AA 27. */
const columnNumber = (letters: string): number =>
  [...letters].reduce((number, letter) => number * 26 + letter.charCodeAt(0) - 64, 0);

/** Enough for cell references, which are plain ASCII. */
const latin1 = (bytes: Uint8Array): string => strFromU8(bytes, true);

/** Packed anew without compression, so that what is read is what was measured. */
async function readSheets(name: string, parts: Unzipped): Promise<TabRead[]> {
  const { buffer } = Uint8Array.from(zipSync(parts, { level: 0 }));
  try {
    return (await readWorkbook(buffer)) as TabRead[];
  } catch {
    throw workbookBroken(name);
  }
}

function cellText(cell: unknown): string {
  if (cell === null || cell === undefined) return "";
  if (typeof cell === "number") return numberText(cell);
  if (typeof cell === "string") return cell;
  if (typeof cell === "boolean") return cell ? "TRUE" : "FALSE";
  return dateText(cell as { toISOString(): string });
}

/** Never with three decimals, so that a number of the sheet is one number whatever the texts beside it. */
const numberText = (number: number): string => {
  const text = String(number);
  return /\.\d{3}$/.test(text) ? `${text}0` : text;
};

/** A share shown as a percent, without the digits that reckoning in binary adds. Example: 0.149 → `14.9 %`. */
const percentText = (share: number): string => `${numberText(Number((share * 100).toPrecision(12)))} %`;

function dateText(date: { toISOString(): string }): string {
  try {
    return date.toISOString().slice(0, 10);
  } catch {
    return "#DATE!";
  }
}
