/** Which decimal mark the numbers of a file have, from all of them, for those that could be two numbers. */
import { decimalMarkAsked } from "../../messages/reading.ts";
import { parseNumber, type DecimalMark } from "./numbers.ts";
import type { Sheet } from "../tables/sheet.ts";

/** What is known of a column before its numbers are looked at. */
export interface SurveyedColumn {
  index: number;
  /** Largest number it can hold, where that is certain: 100 for percents. */
  most: number;
}

interface Evidence {
  point: boolean;
  comma: boolean;
}

/** Decides once, when the first number that could be two turns up: most files never need it. */
export class DecimalMarks {
  readonly #rows: Sheet;
  readonly #columns: readonly SurveyedColumn[];
  #evidence: Map<number, Evidence> | null = null;

  constructor(rows: Sheet, columns: readonly SurveyedColumn[]) {
    this.#rows = rows;
    this.#columns = columns;
  }

  #survey(): Map<number, Evidence> {
    const evidence = new Map(this.#columns.map(({ index }) => [index, { point: false, comma: false }]));
    this.#rows.forEach((cells) => {
      for (const { index, most } of this.#columns) {
        const cell = cells[index];
        if (cell === undefined || cell === "") continue;
        const number = parseNumber(cell);
        const mark =
          number.kind === "number"
            ? number.mark
            : number.kind === "either"
              ? markThatFits(number, most)
              : null;
        if (mark !== null) evidence.get(index)![mark] = true;
      }
    });
    return evidence;
  }

  /**
   * The decimal mark of a column: the one its own numbers give away, else the one of the file, else the one that goes
   * with a comma between cells.
   *
   * @throws TrialError `number-ambiguous` if all that leaves it open, naming the cell that asks
   */
  settle(index: number, cell: { row: number; column: string; text: string }): DecimalMark {
    this.#evidence ??= this.#survey();
    const own = this.#evidence.get(index) ?? { point: false, comma: false };
    const all = { point: false, comma: false };
    for (const { point, comma } of this.#evidence.values()) {
      all.point ||= point;
      all.comma ||= comma;
    }
    for (const { point, comma } of [own, all]) {
      if (point !== comma) return point ? "point" : "comma";
    }
    if (!all.point && !all.comma && this.#rows.usualMark !== null) return this.#rows.usualMark;
    const number = parseNumber(cell.text);
    if (number.kind !== "either") return "point";
    throw decimalMarkAsked(
      this.#rows.file,
      cell.row,
      cell.column,
      cell.text,
      number.point,
      number.comma,
      all.point && all.comma,
    );
  }
}

function markThatFits(number: { point: number; comma: number }, most: number): DecimalMark | null {
  const point = number.point <= most;
  const comma = number.comma <= most;
  return point === comma ? null : point ? "point" : "comma";
}
