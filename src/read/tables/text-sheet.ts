/** The text of a file → its sheet. */
import { decodedAs, type Document, documentAsTable, tableTooWide } from "../../messages/reading.ts";
import { withPlainNumbers } from "../units/numbers.ts";
import { findDelimiter, forEachRow, plainLines, type RowStart } from "./csv-rows.ts";
import { decodeText } from "./decode.ts";
import type { InputFile } from "./input-file.ts";
import { withoutInvisible } from "./invisible.ts";
import type { Sheet } from "./sheet.ts";

/**
 * The sheet of a text file.
 *
 * @param known  how many headers of a row are known: this shows the delimiter
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
