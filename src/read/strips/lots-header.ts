/** The header of a table of lots. */
import { lotColumns, type Column, type LotColumnName } from "./columns.ts";
import { lotSynonyms } from "./synonyms.ts";
import { HeaderReader } from "../tables/headers.ts";
import type { TableKind } from "../tables/table-kind.ts";

const columns = lotColumns as readonly Column<LotColumnName>[];

export const lotHeaders = new HeaderReader<LotColumnName>(columns, lotSynonyms);

/** How a table of lots is known among titles and notes. */
export const lotsTable: TableKind<LotColumnName> = {
  reader: lotHeaders,
  needed: columns.filter((column) => column.needed),
  mustUnderstand: new Set(columns.map(({ name }) => name)),
  known: (cells) => lotHeaders.known(cells),
  isHeader: (cells) => {
    const names = new Set(cells.map((cell) => lotHeaders.nameOf(cell)));
    names.delete(null);
    return names.has("variety") && names.size > 1;
  },
  isSpread: () => false,
  namesPart: () => false,
  namesField: () => false,
  titleNames: [],
  spreads: false,
  isBlock: (own) => own.has("variety") && own.size > 1,
};
