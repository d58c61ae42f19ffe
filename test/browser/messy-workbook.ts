/** A grower's workbook as it comes: a title above the table, a second sheet of something else, three cells that are wrong. */
import { strToU8, zipSync } from "fflate";

type Content = string | number | null;

const part = (name: string, inside: string): Uint8Array =>
  strToU8(
    `<?xml version="1.0" encoding="UTF-8"?><${name} xmlns="http://schemas.openxmlformats.org/${
      name === "Relationships" ? "package/2006/relationships" : "spreadsheetml/2006/main"
    }" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships">${inside}</${name}>`,
  );

const sheet = (rows: readonly (readonly Content[])[]): Uint8Array =>
  part(
    "worksheet",
    `<sheetData>${rows
      .map((cells, row) => {
        const written = cells.map((content, column) => {
          const at = `${String.fromCharCode(65 + column)}${row + 1}`;
          if (content === null) return "";
          return typeof content === "number"
            ? `<c r="${at}"><v>${content}</v></c>`
            : `<c r="${at}" t="inlineStr"><is><t>${content}</t></is></c>`;
        });
        return `<row r="${row + 1}">${written.join("")}</row>`;
      })
      .join("")}</sheetData>`,
  );

/** The least a workbook can be made of: ECMA-376 Part 1 (2016), 18.2 (workbook), 18.3 (worksheets). */
function workbook(sheets: Record<string, Uint8Array>): Uint8Array {
  const names = Object.keys(sheets);
  const type = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet";
  return zipSync({
    "xl/workbook.xml": part(
      "workbook",
      `<sheets>${names.map((name, index) => `<sheet name="${name}" sheetId="${index + 1}" r:id="rId${index + 1}"/>`).join("")}</sheets>`,
    ),
    "xl/_rels/workbook.xml.rels": part(
      "Relationships",
      names
        .map(
          (_, index) =>
            `<Relationship Id="rId${index + 1}" Type="${type}" Target="worksheets/sheet${index + 1}.xml"/>`,
        )
        .join(""),
    ),
    ...Object.fromEntries(names.map((name, index) => [`xl/worksheets/sheet${index + 1}.xml`, sheets[name]!])),
  });
}

/** Rows of the table as the spreadsheet numbers them: the header is row 3. */
export const wrongRows = { noYield: 5, noNumber: 8, tooMany: 12 };

export function messyWorkbook(): Uint8Array {
  const strips: Content[][] = [];
  for (const season of [2025, 2026])
    for (const block of [1, 2])
      for (const [variety, best] of [
        ["Lornwick", 1.25],
        ["Pellastor", 1.5],
      ] as const)
        for (const rate of [0.7, 1, 1.3, 1.6, 1.9]) {
          const jitter = ((strips.length * 37) % 11) / 5 - 1;
          const yieldBuAc = 66 + (season - 2025) * 4 - 14 * (rate - best) ** 2 + jitter;
          strips.push([variety, season, "Creek", block, rate * 1e6, Math.round(yieldBuAc * 10) / 10]);
        }
  const at = (row: number): Content[] => strips[row - 4]!;
  at(wrongRows.noYield)[5] = null;
  at(wrongRows.noNumber)[5] = "6l.2";
  at(wrongRows.tooMany)[4] = 130_000_000;
  return workbook({
    Strips: sheet([
      ["Our strip trials, home farm"],
      [],
      ["Variety", "Year", "Field", "Block", "Seeds per acre", "Yield (bu/ac)"],
      ...strips,
    ]),
    "Fuel book": sheet([
      ["Fuel", "Gallons"],
      ["Diesel", 812],
    ]),
  });
}
