/** A field sheet at harvest: its strips, what is noted of each, and which comes next. */
import Papa from "papaparse";
import { gridText } from "../tell/csv/csv-text.ts";

/** What is noted at harvest, by how the column's name begins. */
const noted: [start: string, label: string, mode: "decimal" | "text"][] = [
  ["strip_weight", "Weight", "decimal"],
  ["yield", "Yield", "decimal"],
  ["moisture", "Moisture", "decimal"],
  ["lodging", "Lodging", "decimal"],
  ["stand", "Stand", "decimal"],
  ["test_weight", "Test weight", "decimal"],
  ["protein", "Protein", "decimal"],
  ["note", "Note", "text"],
];

export interface NotedColumn {
  column: number;
  label: string;
  unit: string;
  mode: "decimal" | "text";
}

export class HarvestSheet {
  readonly #rows: string[][];
  /** The strip at hand, from 1. */
  at = 1;
  /** Notes that are in no file yet. */
  isUnsaved = false;

  private constructor(rows: string[][]) {
    this.#rows = rows;
    const open = rows.findIndex((_, index) => index > 0 && !this.#isDone(index));
    this.at = open < 0 ? rows.length - 1 : open;
  }

  /** @returns null where the text holds no strips */
  static of(text: string): HarvestSheet | null {
    const { data } = Papa.parse<string[]>(text, { skipEmptyLines: "greedy" });
    return data.length < 2 ? null : new HarvestSheet(data);
  }

  get strips(): number {
    return this.#rows.length - 1;
  }

  get done(): number {
    return this.#rows.filter((_, index) => index > 0 && this.#isDone(index)).length;
  }

  #isDone(row: number): boolean {
    const cells = this.#rows[row]!;
    return ["strip_weight", "yield"].some((start) => (cells[this.#columnOf(start)] ?? "").trim() !== "");
  }

  #columnOf(start: string): number {
    return this.#rows[0]!.findIndex((name) => name === start || name.startsWith(`${start} (`));
  }

  get columns(): NotedColumn[] {
    return noted.flatMap(([start, label, mode]) => {
      const column = this.#columnOf(start);
      if (column < 0) return [];
      return [{ column, label, mode, unit: /\((.*)\)/.exec(this.#rows[0]![column]!)?.[1] ?? "" }];
    });
  }

  /** A cell of the strip at hand, by its column or by how its name begins. */
  cell(column: number | string): string {
    return this.#rows[this.at]![typeof column === "number" ? column : this.#columnOf(column)] ?? "";
  }

  write(column: number, text: string): void {
    const cells = this.#rows[this.at]!;
    while (cells.length <= column) cells.push("");
    cells[column] = text;
    this.isUnsaved = true;
  }

  /** @param strips  1 for the next strip, −1 for the previous one; stops at the first and the last */
  step(strips: 1 | -1): void {
    this.at = Math.min(this.strips, Math.max(1, this.at + strips));
  }

  get text(): string {
    return gridText(this.#rows);
  }
}
