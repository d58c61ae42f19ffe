/** Cells of a column → numbers and names. */
import { unitAsked } from "../../messages/reading.ts";
import type { Crop } from "../../vocabulary/crops.ts";
import type { UnitChoice } from "../../vocabulary/settings.ts";
import { QuestionError, whichUnit, type Answers } from "../answers/answers.ts";
import { areLetters, parseLoose, type LooseNumber } from "../units/loose-numbers.ts";
import { splitAmount } from "../units/split-amount.ts";
import {
  parseUnit,
  quantities,
  spansOf,
  unitNamed,
  type ColumnUnit,
  type Quantity,
  type QuantityName,
} from "../units/column-units.ts";
import type { DecimalMarks } from "../units/decimal-marks.ts";
import type { FileColumn } from "./headers.ts";
import { detached } from "./detached.ts";
import { parseNumber, plainSigns, readNumber, type DecimalMark, type NumberText } from "../units/numbers.ts";

const missing =
  /^(?:[-–—.?]+|n\.?\s?[/.]?\s?a\.?(?:\s*[-–—:,(].*)?|nan|null|none|missing|#(?:n\/a|div\/0!|value!|ref!|name\?|num!))$/i;

/** Whether a cell says that nothing is known: empty, a dash, `NA`. */
export const isMissing = (text: string): boolean => text.trim() === "" || missing.test(text.trim());

/** Answered to be in thousands, a number below this is; one above it stands as it is. */
const fewerThanThousands = 10_000;

/** Yields that are usual on farms [kg/ha] (common practice). */
const [leastYield, mostYield] = [1_000, 12_000];
/** A rate within these shares of the crop's usual one is a likely one (common practice). */
const [leastOfUsual, mostOfUsual] = [0.25, 4];

interface BareSpan {
  unit: ColumnUnit | null;
  name: string | null;
  from: number;
  to: number;
}

/** A number in the engine's unit. */
export interface NumberFound {
  kind: "number";
  value: number;
  /** The unit it was written in; null for a plain number. */
  unit: ColumnUnit | null;
  /** Why it is not as sure as it looks: the middle of a range, or marked so by the writer. */
  remark: LooseNumber["remark"];
}

/** What a cell gives; `nothing`: it is empty, or says that nothing is known. */
export type NumberCell =
  | NumberFound
  | { kind: "nothing" }
  | { kind: "not-a-number" }
  | { kind: "unit-unclear" };

export const nothing = { kind: "nothing" } as const;
const notANumber: NumberCell = { kind: "not-a-number" };
const unitUnclear: NumberCell = { kind: "unit-unclear" };

/** Reads the numbers of one column in the engine's unit. */
export class NumberColumn {
  readonly index: number;
  readonly name: string;
  readonly header: string;
  /** The first cell whose unit is unclear, and whether any had a clear one. */
  firstUnclear: { row: number; text: string } | null = null;
  anyClear = false;
  readonly #crop: Crop;
  readonly #spans: BareSpan[];
  readonly #percent: boolean;
  readonly #money: boolean;
  readonly #marks: DecimalMarks;
  readonly #used = new Set<string>();
  readonly #quantity: QuantityName | null;
  readonly #thousands: boolean;
  #mark: DecimalMark | null;

  constructor(
    column: FileColumn,
    marks: DecimalMarks,
    certainMark: DecimalMark | null,
    crop: Crop,
    system: UnitChoice["system"],
    answers: Answers,
  ) {
    this.#quantity = column.column.quantity;
    this.#thousands = answers.thousands.includes(column.column.name);
    this.index = column.index;
    this.name = column.column.name;
    this.header = column.header;
    this.#crop = crop;
    this.#marks = marks;
    this.#mark = certainMark;
    const { quantity } = column.column;
    const whole = { from: -Infinity, to: Infinity };
    const spans = quantity === null ? null : spansOf(quantity, system, column.unit);
    if (quantity === null || spans === null)
      this.#spans = [{ ...whole, unit: column.unit, name: column.unit?.name ?? null }];
    else {
      this.#spans = spans.map(({ unit, from, to }) => ({
        from,
        to,
        name: unit,
        unit: unitNamed(quantity, unit),
      }));
    }
    this.acceptedUnits = quantity === null ? [] : quantities[quantity].units.map(({ name }) => name);
    this.#money = column.column.kind === "money";
    this.#percent =
      column.column.kind === "lodging" ||
      column.unit?.ofToday === true ||
      (quantity !== null && holdsPercents(quantities[quantity]));
  }

  /** Units of the numbers read so far, as told to the person; null where there are none. */
  get unitsRead(): string | null {
    return this.#used.size === 0 ? null : [...this.#used].sort().join(" and ");
  }

  /** Units that the header may name. */
  readonly acceptedUnits: string[];

  /** The same, those in which a rate like this one is usual first. */
  likelyUnits(text: string): string[] {
    const number = Number(text.replace(",", "."));
    const isUsual = (name: string): boolean => {
      if (this.#quantity === "yield") {
        const grain = unitNamed(this.#quantity, name).toOurs(number, this.#crop);
        return grain >= leastYield && grain <= mostYield;
      }
      if (this.#quantity !== "rate" && this.#quantity !== "stripRate") return false;
      const unit = unitNamed(this.#quantity, name);
      if (text.includes("%") || unit.ofToday === true) return text.includes("%") && unit.ofToday === true;
      const share = unit.toOurs(number, this.#crop) / this.#crop.usualSeedsPerM2;
      return (
        unit.seedWeight !== true && unit.alongRow !== true && share >= leastOfUsual && share <= mostOfUsual
      );
    };
    return [...this.acceptedUnits.filter(isUsual), ...this.acceptedUnits.filter((name) => !isUsual(name))];
  }

  /** The unit that bare numbers are taken to be in. */
  get usualUnit(): string {
    return [...new Set(this.#spans.map((span) => span.name))].join(" or ");
  }

  /**
   * The number in a row's cell, in the engine's unit.
   *
   * @throws TrialError `number-ambiguous` as `DecimalMarks.settle` does
   */
  read(cells: readonly string[], row: number): NumberCell {
    const text = cells[this.index];
    if (text === undefined || text === "") return nothing;
    const plain = readNumber(text, this.#mark);
    if (Number.isNaN(plain)) return isMissing(text) ? nothing : this.#readSlowly(text, row);
    return this.#readBare(plain, text, row);
  }

  /** A number without a unit of its own. */
  #readBare(number: number, text: string, row: number): NumberCell {
    const value = this.#thousands && number > 0 && number < fewerThanThousands ? number * 1000 : number;
    for (const { unit, from, to } of this.#spans)
      if (value >= from && value <= to) return this.#inUnit(value, unit, null);
    return this.#unclear(text, row);
  }

  #unclear(text: string, row: number): NumberCell {
    this.firstUnclear ??= { row, text };
    return unitUnclear;
  }

  #inUnit(value: number, unit: ColumnUnit | null, remark: NumberFound["remark"]): NumberCell {
    if (unit === null) return { kind: "number", value, unit, remark };
    this.anyClear = true;
    this.#used.add(unit.name);
    const ours = unit.toOurs(value, this.#crop);
    return Math.abs(ours) < Infinity ? { kind: "number", value: ours, unit, remark } : notANumber;
  }

  /** A number with a sign of its column, or one that could be two; else as somebody jotted it down. */
  #readSlowly(text: string, row: number): NumberCell {
    const number = parseNumber(this.#bare(text));
    return number.kind === "none"
      ? this.#readJotted(text, row)
      : this.#readBare(this.#settled(number, text, row), text, row);
  }

  #settled(number: Exclude<NumberText, { kind: "none" }>, text: string, row: number): number {
    if (number.kind === "number") return number.value;
    this.#mark ??= this.#marks.settle(this.index, { row, column: this.name, text });
    return number[this.#mark];
  }

  /** A number with words, a unit of its own, or a mark of doubt. */
  #readJotted(text: string, row: number): NumberCell {
    const loose = this.#money ? null : parseLoose(text);
    if (loose === null || loose.number.kind === "none") return notANumber;
    const { number, times, unit: unitText, remark } = loose;
    const bare = this.#settled(number, text, row);
    const own = times === 1 || this.#quantity === null ? null : parseUnit(this.#quantity, loose.written);
    if (own !== null) return this.#inUnit(bare, own, remark);
    const value = times === 1 ? bare : Number((bare * times).toPrecision(12));
    const named = unitText === "" || this.#quantity === null ? null : parseUnit(this.#quantity, unitText);
    if (named !== null) return this.#inUnit(value, named, remark);
    const hasLetters = times === 1 && areLetters(unitText);
    if (unitText !== "" && !hasLetters) {
      return unitText === "%" && this.#quantity === "stripRate" ? this.#unclear(text, row) : notANumber;
    }
    for (const { unit, from, to } of this.#spans) {
      if (value < from || value > to) continue;
      const whole = times === 1 ? unit : this.#countedInOnes(unit);
      return this.#inUnit(value, whole, remark ?? (hasLetters ? "letters" : null));
    }
    return this.#unclear(text, row);
  }

  /** `1.1 M` below `rate (million/ac)` is 1.1 million, and not a million times as much. */
  #countedInOnes(unit: ColumnUnit | null): ColumnUnit | null {
    const ones = unit?.name.replace(/^(?:thousand|million) /, "") ?? "";
    return unit === null || this.#quantity === null || ones === unit.name
      ? unit
      : unitNamed(this.#quantity, ones);
  }

  /** The text without the percent sign or currency that goes with the column. */
  #bare(text: string): string {
    if (this.#percent) {
      const trimmed = text.trim();
      return trimmed.endsWith("%") ? trimmed.slice(0, -1).trimEnd() : trimmed;
    }
    const amount = this.#money ? splitAmount(text) : null;
    return amount !== null && amount.unit === "" ? amount.number : text;
  }
}

/**
 * Asks for the unit of a column when every bare number in it left that open.
 *
 * @throws TrialError `unit-unclear`
 */
export function askForUnit(file: string, column: NumberColumn | undefined): void {
  if (column === undefined || column.anyClear || column.firstUnclear === null) return;
  const { row, text } = column.firstUnclear;
  const units = column.likelyUnits(text);
  throw new QuestionError(unitAsked(file, row, column.name, text, units, column.header), [
    whichUnit(file, column.name, column.header, units, text),
  ]);
}

/** Whether numbers of a quantity are percents, and cannot be more than 100. */
export const holdsPercents = (quantity: Quantity): boolean => quantity.units[0].name === "%";

/** No name and no note is longer; a cell that is was swallowed by a quotation mark. */
const longestText = 4_000;

/** Keeps one copy of every text, apart from the file's text, so that a million rows share a few names. */
export class TextKeeper {
  readonly #kept = new Map<string, string>();

  /** The text trimmed, with single spaces and composed accents. */
  keep(text: string): string {
    let kept = this.#kept.get(text);
    if (kept === undefined) {
      kept = detached(plainSigns(text.slice(0, longestText).normalize("NFC")).replace(/\s+/g, " ").trim());
      if (text.length <= longestText) this.#kept.set(detached(text), kept);
    }
    return kept;
  }
}

/** Reads the names of one column. Rows that follow one another mostly have the same. */
export class TextColumn {
  readonly index: number;
  readonly #keeper: TextKeeper;
  #last = "";
  #lastKept = "";

  constructor(index: number, keeper: TextKeeper) {
    this.index = index;
    this.#keeper = keeper;
  }

  /** @returns the cell's text, "" for an empty one */
  read(cells: readonly string[]): string {
    const text = cells[this.index];
    if (text === undefined || text === "") return "";
    if (text !== this.#last) {
      this.#last = text;
      this.#lastKept = this.#keeper.keep(text);
    }
    return this.#lastKept;
  }
}
