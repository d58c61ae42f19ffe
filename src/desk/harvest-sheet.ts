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
  readonly #header: string[];
  readonly #strips: string[][];
  /** The strip at hand, from 1. */
  at = 1;
  /** Notes that are in no file yet. */
  isUnsaved = false;

  private constructor(header: string[], strips: string[][]) {
    this.#header = header;
    this.#strips = strips;
    const open = strips.findIndex((cells) => !this.#isDone(cells));
    this.at = open < 0 ? strips.length : open + 1;
  }

  /** @returns null where the text holds no strips */
  static of(text: string): HarvestSheet | null {
    const { data } = Papa.parse<string[]>(text, { skipEmptyLines: "greedy" });
    const [header, ...strips] = data;
    return header === undefined || strips.length === 0 ? null : new HarvestSheet(header, strips);
  }

  get strips(): number {
    return this.#strips.length;
  }

  get done(): number {
    return this.#strips.filter((cells) => this.#isDone(cells)).length;
  }

  get #atHand(): string[] {
    return this.#strips[this.at - 1]!;
  }

  #isDone(cells: readonly string[]): boolean {
    return ["strip_weight", "yield"].some((start) => (cells[this.#columnOf(start)] ?? "").trim() !== "");
  }

  #columnOf(start: string): number {
    return this.#header.findIndex((name) => name === start || name.startsWith(`${start} (`));
  }

  get columns(): NotedColumn[] {
    return noted.flatMap(([start, label, mode]) => {
      const column = this.#columnOf(start);
      const name = this.#header[column];
      return name === undefined ? [] : [{ column, label, mode, unit: /\((.*)\)/.exec(name)?.[1] ?? "" }];
    });
  }

  /** A cell of the strip at hand, by its column or by how its name begins. */
  cell(column: number | string): string {
    return this.#atHand[typeof column === "number" ? column : this.#columnOf(column)] ?? "";
  }

  write(column: number, text: string): void {
    const cells = this.#atHand;
    while (cells.length <= column) cells.push("");
    cells[column] = text;
    this.isUnsaved = true;
  }

  /** @param strips  1 for the next strip, −1 for the previous one; stops at the first and the last */
  step(strips: 1 | -1): void {
    this.at = Math.min(this.strips, Math.max(1, this.at + strips));
  }

  get text(): string {
    return gridText([this.#header, ...this.#strips]);
  }
}
