/** The cells of one row by the names of their columns, with a finding for each that cannot be understood. */
import * as messages from "../../messages/reading.ts";
import type { Whereabouts } from "../../messages/finding.ts";
import type { Crop } from "../../vocabulary/crops.ts";
import type { UnitChoice } from "../../vocabulary/settings.ts";
import type { Finding, ReadColumn } from "../../vocabulary/trial.ts";
import {
  holdsPercents,
  nothing,
  NumberColumn,
  TextColumn,
  type NumberCell,
  type NumberFound,
  type TextKeeper,
} from "./cells.ts";
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

/** A number that a row cannot do without if it is there; `unreadable`: a finding says what is wrong with it. */
export type NeededCell = NumberFound | { kind: "nothing" } | { kind: "unreadable" };

const unreadable = { kind: "unreadable" } as const;

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

  /** A number the row cannot do without if it is there. */
  needed(name: Name): NeededCell {
    const column = this.#numbers[name];
    if (column === undefined) return nothing;
    const cell = this.#read(name, column);
    if (cell.kind === "number" || cell.kind === "nothing") return cell;
    this.findings.push(
      cell.kind === "unit-unclear"
        ? messages.rowUnitUnclear(this.where(name), column.usualUnit)
        : messages.rowNotANumber(this.where(name)),
    );
    return unreadable;
  }

  /** A number the row can do without, and its unit: null, with a finding, when it cannot be understood. */
  found(name: Name): NumberFound | null {
    const column = this.#numbers[name];
    if (column === undefined) return null;
    const cell = this.#read(name, column);
    if (cell.kind === "number") return cell;
    if (cell.kind === "nothing") return null;
    const { usualUnit, header } = column;
    return this.leaveOut(
      cell.kind === "unit-unclear"
        ? messages.valueUnitUnclear(this.where(name), usualUnit, this.#kind, /pct|percent|%/i.test(header))
        : messages.valueNotANumber(this.where(name), this.#kind),
    );
  }

  /** The same without its unit. */
  optional(name: Name): number | null {
    return this.found(name)?.value ?? null;
  }

  /** The cell as it stands. */
  raw(name: Name): string {
    return (this.#cells[this.#columns[name]?.index ?? -1] ?? "").trim();
  }

  #read(name: Name, column: NumberColumn): NumberCell {
    const cell = column.read(this.#cells, this.#row);
    if (cell.kind === "number" && cell.remark !== null)
      this.findings.push(messages.numberJotted(this.where(name), cell.remark));
    return cell;
  }

  /** A number as it stands, null where there is none: for comparing, without a finding. */
  plain(name: Name): number | null {
    const cell = this.#numbers[name]?.read(this.#cells, this.#row);
    return cell?.kind === "number" ? cell.value : null;
  }

  /** The same as `found`, for a number that has to be above 0. */
  foundPositive(name: Name): NumberFound | null {
    const cell = this.found(name);
    if (cell === null || cell.value > 0) return cell;
    return this.leaveOut(messages.valueNotPositive(this.where(name), this.#kind));
  }

  /** The same without its unit. */
  positive(name: Name): number | null {
    return this.foundPositive(name)?.value ?? null;
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
