/** The columns that files may have, as data for messages, helps and published schemas. */

/** A column or entry that is understood. */
export interface KnownColumn {
  name: string;
  needed: boolean;
  meaning: string;
  /** Other names, English ones first. */
  also: string[];
  units: string[];
}

/** Columns of one kind of file, with an example of it. */
export interface KnownFile {
  title: string;
  columns: KnownColumn[];
  example: string;
}
