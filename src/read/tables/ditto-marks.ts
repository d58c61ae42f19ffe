/** Ditto marks, `"` or `do.` below a name: the cell repeats what is above it. */
import { dittoMarks } from "../../messages/reading.ts";
import type { Finding } from "../../vocabulary/trial.ts";

const ditto =
  /^[-–—.\s]*(?:["“”„″〃]|['’‘´`]{2}|ditto|dito|dto\.?|do\.|idem|same(?: as above)?|wie oben|ebenso|ídem|lo mismo)[-–—.\s]*$/iu;
/** Longer cells are no ditto marks. */
const longest = 16;

/** Cells of columns that may be repeated, row by row. */
export class DittoMarks {
  readonly #file: string;
  /** `above`: what stands in the column, or above; `looked`: the last text that was looked at. */
  readonly #columns: readonly { index: number; name: string; above: string; looked: string }[];
  readonly #told = new Set<string>();

  /** @param columns  those whose cells may repeat what is above: what was measured may not */
  constructor(file: string, columns: readonly { index: number; name: string }[]) {
    this.#file = file;
    this.#columns = columns.map(({ index, name }) => ({ index, name, above: "", looked: "" }));
  }

  /** The row with what its ditto marks stand for; the row itself where it has none. */
  resolved(cells: readonly string[], row: number, findings: Finding[]): readonly string[] {
    let own: string[] | null = null;
    for (const column of this.#columns) {
      const { index, name, above } = column;
      const text = cells[index];
      if (text === undefined || text === "" || text === column.looked) continue;
      if (text.length > longest || !ditto.test(text)) {
        column.looked = text;
        if (text.trim() !== "") column.above = text;
        continue;
      }
      own ??= [...cells];
      own[index] = above;
      if (this.#told.has(name)) continue;
      this.#told.add(name);
      findings.push(dittoMarks({ file: this.#file, row, column: name, value: text }, above));
    }
    return own ?? cells;
  }
}
