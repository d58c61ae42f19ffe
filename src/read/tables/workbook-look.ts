/** What a workbook shows that its bare values do not: cells formatted as percents, and merged cells. */
import { strFromU8, type Unzipped } from "fflate";
import { pairIn } from "../pair-in.ts";
import type { MergedCells } from "./sheet.ts";

export interface SheetLook {
  /** Whether the cell shows its number as a percent; row from 1, column from 0. */
  isPercent(row: number, column: number): boolean;
  merged: MergedCells[];
  /** Rows that a person sees nothing of: hidden, or filtered away. */
  hiddenRows: number[];
  /** Columns, from 0, that are hidden. */
  hiddenColumns: number[];
  /** References of cells with a formula and no result: `G2`. */
  withoutResult: string[];
  /** Rows with cells that are struck through. */
  struckRows: number[];
  /** What is noted beside cells, by their references. */
  comments: { at: string; text: string }[];
  /** Whether the whole sheet is hidden. */
  isHidden: boolean;
}

const plainLook: SheetLook = {
  isPercent: () => false,
  merged: [],
  hiddenRows: [],
  hiddenColumns: [],
  withoutResult: [],
  struckRows: [],
  comments: [],
  isHidden: false,
};

const isHidden = (attributes: string): boolean =>
  ["1", "true"].includes(attribute(attributes, "hidden") ?? "");
/** Columns of a sheet. */
const mostColumns = 16_384;

function hiddenIn(sheet: string): Pick<SheetLook, "hiddenRows" | "hiddenColumns"> {
  const hiddenRows: number[] = [];
  for (const [, attributes] of sheet.matchAll(/<(?:\w+:)?row\s([^>]*?)\/?>/g)) {
    if (attributes!.includes("hidden") && isHidden(attributes!))
      hiddenRows.push(Number(attribute(attributes!, "r")));
  }
  const hiddenColumns: number[] = [];
  for (const [, attributes] of sheet.matchAll(/<(?:\w+:)?col\s([^>]*?)\/?>/g)) {
    if (!isHidden(attributes!)) continue;
    const last = Math.min(Number(attribute(attributes!, "max")), mostColumns);
    for (let column = Number(attribute(attributes!, "min")); column <= last; column++)
      hiddenColumns.push(column - 1);
  }
  return { hiddenRows: hiddenRows.filter((row) => row > 0), hiddenColumns };
}

/** Cells whose formula was never calculated by the program that wrote the file. */
function withoutResultIn(sheet: string): string[] {
  const cells =
    /<(?:\w+:)?c\s([^>]*[^>/])>\s*<(?:\w+:)?f(?:\s[^>]*)?(?:\/>|>[^<]*<\/(?:\w+:)?f>)\s*(?:<(?:\w+:)?v\s*\/>|<(?:\w+:)?v>\s*<\/(?:\w+:)?v>)?\s*<\/(?:\w+:)?c>/g;
  return [...sheet.matchAll(cells)]
    .map(([, attributes]) => attribute(attributes!, "r") ?? "")
    .filter((at) => at !== "");
}

const attribute = (attributes: string, name: string): string | null =>
  new RegExp(`(?:^|\\s)(?:\\w+:)?${name}="([^"]*)"`).exec(attributes)?.[1] ?? null;

const unescaped = (text: string): string =>
  text
    .replaceAll("&lt;", "<")
    .replaceAll("&gt;", ">")
    .replaceAll("&quot;", '"')
    .replaceAll("&apos;", "'")
    .replace(/&#(x?)([\da-f]{1,6});/gi, (_, hex: string, digits: string) =>
      String.fromCodePoint(Math.min(parseInt(digits, hex === "" ? 10 : 16), 0x10ffff)),
    )
    .replaceAll("&amp;", "&");

/** Column and row of a reference: A is 0. Example: `C12` → column 2, row 12. */
function placeOf(reference: string): { row: number; column: number } | null {
  const place = pairIn(/^\$?([A-Z]{1,3})\$?(\d{1,7})$/, reference);
  if (place === null) return null;
  const [letters, row] = place;
  return { row: Number(row), column: columnNumber(letters) - 1 };
}

/** A is 1, Z 26, AA 27. */
export const columnNumber = (letters: string): number =>
  [...letters].reduce((number, letter) => number * 26 + letter.charCodeAt(0) - 64, 0);

const partText = (parts: Unzipped, path: string): string | null => {
  const bytes = parts[path];
  return bytes === undefined ? null : strFromU8(bytes);
};

/** Styles of cells whose numbers are shown as percents: built-in formats 9 and 10 (ECMA-376 Part 1, 18.8.30), or a code with %. */
function percentStyles(parts: Unzipped): Set<string> {
  const styles = partText(parts, "xl/styles.xml") ?? "";
  const codes = new Set(["9", "10"]);
  for (const [, attributes] of styles.matchAll(/<(?:\w+:)?numFmt\s([^>]*?)\/?>/g)) {
    const code = attribute(attributes!, "formatCode") ?? "";
    if (code.replace(/"[^"]*"|\\./g, "").includes("%")) codes.add(attribute(attributes!, "numFmtId") ?? "");
  }
  const cellFormats = /<(?:\w+:)?cellXfs[\s>][\s\S]*?<\/(?:\w+:)?cellXfs>/.exec(styles)?.[0] ?? "";
  const found = new Set<string>();
  let style = 0;
  for (const [, attributes] of cellFormats.matchAll(/<(?:\w+:)?xf\s([^>]*?)\/?>/g)) {
    if (codes.has(attribute(attributes!, "numFmtId") ?? "")) found.add(String(style));
    style++;
  }
  return found;
}

/** Styles of cells whose text is struck through (ECMA-376 Part 1, 18.4.10). */
function struckStyles(parts: Unzipped): Set<string> {
  const styles = partText(parts, "xl/styles.xml") ?? "";
  const fonts = /<(?:\w+:)?fonts[\s>][\s\S]*?<\/(?:\w+:)?fonts>/.exec(styles)?.[0] ?? "";
  const struck = new Set<string>();
  [...fonts.matchAll(/<(?:\w+:)?font(?:\s[^>]*)?(?:\/>|>([\s\S]*?)<\/(?:\w+:)?font>)/g)].forEach(
    ([, inside], index) => {
      const strike = /<(?:\w+:)?strike(\s[^>]*)?\/?>/.exec(inside ?? "");
      if (strike !== null && !["0", "false"].includes(attribute(strike[1] ?? "", "val") ?? "1"))
        struck.add(String(index));
    },
  );
  const cellFormats = /<(?:\w+:)?cellXfs[\s>][\s\S]*?<\/(?:\w+:)?cellXfs>/.exec(styles)?.[0] ?? "";
  const found = new Set<string>();
  [...cellFormats.matchAll(/<(?:\w+:)?xf\s([^>]*?)\/?>/g)].forEach(([, attributes], style) => {
    if (struck.has(attribute(attributes!, "fontId") ?? "")) found.add(String(style));
  });
  return found;
}

/** Rows with cells in any of these styles. */
function rowsIn(sheet: string, styles: ReadonlySet<string>): number[] {
  if (styles.size === 0) return [];
  const rows = new Set<number>();
  for (const [, attributes] of sheet.matchAll(/<(?:\w+:)?c\s([^>]*?)>(?!<\/)/g)) {
    if (attributes!.endsWith("/") || !styles.has(attribute(attributes!, "s") ?? "")) continue;
    const place = placeOf(attribute(attributes!, "r") ?? "");
    if (place !== null) rows.add(place.row);
  }
  return [...rows];
}

/** More comments are not told. */
const mostComments = 50;

/** Comments of a sheet's cells. */
function commentsOf(parts: Unzipped, path: string): SheetLook["comments"] {
  const links = partText(parts, path.replace(/([^/]+)$/, "_rels/$1.rels")) ?? "";
  const targets = [...links.matchAll(/<(?:\w+:)?Relationship\s([^>]*?)\/?>/g)].flatMap(([, attributes]) => {
    const target = attribute(attributes!, "Target") ?? "";
    if (!/\/comments$/.test(attribute(attributes!, "Type") ?? "")) return [];
    return [target.startsWith("/") ? target.slice(1) : `xl/${target.replace(/^(?:\.\.\/)+/, "")}`];
  });
  return targets
    .flatMap((target) => [
      ...(partText(parts, target) ?? "").matchAll(
        /<(?:\w+:)?comment\s([^>]*?)>([\s\S]*?)<\/(?:\w+:)?comment>/g,
      ),
    ])
    .slice(0, mostComments)
    .map(([, attributes, inside]) => ({
      at: attribute(attributes!, "ref") ?? "",
      text: [...inside!.matchAll(/<(?:\w+:)?t(?:\s[^>]*)?>([^<]*)</g)]
        .map(([, text]) => unescaped(text!))
        .join(""),
    }));
}

/** Names of the sheets that are hidden. */
function hiddenSheets(parts: Unzipped): Set<string> {
  const book = partText(parts, "xl/workbook.xml") ?? "";
  return new Set(
    [...book.matchAll(/<(?:\w+:)?sheet\s([^>]*?)\/?>/g)].flatMap(([, attributes]) =>
      ["hidden", "veryHidden"].includes(attribute(attributes!, "state") ?? "")
        ? [unescaped(attribute(attributes!, "name") ?? "")]
        : [],
    ),
  );
}

/** The part that holds each sheet, by the sheet's name. */
function partsOfSheets(parts: Unzipped): Map<string, string> {
  const targets = new Map<string, string>();
  const links = partText(parts, "xl/_rels/workbook.xml.rels") ?? "";
  for (const [, attributes] of links.matchAll(/<(?:\w+:)?Relationship\s([^>]*?)\/?>/g)) {
    const target = attribute(attributes!, "Target") ?? "";
    targets.set(
      attribute(attributes!, "Id") ?? "",
      target.startsWith("/") ? target.slice(1) : `xl/${target}`,
    );
  }
  const sheets = new Map<string, string>();
  const book = partText(parts, "xl/workbook.xml") ?? "";
  for (const [, attributes] of book.matchAll(/<(?:\w+:)?sheet\s([^>]*?)\/?>/g)) {
    const id = /\s\w+:id="([^"]*)"/.exec(` ${attributes!}`)?.[1] ?? "";
    const path = targets.get(id);
    if (path !== undefined) sheets.set(unescaped(attribute(attributes!, "name") ?? ""), path);
  }
  return sheets;
}

function lookOf(
  sheet: string,
  percents: ReadonlySet<string>,
  struck: ReadonlySet<string>,
): Omit<SheetLook, "comments" | "isHidden"> {
  const found = new Set<string>();
  if (percents.size > 0) {
    for (const [, attributes] of sheet.matchAll(/<(?:\w+:)?c\s([^>]*?)\/?>/g)) {
      const style = /(?:^|\s)s="(\d+)"/.exec(attributes!)?.[1];
      if (style === undefined || !percents.has(style)) continue;
      const place = placeOf(attribute(attributes!, "r") ?? "");
      if (place !== null) found.add(`${place.row} ${place.column}`);
    }
  }
  const merged: MergedCells[] = [];
  for (const [, reference] of sheet.matchAll(/<(?:\w+:)?mergeCell\s[^>]*?ref="([^"]*)"/g)) {
    const [from, to] = reference!.split(":").map(placeOf);
    if (from === undefined || to === undefined || from === null || to === null) continue;
    merged.push({ firstRow: from.row, lastRow: to.row, firstColumn: from.column, lastColumn: to.column });
  }
  return {
    isPercent: (row, column) => found.has(`${row} ${column}`),
    merged,
    ...hiddenIn(sheet),
    withoutResult: withoutResultIn(sheet),
    struckRows: rowsIn(sheet, struck),
  };
}

/** The look of each sheet, by its name; what cannot be found out is taken as plain. */
export function looksOfSheets(parts: Unzipped): (name: string) => SheetLook {
  const percents = percentStyles(parts);
  const struck = struckStyles(parts);
  const hidden = hiddenSheets(parts);
  const paths = partsOfSheets(parts);
  return (name) => {
    const path = paths.get(name) ?? "";
    const sheet = partText(parts, path);
    if (sheet === null) return plainLook;
    const comments = commentsOf(parts, path);
    return { ...lookOf(sheet, percents, struck), comments, isHidden: hidden.has(name) };
  };
}
