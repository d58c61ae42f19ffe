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
  readonly #columns: readonly { index: number; name: string }[];
  /** What stands in each column, or above, and the last text that was looked at. */
  readonly #above: string[];
  readonly #looked: string[];
  readonly #told = new Set<string>();

  /** @param columns  those whose cells may repeat what is above: what was measured may not */
  constructor(file: string, columns: readonly { index: number; name: string }[]) {
    this.#file = file;
    this.#columns = columns;
    this.#above = columns.map(() => "");
    this.#looked = columns.map(() => "");
  }

  /** The row with what its ditto marks stand for; the row itself where it has none. */
  resolved(cells: readonly string[], row: number, findings: Finding[]): readonly string[] {
    let own: string[] | null = null;
    for (let at = 0; at < this.#columns.length; at++) {
      const { index, name } = this.#columns[at]!;
      const text = cells[index];
      if (text === undefined || text === "" || text === this.#looked[at]) continue;
      if (text.length > longest || !ditto.test(text)) {
        this.#looked[at] = text;
        if (text.trim() !== "") this.#above[at] = text;
        continue;
      }
      own ??= [...cells];
      own[index] = this.#above[at]!;
      if (this.#told.has(name)) continue;
      this.#told.add(name);
      findings.push(dittoMarks({ file: this.#file, row, column: name, value: text }, this.#above[at]!));
    }
    return own ?? cells;
  }
}
