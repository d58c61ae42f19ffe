/** Workbooks (.xlsx) → CSV, with a limit to all that a small file can be made to claim. */
import { strFromU8, strToU8, unzipSync, zipSync, type Unzipped } from "fflate";
import readWorkbook from "read-excel-file/universal";
import {
  sheetAsked,
  sheetUnknown,
  workbookBroken,
  workbookEmpty,
  workbookTooLarge,
  workbookTooWide,
} from "../../messages/workbook.ts";
import type { InputFile } from "./input-file.ts";
import { nearestName } from "../nearest-name.ts";

/** Unpacked, all parts together [bytes]; a million cells take about 30 million. */
const mostBytes = 50_000_000;
const mostParts = 2_000;
/** Rows × columns up to the last that is filled: readers make room for all of them. */
const mostCells = 4_000_000;

interface Sheet {
  sheet: string;
  data: unknown[][];
}

/**
 * One sheet of a workbook as a CSV file: rows keep their numbers, numbers are as typed, dates are ISO dates.
 *
 * @param sheet  its name; null: the only one that holds anything
 * @returns named like the workbook, and with the sheet where it has several
 * @throws TrialError `workbook-too-large`, `workbook-too-wide` where unpacking it would not be safe
 * @throws TrialError `workbook-broken` if it is no workbook, or a damaged one
 * @throws TrialError `sheet-unknown`, `sheet-asked`, `workbook-empty`
 */
export async function sheetAsCsv(file: InputFile, sheet: string | null): Promise<InputFile> {
  const parts = unpack(file);
  checkExtent(file.name, parts);
  const filled = (await readSheets(file.name, parts)).filter(({ data }) =>
    data.some((row) => row.some((cell) => cell !== null)),
  );
  const names = filled.map(({ sheet: name }) => name);
  if (names.length === 0) throw workbookEmpty(file.name);
  const chosen = sheet === null ? filled[0]! : filled.find(({ sheet: name }) => sameName(name, sheet));
  if (chosen === undefined) throw sheetUnknown(file.name, sheet!, names, nearestName(sheet!, names));
  if (sheet === null && filled.length > 1) throw sheetAsked(file.name, names);
  return {
    name: filled.length === 1 ? file.name : `${file.name} [${chosen.sheet}]`,
    bytes: strToU8(chosen.data.map((row) => row.map(cellText).join(",")).join("\n") + "\n"),
  };
}

const sameName = (one: string, other: string): boolean =>
  one.trim().toLowerCase() === other.trim().toLowerCase();

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
async function readSheets(name: string, parts: Unzipped): Promise<Sheet[]> {
  const { buffer } = Uint8Array.from(zipSync(parts, { level: 0 }));
  try {
    return (await readWorkbook(buffer)) as Sheet[];
  } catch {
    throw workbookBroken(name);
  }
}

function cellText(cell: unknown): string {
  if (cell === null || cell === undefined) return "";
  if (typeof cell === "number") return numberText(cell);
  if (typeof cell === "string") return /[",\n\r]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell;
  if (typeof cell === "boolean") return cell ? "TRUE" : "FALSE";
  return dateText(cell as { toISOString(): string });
}

/** Never with three decimals, so that a number of the sheet is one number whatever the texts beside it. */
const numberText = (number: number): string => {
  const text = String(number);
  return /\.\d{3}$/.test(text) ? `${text}0` : text;
};

function dateText(date: { toISOString(): string }): string {
  try {
    return date.toISOString().slice(0, 10);
  } catch {
    return "#DATE!";
  }
}
