/** A file of a table, whatever kind it is → the same as CSV. */
import type { InputFile } from "./input-file.ts";

/** Workbooks (.xlsx) are zip archives and start like them. */
const isZip = ({ bytes }: InputFile): boolean =>
  bytes[0] === 0x50 && bytes[1] === 0x4b && bytes[2] === 3 && bytes[3] === 4;

/**
 * The file as it is, or the sheet of a workbook as CSV with the same rows.
 *
 * What reads workbooks is loaded only when there is one.
 *
 * @param sheet  name of the sheet; null: the only one that holds anything
 * @throws TrialError as `sheetAsCsv` does
 */
export async function openTable(file: InputFile, sheet: string | null): Promise<InputFile> {
  if (!isZip(file)) return file;
  const { sheetAsCsv } = await import("./workbook.ts");
  return sheetAsCsv(file, sheet);
}
