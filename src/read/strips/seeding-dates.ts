/** Seeding dates of a file's strips: those that can be read in two ways follow the others. */
import * as messages from "../../messages/reading.ts";
import type { Whereabouts } from "../../messages/finding.ts";
import type { Strip } from "../../vocabulary/trial.ts";
import { isMissing } from "../tables/cells.ts";
import type { StripColumnName } from "./columns.ts";
import { parseDate, type DateOrder, type DateText } from "../units/dates.ts";
import { kept } from "../../maths/kept.ts";
import type { RowCells } from "../tables/row-cells.ts";

interface OpenDate {
  strip: Strip;
  date: DateText & { kind: "either" };
  where: Whereabouts;
}

/** The dates of one file, row by row (`read`), and at its end those that were left open (`settle`). */
export class SeedingDates {
  readonly #cells: RowCells<StripColumnName>;
  readonly #known = new Map<string, DateText>();
  readonly #orders = new Set<DateOrder>();
  readonly #open: OpenDate[] = [];

  constructor(cells: RowCells<StripColumnName>) {
    this.#cells = cells;
  }

  /** Gives the strip of the row its date, now or, where the date leaves that open, in `settle`. */
  read(strip: Strip): void {
    const text = this.#cells.text("seeded");
    if (text === "") return;
    const date = kept(this.#known, text, () => parseDate(text));
    if (date.kind === "date") {
      strip.seeded = date.iso;
      if (date.order !== null) this.#orders.add(date.order);
    } else if (date.kind === "either") {
      this.#open.push({ strip, date, where: this.#cells.where("seeded") });
    } else if (!isMissing(text)) {
      this.#cells.findings.push(messages.valueNotADate(this.#cells.where("seeded")));
    }
  }

  /** Dates such as 4/5/2026 follow the others of the file, where those agree. */
  settle(): void {
    const [order] = this.#orders;
    for (const { strip, date, where } of this.#open) {
      if (this.#orders.size === 1) strip.seeded = order === "month-first" ? date.monthFirst : date.dayFirst;
      else this.#cells.findings.push(messages.valueNotADate(where));
    }
  }
}
