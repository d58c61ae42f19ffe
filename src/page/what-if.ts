/** Prices and limits that a reader moves: the same decision as in the report, taken again, and told again. */
import { decideAgain } from "../decide/decide.ts";
import type { Result } from "../vocabulary/result.ts";
import { settingsWith, whatIfFields, type WhatIfField } from "../tell/what-if.ts";
import type { Measures } from "../numbers/measures.ts";
import { listed, shortest } from "../numbers/written-numbers.ts";
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
    await charts.redraw(result);
    performance.measure("what-if: decide", { start, end: decided });
    performance.measure("what-if: all", { start });
    const says = form!.querySelector("#what-if-says");
    if (says !== null) says.textContent = movedText(fields, values, measures);
    form!.dataset.state = values.size === 0 ? "report" : "moved";
  }

  const showValues = (): void => {
    for (const field of fields)
      for (const input of inputsOf(form, field.key))
        input.value = String(values.get(field.key) ?? field.value ?? "");
  };

  form.addEventListener("input", (event) => {
    const input = event.target as HTMLInputElement;
    const field = fields.find((one) => one.key === input.dataset.key);
    const value = input.valueAsNumber;
    if (field === undefined || !(value >= field.lowest && value <= field.highest)) return;
    if (value === field.value) values.delete(field.key);
    else values.set(field.key, value);
    for (const other of inputsOf(form, field.key)) if (other !== input) other.value = input.value;
    view.history.replaceState(
      null,
      "",
      addressOf(fields, values) || view.location.pathname + view.location.search,
    );
    soon();
  });
  form.addEventListener("reset", (event) => {
    event.preventDefault();
    values = new Map();
    showValues();
    view.history.replaceState(null, "", view.location.pathname + view.location.search);
    soon();
  });
  const fromAddress = (): void => {
    values = valuesOfAddress(view.location.hash, fields);
    showValues();
    soon();
  };
  view.addEventListener("hashchange", fromAddress);

  form.hidden = false;
  // The first move should be as quick as the others: what it needs is made while the reader reads.
  charts.warm();
  if (valuesOfAddress(view.location.hash, fields).size > 0) fromAddress();
}

const inputsOf = (form: HTMLFormElement, key: string): HTMLInputElement[] => [
  ...form.querySelectorAll<HTMLInputElement>(`[data-key="${key}"]`),
];

/** What differs from the report, in words: "Moved: grain price 7.50 (report 6.25)." */
function movedText(
  fields: readonly WhatIfField[],
  values: ReadonlyMap<string, number>,
  { style }: Measures,
): string {
  const moved = fields
    .filter((field) => values.has(field.key))
    .map(
      (field) =>
        `${field.variety === null ? "" : `${field.variety} `}${field.label.toLowerCase()} ${shortest(values.get(field.key)!, style)} (report ${field.value === null ? "not given" : shortest(field.value, style)})`,
    );
  return moved.length === 0 ? "These are the report's prices." : `Moved: ${listed(moved)}.`;
}
