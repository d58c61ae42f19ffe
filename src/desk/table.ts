/** A table of inputs that draws only the rows in sight. */
import { element } from "./element.ts";
import { redraw, typedField } from "./typing.ts";

export interface TableRow {
  /** Number of the row, as a spreadsheet shows it. */
  number: number;
  cells: readonly string[];
  isOut: boolean;
  /** Severity of the worst finding of the row; "" for none. */
  worst: "stops" | "doubt" | "note" | "";
  /** Places of the cells that findings name. */
  marked: ReadonlySet<number>;
  found: string;
}

export interface TableShown {
  name: string;
  header: readonly string[];
  headerRow: number;
  /** Names that a header can have, for the list that opens below it. */
  columnNames: string;
  rows: readonly TableRow[];
  write(row: number, column: number, text: string): void;
  /** Asks why and leaves the row out, or uses it again. */
  leave(row: TableRow): void;
  told(row: TableRow): void;
}

/** Height of a row, as in the style [px], and rows beyond those in sight. */
const rowHeight = 44;
const spare = 6;
/** A column is as wide as its header, up to so many characters, plus the arrow of its list [characters]. */
const mostHeaderCharacters = 32;
const headerSpare = 6;
/** The table is at most this high, as in the style. */
const mostOfWindow = 0.65;

export class Table {
  readonly element: HTMLElement;
  readonly #body = element("tbody");
  readonly #head = element("thead");
  #shown: TableShown | null = null;
  #from = -1;
  #to = -1;

  constructor() {
    this.element = element(
      "div",
      { class: "grid", tabindex: 0, role: "region", "aria-label": "Rows" },
      element("table", {}, this.#head, this.#body),
    );
    this.element.addEventListener("scroll", () => this.#window(false), { passive: true });
    this.element.addEventListener("keydown", (event) => this.#move(event));
  }

  show(shown: TableShown): void {
    const before = this.#shown;
    this.#shown = shown;
    this.element.setAttribute("aria-label", `Rows of ${shown.name}`);
    if (before?.header.join("\t") !== shown.header.join("\t") || before.name !== shown.name) this.#drawHead();
    if (before?.name !== shown.name) this.element.scrollTo(0, 0);
    this.#window(true);
  }

  /** Scrolls to a row and puts the cursor into a cell of it. */
  focus(number: number, column: number): void {
    const index = this.#shown?.rows.findIndex((row) => row.number === number) ?? -1;
    if (index < 0) return;
    this.element.scrollTop = Math.max(0, (index - 2) * rowHeight);
    this.#window(true);
    this.#cell(number, column)?.focus();
  }

  #cell(row: number, column: number): HTMLInputElement | null {
    return this.element.querySelector(`input[data-row="${row}"][data-column="${column}"]`);
  }

  #drawHead(): void {
    const { header, headerRow, columnNames } = this.#shown!;
    redraw(this.#head, () =>
      this.#head.replaceChildren(
        element(
          "tr",
          {},
          element("th", { class: "number", scope: "col" }, "Row"),
          ...header.map((text, column) => {
            const input = this.#input(headerRow, column, text, `Name of column ${column + 1}`, columnNames);
            input.style.minWidth = `${Math.min(text.length, mostHeaderCharacters) + headerSpare}ch`;
            return element("th", { scope: "col" }, input);
          }),
          element("th", { scope: "col", class: "found" }, "What was found"),
        ),
      ),
    );
  }

  #input(row: number, column: number, text: string, label: string, list = ""): HTMLInputElement {
    return typedField(
      `${row} ${column}`,
      text.length > 2000 ? text.slice(0, 2000) : text,
      (typed) => this.#shown!.write(row, column, typed),
      {
        autocapitalize: "off",
        "aria-label": label,
        "data-row": row,
        "data-column": column,
        readonly: text.length > 2000,
        list: list === "" ? null : list,
      },
    );
  }

  #window(isNew: boolean): void {
    const shown = this.#shown;
    if (shown === null) return;
    const { scrollTop, clientHeight } = this.element;
    // While it is empty, or not in the page yet, it is not as high as it may become.
    const height = Math.max(clientHeight, window.innerHeight * mostOfWindow);
    const from = Math.max(0, Math.floor(scrollTop / rowHeight) - spare);
    const to = Math.min(shown.rows.length, Math.ceil((scrollTop + height) / rowHeight) + spare);
    if (!isNew && from === this.#from && to === this.#to) return;
    [this.#from, this.#to] = [from, to];
    const gap = (rows: number): HTMLElement => {
      const cell = element("td", { colspan: shown.header.length + 2 });
      cell.style.height = `${rows * rowHeight}px`;
      return element("tr", { class: "gap", "aria-hidden": "true" }, cell);
    };
    redraw(this.#body, () =>
      this.#body.replaceChildren(
        ...(from > 0 ? [gap(from)] : []),
        ...shown.rows.slice(from, to).map((row) => this.#row(row)),
        ...(to < shown.rows.length ? [gap(shown.rows.length - to)] : []),
      ),
    );
  }

  #row(row: TableRow): HTMLElement {
    const { header } = this.#shown!;
    const width = Math.max(header.length, 1);
    return element(
      "tr",
      {
        class: [row.worst, row.isOut ? "out" : ""].join(" ").trim(),
        onfocusin: () => this.#shown!.told(row),
      },
      element("th", { class: "number", scope: "row" }, String(row.number)),
      ...Array.from({ length: width }, (_, column) =>
        element(
          "td",
          { class: row.marked.has(column) ? "marked" : null },
          this.#input(
            row.number,
            column,
            row.cells[column] ?? "",
            `${header[column] ?? `Column ${column + 1}`}, row ${row.number}${row.marked.has(column) ? ", something was found" : ""}`,
          ),
        ),
      ),
      element(
        "td",
        { class: "found" },
        element(
          "button",
          {
            type: "button",
            class: "small",
            "data-key": `out ${row.number}`,
            onclick: () => this.#shown!.leave(row),
          },
          row.isOut ? `Use row ${row.number} again` : `Leave out row ${row.number}`,
        ),
        " ",
        row.found,
      ),
    );
  }

  /** Up, down and Enter go to the cell above or below; Escape leaves the cells, so that Tab does not go through them all. */
  #move(event: KeyboardEvent): void {
    if (event.key === "Escape" && event.target !== this.element) return this.element.focus();
    const { row, column } = (event.target as HTMLElement).dataset;
    const step = { ArrowUp: -1, ArrowDown: 1, Enter: 1 }[event.key];
    if (row === undefined || column === undefined || step === undefined || event.altKey) return;
    if ((event.target as HTMLInputElement).list !== null && event.key !== "Enter") return;
    const rows = this.#shown!.rows;
    const index = rows.findIndex(({ number }) => number === Number(row));
    const next = rows[index + step];
    if (next === undefined) return;
    event.preventDefault();
    const target = this.#cell(next.number, Number(column));
    if (target !== null) {
      target.scrollIntoView({ block: "nearest" });
      target.focus();
    } else this.focus(next.number, Number(column));
  }
}
