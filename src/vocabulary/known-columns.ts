/** What the files may hold, as data for whoever tells it. */

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
