/** The field sheet beside the seeded ground: which of its rows is which strip. */
import { isMissing } from "../read/tables/cells.ts";
import { HeaderReader } from "../read/tables/headers.ts";
import type { InputFile } from "../read/tables/input-file.ts";
import { textSheet } from "../read/tables/text-sheet.ts";
import { stripColumns, type StripColumnName } from "../read/strips/columns.ts";
import type { Sheet } from "../read/tables/sheet.ts";
import { readNumber, type DecimalMark } from "../read/units/numbers.ts";
import { crops, type CropName } from "../vocabulary/crops.ts";
import { headerRowOf } from "./header-row.ts";

export interface SheetRow {
  position: number;
  block: string;
  variety: string;
  /** In the unit of the sheet: only ratios count. */
  rate: number;
  /** The cells of the row by the column of a strips file that they are. */
  cells: Partial<Record<StripColumnName, string>>;
  /** Headers as they stand, by the column that they are. */
}

export interface FieldSheet {
  rows: SheetRow[];
  headers: Partial<Record<StripColumnName, string>>;
}

const reader = new HeaderReader<StripColumnName>(stripColumns);

/** A comma between digits is a decimal one where cells are not parted by commas, but for thousands: 1,100,000. */
function markOf(sheet: Sheet, headerRow: number): DecimalMark {
  let mark: DecimalMark = "point";
  sheet.forEach((cells) => {
    if (cells.some((cell) => /^-?\d+,\d{1,2}$/.test(cell.trim()))) mark = "comma";
  }, headerRow);
  return mark;
}

/**
 * Reads a field sheet, rows in the order of their positions; rows without a position or rate are skipped.
 *
 * @param field where the sheet holds several fields, that of the harvest; "" takes all rows
 */
export function readFieldSheet(file: InputFile, crop: CropName, field = ""): FieldSheet {
  const known = (cells: string[]): number => reader.known(cells);
  const sheet = textSheet(file, known);
  const { headerRow, headers } = headerRowOf(sheet, known);
  const { columns } = reader.read(file.name, headers, new Set());
  const mark = sheet.certainMark ?? sheet.usualMark ?? markOf(sheet, headerRow);
  const all: SheetRow[] = [];
  sheet.forEach((cells) => {
    const told: SheetRow["cells"] = {};
    for (const { index, column } of columns) {
      const text = (cells[index] ?? "").trim();
      if (!isMissing(text)) told[column.name] = text;
    }
    const rateColumn = columns.find(({ column }) => column.name === "rate");
    const rate = readNumber(told.rate ?? "", mark);
    const position = readNumber(told.position ?? "", mark);
    if (!(rate > 0) || !(position > 0)) return;
    all.push({
      position,
      block: told.block ?? "",
      variety: told.variety ?? "",
      cells: told,
      rate: rateColumn?.unit?.toOurs(rate, crops[crop]) ?? rate,
    });
  }, headerRow);
  const isOfField = ({ cells }: SheetRow): boolean =>
    (cells.field ?? "").toLowerCase() === field.trim().toLowerCase();
  const rows = field !== "" && all.some(isOfField) ? all.filter(isOfField) : all;
  rows.sort((a, b) => a.position - b.position);
  return { rows, headers: Object.fromEntries(columns.map(({ column, header }) => [column.name, header])) };
}

/** Rates that differ by more than this share are not the same rate. */
const alike = 0.1;

export type SheetMatch =
  | { kind: "matched"; rows: (SheetRow | null)[]; turned: boolean; eitherWay: boolean }
  | { kind: "unmatched" };

/**
 * Rows for strips that lie in order: the sheet's rates have to follow one another as the strips' do, from one side or from
 * the other; strips before and after them are borders, which no sheet lists.
 *
 * @param rates of the strips in their order across the field; [] of a sheet's weight and of seeds may differ by a factor
 */
export function matchSheet(
  rates: readonly number[],
  varieties: readonly string[],
  rows: readonly SheetRow[],
): SheetMatch {
  const places = rates.length - rows.length;
  if (places < 0 || rows.length === 0) return { kind: "unmatched" };
  const fits = (turned: boolean): number | null => {
    for (let skipped = 0; skipped <= places; skipped++) {
      const at = (r: number): number => (turned ? rates.length - 1 - skipped - r : skipped + r);
      const ratios = rows.map((row, r) => rates[at(r)]! / row.rate);
      const middle = [...ratios].sort((a, b) => a - b)[ratios.length >> 1]!;
      const same = rows.every((row, r) => {
        const variety = varieties[at(r)]!;
        const named =
          variety === "" || row.variety === "" || variety.toLowerCase() === row.variety.toLowerCase();
        return named && Math.abs(ratios[r]! / middle - 1) <= alike;
      });
      if (same) return skipped;
    }
    return null;
  };
  const [straight, turned] = [fits(false), fits(true)];
  if (straight === null && turned === null) return { kind: "unmatched" };
  const isTurned = straight === null;
  const skipped = (straight ?? turned)!;
  const found = rates.map((_, s) => rows[(isTurned ? rates.length - 1 - s : s) - skipped] ?? null);
  return { kind: "matched", rows: found, turned: isTurned, eitherWay: straight !== null && turned !== null };
}
