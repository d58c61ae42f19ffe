/** Prices and limits that a reader moves: the same decision as in the report, taken again, and told again. */
import { decideAgain } from "../decide/decide.ts";
import type { Result } from "../vocabulary/result.ts";
import type { Measures } from "../numbers/measures.ts";
import { effectSentence, movedNote, movedTexts, outOfBounds } from "../tell/wording/what-if.ts";
import { inField, numberTyped, settingsWith, whatIfFields, type WhatIfField } from "../tell/what-if.ts";
import { addressOf, valuesOfAddress } from "./address.ts";
import type { LiveCharts } from "./live-charts.ts";
import { partsTeller } from "./tell-parts.ts";

/** Makes the form visible and lets it act. Where the address says moved values, they are taken at once. */
export function startWhatIf(page: Document, report: Result, measures: Measures, charts: LiveCharts): void {
  const form = page.querySelector<HTMLFormElement>("#what-if");
  if (form === null || page.defaultView === null) return;
  const whatIf = new WhatIf(page, form, report, measures, charts);
  whatIf.listen();
  form.hidden = false;
  // The first move should be as quick as the others: what it needs is made while the reader reads.
  charts.warm();
  whatIf.takeSharedAddress();
}

class WhatIf {
  readonly #page: Document;
  readonly #view: Window;
  readonly #form: HTMLFormElement;
  readonly #report: Result;
  readonly #measures: Measures;
  readonly #charts: LiveCharts;
  readonly #fields: WhatIfField[];
  readonly #tellParts: (result: Result) => void;
  readonly #reportCells: ReadonlyMap<string, string>;
  /** Moved values by the key of their field. */
  #values = new Map<string, number>();
  #isWaiting = false;

  constructor(page: Document, form: HTMLFormElement, report: Result, measures: Measures, charts: LiveCharts) {
    this.#page = page;
    this.#view = page.defaultView!;
    this.#form = form;
    this.#report = report;
    this.#measures = measures;
    this.#charts = charts;
    this.#fields = whatIfFields(report, measures);
    this.#tellParts = partsTeller(page, report, measures);
    this.#reportCells = new Map(cellsOf(page).map(({ at, cell }) => [at, words(cell)]));
  }

  listen(): void {
    this.#form.addEventListener("input", (event) => this.#take(event.target as HTMLInputElement));
    this.#form.addEventListener("change", () => this.#writeAddress());
    this.#form.addEventListener("submit", (event) => event.preventDefault());
    this.#page.querySelector("#what-if-bar")?.addEventListener("click", (event) => {
      const key = (event.target as HTMLElement).dataset.undo;
      if (key !== undefined) this.#undo(key);
    });
    this.#view.addEventListener("popstate", () => this.#takeAddress());
    this.#view.addEventListener("hashchange", () => this.#takeAddress());
  }

  /** A page that somebody shared with moved values opens with them. */
  takeSharedAddress(): void {
    if (valuesOfAddress(this.#view.location.hash, this.#fields).size > 0) this.#takeAddress();
  }

  #take(input: HTMLInputElement): void {
    const field = this.#fields.find((one) => one.key === input.dataset.key);
    if (field === undefined) return;
    const value = numberTyped(input.value, this.#measures.style);
    if (!(value >= field.lowest && value <= field.highest)) {
      complain(this.#page, input, outOfBounds(field, this.#measures));
      return;
    }
    complain(this.#page, input, "");
    if (value === field.value) this.#values.delete(field.key);
    else this.#values.set(field.key, value);
    for (const other of inputsOf(this.#form, field.key)) if (other !== input) this.#show(other, value);
    this.#tellSoon();
  }

  /** @param key  of the field that gets the report's value back; "" for all of them */
  #undo(key: string): void {
    if (key === "") this.#values = new Map();
    else this.#values.delete(key);
    this.#showValues();
    this.#tellSoon();
    this.#writeAddress();
    inputsOf(this.#form, key).at(-1)?.focus({ preventScroll: true });
  }

  #takeAddress(): void {
    const { hash } = this.#view.location;
    // A link to a part of the page moves nothing.
    if (hash !== "" && !hash.includes("=")) return;
    this.#values = valuesOfAddress(hash, this.#fields);
    this.#showValues();
    this.#tellSoon();
  }

  /** Writes the address, which makes a step for the browser's Back; a browser that refuses is left alone. */
  #writeAddress(): void {
    const here = this.#view.location;
    const fragment = addressOf(this.#fields, this.#values);
    if (fragment === here.hash) return;
    try {
      this.#view.history.pushState(null, "", fragment || here.pathname + here.search);
    } catch {
      // Some browsers allow only so many writes in a while: the page goes on without its address.
    }
  }

  #showValues(): void {
    for (const { key, value } of this.#fields)
      for (const input of inputsOf(this.#form, key)) this.#show(input, this.#values.get(key) ?? value);
  }

  #show(input: HTMLInputElement, value: number | null): void {
    input.value = value === null ? "" : valueFor(input, value, this.#measures);
    complain(this.#page, input, "");
  }

  /** One redraw a frame, however fast a slider moves. */
  #tellSoon(): void {
    if (this.#isWaiting) return;
    this.#isWaiting = true;
    this.#view.requestAnimationFrame(() => {
      this.#isWaiting = false;
      void this.#tellAgain();
    });
  }

  async #tellAgain(): Promise<void> {
    const { performance } = this.#view;
    const start = performance.now();
    const result = this.#decided();
    const decided = performance.now();
    this.#tellParts(result);
    this.#sayEffect(result);
    await this.#charts.redraw(result);
    performance.measure("what-if: decide", { start, end: decided });
    performance.measure("what-if: in sight", { start });
    await this.#charts.follow();
    performance.measure("what-if: all", { start });
  }

  #decided(): Result {
    const report = this.#report;
    if (this.#values.size === 0) return report;
    return decideAgain(report, settingsWith(report.settings, this.#fields, this.#values));
  }

  /** Says on the page what was moved, what that does, and lets each move be taken back. */
  #sayEffect(result: Result): void {
    const moved = movedTexts(this.#fields, this.#values, this.#measures);
    const isMoved = moved.length > 0;
    const bar = this.#page.querySelector<HTMLElement>("#what-if-bar")!;
    bar.hidden = !isMoved;
    this.#page.querySelector("#what-if-says")!.textContent = isMoved
      ? effectSentence(this.#report, result, this.#fields, this.#values, this.#measures)
      : "";
    offerUndo(this.#page, bar.querySelector<HTMLElement>(".undo")!, moved);
    for (const note of this.#page.querySelectorAll<HTMLElement>("#moved-note, .moved-note")) {
      note.textContent = movedNote(moved);
      note.hidden = !isMoved;
    }
    markChanges(this.#page, this.#reportCells);
    this.#form.dataset.state = isMoved ? "moved" : "report";
  }
}

/** A button for each move that can be taken back, and one for all. */
function offerUndo(page: Document, place: HTMLElement, moved: ReturnType<typeof movedTexts>): void {
  place.textContent = "";
  for (const { key, text } of moved) place.append(undoButton(page, `Undo ${text}`, key));
  if (moved.length > 1) place.append(undoButton(page, "Undo all", ""));
}

function undoButton(page: Document, text: string, key: string): HTMLButtonElement {
  const button = page.createElement("button");
  button.type = "button";
  button.textContent = text;
  button.dataset.undo = key;
  return button;
}

const inputsOf = (form: HTMLFormElement, key: string): HTMLInputElement[] => [
  ...form.querySelectorAll<HTMLInputElement>(`[data-key="${key}"]`),
];

/** A slider wants a decimal point, whatever the person writes. */
const valueFor = (input: HTMLInputElement, value: number, { style }: Measures): string =>
  input.type === "range" ? String(value) : inField(value, style);

/** Says under a field what is wrong with what was typed; "" takes it back. */
function complain(page: Document, input: HTMLInputElement, text: string): void {
  if (input.type === "range") return;
  if (text === "") input.removeAttribute("aria-invalid");
  else input.setAttribute("aria-invalid", "true");
  const place = page.getElementById(`${input.id}-wrong`);
  if (place !== null && place.textContent !== text) place.textContent = text;
}

const cellsOf = (page: Document): { at: string; cell: Element }[] =>
  [...page.querySelectorAll("table.next tr[data-variety]")].flatMap((row) =>
    [...row.querySelectorAll("td:is(.move, .drill, .gain)")].map((cell) => ({
      at: `${(row as HTMLElement).dataset.variety} ${cell.classList[0]}`,
      cell,
    })),
  );

const words = (cell: Element): string => (cell.textContent ?? "").replace(/\s+/g, " ").trim();

/** Marks the cells of the answer that differ from the report's. */
function markChanges(page: Document, report: ReadonlyMap<string, string>): void {
  for (const { at, cell } of cellsOf(page)) cell.classList.toggle("changed", report.get(at) !== words(cell));
}
