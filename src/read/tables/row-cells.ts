/** The cells of one row by the names of their columns, with a finding for each that cannot be understood. */
import * as messages from "../../messages/reading.ts";
import type { Whereabouts } from "../../messages/finding.ts";
import type { Crop } from "../../vocabulary/crops.ts";
import type { UnitChoice } from "../../vocabulary/settings.ts";
import type { Finding, ReadColumn } from "../../vocabulary/trial.ts";
import { holdsPercents, NumberColumn, TextColumn, type TextKeeper } from "./cells.ts";
import { quantities } from "../units/column-units.ts";
import { answerFor, type Answers } from "../answers/answers.ts";
import type { CellKind } from "../strips/columns.ts";
import { DecimalMarks } from "../units/decimal-marks.ts";
import { DittoMarks } from "./ditto-marks.ts";
import type { FileColumn } from "./headers.ts";
import type { TableFile } from "./table-kind.ts";

/** Names longer than this are no names. */
const longestName = 200;

/** Seeds per weight and thousand-kernel weight of a row that are further apart than this contradict each other. */
const seedWeightTolerance = 0.05;

/** What was measured of each strip by itself: no ditto mark repeats it. */
const measured: ReadonlySet<string> = new Set(
  "yield strip_weight gross_weight stand heads lodging protein test_weight ground_cover moisture position".split(
    " ",
  ),
);

const numberKinds: readonly CellKind[] = ["number", "money", "lodging"];

/** Reads one row after another of a table: `take` a row, then ask for its cells. */
export class RowCells<Name extends string> {
  readonly findings: Finding[] = [];
  readonly #table: TableFile<Name>;
  readonly #kind: messages.RowKind;
  readonly #keeper: TextKeeper;
  readonly #columns: Partial<Record<Name, FileColumn<Name>>> = {};
  readonly #numbers: Partial<Record<Name, NumberColumn>> = {};
  readonly #texts: Partial<Record<Name, TextColumn>> = {};
  readonly #dittos: DittoMarks;
  readonly #rateWords: Readonly<Record<string, string>> | null;
  #cells: readonly string[] = [];
  #row = 0;

  constructor(
    table: TableFile<Name>,
    kind: messages.RowKind,
    crop: Crop,
    system: UnitChoice["system"],
    answers: Answers,
    keeper: TextKeeper,
  ) {
    this.#table = table;
    this.#kind = kind;
    this.#keeper = keeper;
    const numbers = table.columns.filter(({ column }) => numberKinds.includes(column.kind));
    const marks = new DecimalMarks(
      table.rows,
      numbers.map(({ index, column: { quantity } }) => ({
        index,
        most: quantity !== null && holdsPercents(quantities[quantity]) ? 100 : Infinity,
      })),
    );
    this.#rateWords = Object.keys(answers.names.rate).length === 0 ? null : answers.names.rate;
    this.#dittos = new DittoMarks(
      table.rows.file,
      table.columns
        .filter(({ column }) => !measured.has(column.name))
        .map(({ index, column: { name } }) => ({ index, name })),
    );
    for (const found of table.columns) {
      const { name, kind: cellKind } = found.column;
      this.#columns[name] = found;
      if (numberKinds.includes(cellKind)) {
        this.#numbers[name] = new NumberColumn(found, marks, table.rows.certainMark, crop, system, answers);
      } else this.#texts[name] = new TextColumn(found.index, keeper);
    }
  }

  /** Goes on to a row: all that is asked from now on is of it. */
  take(cells: readonly string[], row: number): void {
    this.#cells = this.#answered(this.#dittos.resolved(cells, row, this.findings));
    this.#row = row;
  }

  /** The row with the rate that a person said its word stands for. */
  #answered(cells: readonly string[]): readonly string[] {
    const rates = this.#rateWords;
    const index = rates === null ? undefined : this.#columns["rate" as Name]?.index;
    const rate = index === undefined ? undefined : answerFor(rates!, cells[index] ?? "");
    return rate === undefined ? cells : cells.with(index!, rate);
  }

  /** The column as its header describes it, if the file has it. */
  column(name: Name): FileColumn<Name> | undefined {
    return this.#columns[name];
  }

  /** The numbers of a column, if the file has it. */
  numbers(name: Name): NumberColumn | undefined {
    return this.#numbers[name];
  }

  /** File, row, column and value for a message. */
  where(name: Name): Whereabouts {
    const text = this.#cells[this.#columns[name]?.index ?? -1] ?? "";
    const value = text.trim() === "" ? null : this.#keeper.keep(messages.shown(text));
    return { file: this.#table.rows.file, row: this.#row, column: name, value };
  }

  /** Says why the row is left out; null stands for its strip. */
  leaveOut(finding: Finding): null {
    this.findings.push(finding);
    return null;
  }

  /** Text of a cell, "" where there is none. */
  text(name: Name): string {
    return this.#texts[name]?.read(this.#cells) ?? "";
  }

  /** A name, "" where there is none; null, with a finding that leaves the row out, for one that cannot be a name. */
  name(name: Name): string | null {
    const text = this.text(name);
    return text.length <= longestName
      ? text
      : this.leaveOut(messages.rowNameTooLong(this.where(name), longestName));
  }

  /** A number the row cannot do without if it is there: undefined, with a finding, when it cannot be understood. */
  needed(name: Name): number | null | undefined {
    const column = this.#numbers[name];
    const value = this.#number(name);
    if (value === null || !Number.isNaN(value)) return value;
    this.findings.push(
      column!.fault === "unit-unclear"
        ? messages.rowUnitUnclear(this.where(name), column!.usualUnit)
        : messages.rowNotANumber(this.where(name)),
    );
    return undefined;
  }

  /** A number the row can do without: null, with a finding, when it cannot be understood. */
  optional(name: Name): number | null {
    const column = this.#numbers[name];
    const value = this.#number(name);
    if (value === null || !Number.isNaN(value)) return value;
    return this.leaveOut(
      column!.fault === "unit-unclear"
        ? messages.valueUnitUnclear(
            this.where(name),
            column!.usualUnit,
            this.#kind,
            /pct|percent|%/i.test(column!.header),
          )
        : messages.valueNotANumber(this.where(name), this.#kind),
    );
  }

  /** The cell as it stands. */
  raw(name: Name): string {
    return (this.#cells[this.#columns[name]?.index ?? -1] ?? "").trim();
  }

  #number(name: Name): number | null {
    const column = this.#numbers[name];
    const value = column?.read(this.#cells, this.#row) ?? null;
    if (value !== null && column!.remark !== null && !Number.isNaN(value))
      this.findings.push(messages.numberJotted(this.where(name), column!.remark));
    return value;
  }

  /** A number as it stands, NaN where there is none: for comparing, without a finding. */
  plain(name: Name): number {
    return this.#numbers[name]?.read(this.#cells, this.#row) ?? NaN;
  }

  /** The same as `optional`, for a number that has to be above 0. */
  positive(name: Name): number | null {
    const value = this.optional(name);
    if (value === null || value > 0) return value;
    return this.leaveOut(messages.valueNotPositive(this.where(name), this.#kind));
  }

  /** Seeds per kg from whichever of the columns `names` says it first; says so where they contradict each other. */
  seedsPerKg(names: readonly Name[]): number | null {
    let found: number | null = null;
    for (const name of names) {
      const value = this.positive(name);
      if (value === null) continue;
      if (found === null) found = value;
      else if (Math.abs(value / found - 1) > seedWeightTolerance) {
        this.findings.push(messages.seedWeightsDiffer(this.where(name)));
      }
    }
    return found;
  }

  /** How each column was understood, in the order of the file; `unitOf` gives the unit of a value that is no plain number. */
  columnsRead(unitOf: (found: FileColumn<Name>) => string | null): ReadColumn[] {
    const { rows, headers, columns } = this.#table;
    const byIndex = new Map(columns.map((found) => [found.index, found]));
    return headers.flatMap((header, index): ReadColumn[] => {
      const found = byIndex.get(index);
      if (found === undefined) {
        return header.trim() === "" ? [] : [{ file: rows.file, header, column: null, unit: null }];
      }
      const { name } = found.column;
      const unit = unitOf(found) ?? this.#numbers[name]?.unitsRead ?? found.unit?.name ?? null;
      return [{ file: rows.file, header, column: name, unit }];
    });
  }
}
