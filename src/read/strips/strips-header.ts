/** The header of a strips file, with all that its rows need. */
import { yieldMissing } from "../../messages/reading.ts";
import { stripColumns, type Column, type StripColumnName } from "./columns.ts";
import { HeaderReader } from "../tables/headers.ts";
import { likelyHeaderRow, readHeader, type Rows, type TableFile } from "../tables/table-file.ts";

const columns = stripColumns as readonly Column<StripColumnName>[];

export const stripHeaders = new HeaderReader<StripColumnName>(columns);

/** Columns that rates and yields are made of: a unit that is not understood there would falsify them. */
const mustUnderstand: ReadonlySet<StripColumnName> = new Set<StripColumnName>([
  "rate",
  "yield",
  "strip_weight",
  "strip_length",
  "strip_width",
  "moisture",
  "seeds_per_lb",
  "seeds_per_kg",
  "tkw_g",
  "germination_pct",
  "purity_pct",
]);

/**
 * @throws TrialError `column-missing` if variety, season, rate or every way to the yield is missing; and as `readHeader`
 */
export function openStripsTable(rows: Rows): TableFile<StripColumnName> {
  const table = readHeader(
    rows,
    stripHeaders,
    columns.filter((column) => column.needed),
    mustUnderstand,
  );
  const has = (name: StripColumnName): boolean => table.columns.some((found) => found.column.name === name);
  if (!has("yield") && !(has("strip_weight") && has("strip_length") && has("strip_width"))) {
    throw yieldMissing(
      rows.file,
      table.headers,
      likelyHeaderRow(rows, stripHeaders, table.headerRow, table.columns.length),
    );
  }
  return table;
}
