/** Kinds of tables, and a table whose header was understood. */
import type { SkippedRow } from "../../messages/reading.ts";
import type { Finding } from "../../vocabulary/trial.ts";
import type { Column } from "../strips/columns.ts";
import type { FileColumn, HeaderReader } from "./headers.ts";
import type { HeaderKind } from "./locate.ts";
import type { Sheet } from "./sheet.ts";

/** A kind of table: how its header is known, and what it cannot do without. */
export interface TableKind<Name extends string> extends HeaderKind {
  reader: HeaderReader<Name>;
  needed: readonly Column<Name>[];
  /** Columns whose unit has to be known, or the file is refused. */
  mustUnderstand: ReadonlySet<string>;
  /** What the title above each of several tables names: the first of these columns that the tables do not have. */
  titleNames: readonly Name[];
  /** Whether a row may stand for several: columns with a rate, a repetition or the like in their names. */
  spreads: boolean;
  /** Whether columns that stand apart from others of the same names make a table of their own, with those they share. */
  isBlock(own: ReadonlySet<string>, all: ReadonlySet<string>): boolean;
}

export interface TableFile<Name extends string> {
  rows: Sheet;
  headers: string[];
  headerRow: number;
  columns: FileColumn<Name>[];
  /** Places of columns without a name that have had no value so far. */
  nameless: number[];
  /** How to recognize rows that are no strips: places of the columns that every strip has, variety first, and of the repetition. */
  asides: { own: number; key: number[]; group: number | null; isSummary: Map<string, boolean> };
  /** What is written above it. */
  titles: readonly string[];
  /** Rows between the strips that are none: totals and remarks. */
  skipped: SkippedRow[];
  findings: Finding[];
}
