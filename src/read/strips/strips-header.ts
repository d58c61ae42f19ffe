/** The header of a strips table, with all that its rows need. */
import { yieldMissing } from "../../messages/reading.ts";
import { QuestionError, type Answers } from "../answers/answers.ts";
import { stripColumns, type Column, type StripColumnName } from "./columns.ts";
import { stripLastNames, stripProbably, stripSynonyms } from "./synonyms.ts";
import { HeaderReader } from "../tables/headers.ts";
import type { Sheet } from "../tables/sheet.ts";
import { nameInTitle, yearsIn } from "../tables/beside-table.ts";
import { harvestOnlyColumns } from "../../vocabulary/harvest.ts";
import { sheetOnlyColumns } from "../../vocabulary/strip-plan.ts";
import { isSpreadHeader, repetitionIn } from "../tables/spread-columns.ts";
import { isSummaryText } from "../tables/summary-rows.ts";
import { readTables } from "../tables/table-file.ts";
import type { TableFile, TableKind } from "../tables/table-kind.ts";
import { whichHeader } from "../tables/which-header.ts";

const columns = stripColumns as readonly Column<StripColumnName>[];

export const stripHeaders = new HeaderReader<StripColumnName>(
  columns,
  stripSynonyms,
  stripLastNames,
  [...sheetOnlyColumns, ...harvestOnlyColumns],
  stripProbably,
);

/** Columns that rates and yields are made of: a unit that is not understood there would falsify them. */
const mustUnderstand: ReadonlySet<StripColumnName> = new Set<StripColumnName>([
  "rate",
  "yield",
  "strip_weight",
  "gross_weight",
  "tare_weight",
  "strip_length",
  "strip_width",
  "strip_area",
  "moisture",
  "seeds_per_lb",
  "seeds_per_kg",
  "tkw_g",
  "germination_pct",
  "purity_pct",
]);

const has = (names: ReadonlySet<string>, ...any: StripColumnName[]): boolean =>
  any.some((name) => names.has(name));

/** Names in rows of their own have no more words; what has more is a remark. */
const mostWordsOfName = 3;

/** Whether a text names the season, the variety, or by a label anything else that a table has no column of. */
function namesPart(has: ReadonlySet<string>, text: string): boolean {
  if (!has.has("season") && yearsIn(text).length === 1) return true;
  if (!has.has("block") && repetitionIn(text) !== null) return true;
  const label = /^([^:=]{2,60}?)\s*[:=]\s*\S/.exec(text)?.[1];
  const labelled = label === undefined ? null : stripHeaders.nameOf(label);
  if (labelled !== null) return !has.has(labelled);
  return !has.has("variety") && mayBeName(text, "variety");
}

const mayBeName = (text: string, column: "variety" | "field"): boolean =>
  text.split(/\s+/).length <= mostWordsOfName &&
  !isSummaryText(text) &&
  nameInTitle(text, column, stripHeaders) !== null;

/** "Field Home", "Home field": a word alone could as well be a variety whose row was never filled in. */
function saysField(text: string): boolean {
  const words = text.trim().split(/\s+/);
  return (
    words.length > 1 &&
    [...words.slice(0, 1), ...words.slice(-1)].some((word) => stripHeaders.nameOf(word) === "field")
  );
}

/** How a table of strips is known among titles, lots and notes. */
export const stripsTable: TableKind<StripColumnName> = {
  reader: stripHeaders,
  needed: columns.filter((column) => column.needed),
  mustUnderstand,
  known: (cells) => stripHeaders.known(cells),
  isHeader: (cells) => {
    const filled = cells.filter((cell) => cell.trim() !== "");
    // A row of units alone is no header: words in any order count only beside a variety.
    const isNamed = filled.some((cell) => stripHeaders.nameOf(cell) === "variety");
    const names = new Set<string>(
      filled.map((cell) => (isNamed ? stripHeaders.looseNameOf(cell) : stripHeaders.nameOf(cell)) ?? ""),
    );
    const whats = [
      has(names, "variety"),
      has(names, "rate"),
      has(names, "yield", "strip_weight", "gross_weight"),
    ];
    return names.size > 2 && whats.filter(Boolean).length >= 2;
  },
  isSpread: (cells) => isSpreadHeader(cells, stripHeaders),
  namesPart: (headers, text) =>
    namesPart(new Set(headers.map((header) => stripHeaders.nameOf(header) ?? "")), text),
  namesField: (headers, text) => {
    const names = new Set(headers.map((header) => stripHeaders.nameOf(header) ?? ""));
    return has(names, "variety") && !has(names, "field") && saysField(text) && mayBeName(text, "field");
  },
  titleNames: ["variety", "field"],
  spreads: true,
  isBlock: (own, all) =>
    has(own, "yield", "strip_weight", "gross_weight") &&
    has(own, "rate", "variety") &&
    has(all, "variety") &&
    has(all, "rate"),
};

/**
 * The tables of a sheet that hold strips.
 *
 * @throws TrialError `column-missing` if variety, season, rate or every way to the yield is missing; and as `readTables`
 */
export function openStripsTables(sheet: Sheet, answers: Answers): TableFile<StripColumnName>[] {
  const tables = readTables(sheet, stripsTable, answers);
  for (const table of tables) {
    const names = new Set<string>(table.columns.map((found) => found.column.name));
    const weighed = has(names, "strip_weight") || (names.has("gross_weight") && names.has("tare_weight"));
    const measured = names.has("strip_area") || (names.has("strip_length") && names.has("strip_width"));
    if (names.has("yield") || (weighed && measured)) continue;
    const unknown = table.headers.filter(
      (header) => header.trim() !== "" && stripHeaders.nameOf(header) === null,
    );
    const near = unknown.find((header) => stripHeaders.nearest(header, names) === "yield") ?? null;
    throw new QuestionError(yieldMissing(table.rows.file, table.headers, near, unknown), [
      whichHeader(table.rows.file, "yield", weighed ? [] : near === null ? unknown : [near, ...unknown]),
    ]);
  }
  return tables;
}
