/** Prices and limits that a reader moves: the same decision as in the report, taken again, and told again. */
import { decideAgain } from "../decide/decide.ts";
import type { Result } from "../vocabulary/result.ts";
import type { Measures } from "../numbers/measures.ts";
import { effectSentence, movedNote, movedTexts, outOfBounds } from "../tell/wording/what-if.ts";
import { inField, numberTyped, settingsWith, whatIfFields } from "../tell/what-if.ts";
import { addressOf, valuesOfAddress } from "./address.ts";
import type { LiveCharts } from "./live-charts.ts";
import { partsTeller } from "./tell-parts.ts";

/** Makes the form visible and lets it act. Where the address says moved values, they are taken at once. */
export function startWhatIf(page: Document, report: Result, measures: Measures, charts: LiveCharts): void {
  const form = page.querySelector<HTMLFormElement>("#what-if");
  const view = page.defaultView;
  if (form === null || view === null) return;
  const fields = whatIfFields(report, measures);
  const tellParts = partsTeller(page, report, measures);
  let values = new Map<string, number>();
  let waiting = false;
  const reportCells = new Map(cellsOf(page).map(({ at, cell }) => [at, words(cell)]));

  /** One redraw a frame, however fast a slider moves. */
  const soon = (): void => {
    if (waiting) return;
    waiting = true;
    view.requestAnimationFrame(() => {
      waiting = false;
      void tellAgain();
    });
  };

  async function tellAgain(): Promise<void> {
    const { performance } = view!;
    const start = performance.now();
    const result =
      values.size === 0 ? report : decideAgain(report, settingsWith(report.settings, fields, values));
    const decided = performance.now();
    tellParts(result);
    sayEffect(result);
    await charts.redraw(result);
    performance.measure("what-if: decide", { start, end: decided });
    performance.measure("what-if: in sight", { start });
    await charts.follow();
    performance.measure("what-if: all", { start });
  }

  /** Says on the page what was moved, what that does, and lets each move be taken back. */
  function sayEffect(result: Result): void {
    const moved = movedTexts(fields, values, measures);
    const bar = page.querySelector<HTMLElement>("#what-if-bar")!;
    bar.hidden = moved.length === 0;
    page.querySelector("#what-if-says")!.textContent =
      moved.length === 0 ? "" : effectSentence(report, result, fields, values, measures);
    const undo = bar.querySelector<HTMLElement>(".undo")!;
    undo.textContent = "";
    for (const { key, text } of moved) undo.append(undoButton(`Undo ${text}`, key));
    if (moved.length > 1) undo.append(undoButton("Undo all", ""));
    for (const note of page.querySelectorAll<HTMLElement>("#moved-note, .moved-note")) {
      note.textContent = movedNote(moved);
      note.hidden = moved.length === 0;
    }
    markChanges(page, reportCells);
    form!.dataset.state = moved.length === 0 ? "report" : "moved";
  }

  function undoButton(text: string, key: string): HTMLButtonElement {
    const button = page.createElement("button");
    button.type = "button";
    button.textContent = text;
    button.dataset.undo = key;
    return button;
  }

  const showValues = (): void => {
    for (const field of fields)
      for (const input of inputsOf(form, field.key)) {
        const value = values.get(field.key) ?? field.value;
        input.value = value === null ? "" : valueFor(input, value, measures);
        complain(page, input, "");
      }
  };

  /** Writes the address, which makes a step for the browser's Back; a browser that refuses is left alone. */
  function writeAddress(): void {
    const here = view!.location;
    const fragment = addressOf(fields, values);
    if (fragment === here.hash) return;
    try {
      view!.history.pushState(null, "", fragment || here.pathname + here.search);
    } catch {
      // Some browsers allow only so many writes in a while: the page goes on without its address.
    }
  }

  function take(input: HTMLInputElement): void {
    const field = fields.find((one) => one.key === input.dataset.key);
    if (field === undefined) return;
    const value = numberTyped(input.value, measures.style);
    if (!(value >= field.lowest && value <= field.highest)) {
      complain(page, input, outOfBounds(field, measures));
      return;
    }
    complain(page, input, "");
    if (value === field.value) values.delete(field.key);
    else values.set(field.key, value);
    for (const other of inputsOf(form!, field.key))
      if (other !== input) {
        other.value = valueFor(other, value, measures);
        complain(page, other, "");
      }
    soon();
  }

  form.addEventListener("input", (event) => take(event.target as HTMLInputElement));
  form.addEventListener("change", writeAddress);
  form.addEventListener("submit", (event) => event.preventDefault());
  page.querySelector("#what-if-bar")?.addEventListener("click", (event) => {
    const key = (event.target as HTMLElement).dataset.undo;
    if (key === undefined) return;
    if (key === "") values = new Map();
    else values.delete(key);
    showValues();
    soon();
    writeAddress();
    inputsOf(form, key).at(-1)?.focus({ preventScroll: true });
  });
  const fromAddress = (): void => {
    const { hash } = view.location;
    // A link to a part of the page moves nothing.
    if (hash !== "" && !hash.includes("=")) return;
    values = valuesOfAddress(hash, fields);
    showValues();
    soon();
  };
  view.addEventListener("popstate", fromAddress);
  view.addEventListener("hashchange", fromAddress);

  form.hidden = false;
  // The first move should be as quick as the others: what it needs is made while the reader reads.
  charts.warm();
  if (valuesOfAddress(view.location.hash, fields).size > 0) fromAddress();
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
