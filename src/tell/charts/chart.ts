/** What every chart is: a Vega-Lite spec whose data come by name, so that one compiled spec draws every variety. */
import type { Result, StripPoint } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";

/** A Vega-Lite spec; typed loosely, its test holds it against the published schema. */
export type Spec = Record<string, unknown>;

export type Row = Record<string, number | string | boolean | null>;

/** Rows of every named data source of a spec. */
export type ChartData = Record<string, Row[]>;

/** The numbers of a chart as a table, for those who read rather than look. */
export interface NumberTable {
  caption: string;
  head: string[];
  rows: string[][];
}

/** A chart drawn for one subject: its data, and the same in words and numbers. */
export interface Drawing {
  data: ChartData;
  /** The strip of each of its marks, in the order in which they are drawn; null where a mark is not one strip. */
  strips?: readonly StripPoint[] | null;
  /** Heading above the chart. */
  heading: string;
  /** What its signs mean, where labels in the picture do not say it; "" otherwise. */
  key: string;
  /** What a person who does not see it should know. */
  description: string;
  table: NumberTable;
}

/** With more site-years than this, a description leaves them to the table. */
export const mostTold = 12;

export interface Chart {
  /** Name in file names and in the page; kebab-case. */
  name: string;
  /** Named data that change when a price or limit is moved in the page; empty where nothing does. */
  live: string[];
  /** Named data that stay the report's own though a price would change them: an axis that keeps its place. */
  held?: string[];
  /** Its marks are strips that a person may want to know by name: the page draws it anew where it is looked at. */
  ofStrips?: true;
  /** What it can be drawn for: variety names, or "" once for the farm. */
  subjects(result: Result): string[];
  /** Vega-Lite spec with empty named data. */
  spec(measures: Measures): Spec;
  /** Takes what it draws from the result: nothing is estimated here. */
  draw(result: Result, subject: string, measures: Measures): Drawing;
}

/**
 * Rows as Vega can take them: it keeps groups by name in plain objects, of which each has a `__proto__` already. A word
 * joiner (U+2060), which nobody sees, makes it a name like any other.
 */
export const drawable = (rows: Row[]): Row[] =>
  rows.map((row) =>
    Object.values(row).includes("__proto__")
      ? Object.fromEntries(
          Object.entries(row).map(([key, value]) => [key, value === "__proto__" ? "\u2060__proto__" : value]),
        )
      : row,
  );

/** The same spec with its data inside, for slides and other programs. */
export function specWithData(spec: Spec, data: ChartData): Spec {
  return JSON.parse(
    JSON.stringify(spec, (key, value: unknown) =>
      key === "data" && isNamed(value)
        ? { name: value.name, values: drawable(data[value.name] ?? []) }
        : value,
    ),
  ) as Spec;
}

const isNamed = (value: unknown): value is { name: string } =>
  typeof value === "object" && value !== null && "name" in value;
