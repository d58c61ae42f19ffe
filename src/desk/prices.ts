/** Step 3: prices, dates and seed lots, which only the person knows. Anything not given is assumed, and the answer says so. */
import { seasonEntries } from "../read/season-file/season-entries.ts";
import { crops } from "../vocabulary/crops.ts";
import type { Step } from "./desk.ts";
import { button, element, labelled } from "./element.ts";
import { seedLotsShown } from "./seed-lots.ts";
import { redraw } from "./typing.ts";

/** Entries of the season file in which most farms differ; the others are left to the file. */
const asked: Record<string, string> = {
  grain_price: "Grain price",
  seed_price: "Seed price, if the lots give none",
  row_spacing: "Row spacing",
  stand_loss: "Stand loss",
  best_seeding_date: "Best seeding date",
  planned_seeding_date: "Planned seeding date",
  lodging_limit: "Most lodging you accept",
  largest_step: "Largest change in one season",
};

let fields: Map<string, HTMLInputElement | HTMLSelectElement>;
let lots: HTMLElement;

export const prices: Step = {
  name: "prices",
  title: "Prices and seed",
  build(desk) {
    fields = new Map();
    const choice = (key: string, label: string, options: Record<string, string>): HTMLElement => {
      const field = element(
        "select",
        { onchange: () => desk.book.type(key, field.value) },
        element("option", { value: "" }, "not given here"),
        ...Object.entries(options).map(([value, text]) => element("option", { value }, text)),
      );
      fields.set(key, field);
      return labelled(label, field);
    };
    const text = (key: string, label: string): HTMLElement => {
      const field = element("input", {
        type: "text",
        autocomplete: "off",
        spellcheck: "false",
        placeholder: "not given here",
        onchange: () => desk.book.type(key, field.value.trim()),
      });
      fields.set(key, field);
      return labelled(label, field, seasonEntries.find((entry) => entry.key === key)?.help ?? "");
    };
    lots = element("div");
    return element(
      "section",
      {},
      element("h2", { tabindex: -1 }, "Prices, dates and seed"),
      element(
        "p",
        {},
        "Type numbers with their unit, such as 6.20 $/bu. What you type here replaces the season file’s entry. Anything not given is assumed, and the answer says so.",
      ),
      element(
        "div",
        { class: "fields" },
        choice("units", "Units", { us: "bushels, pounds, acres", metric: "kilograms, hectares" }),
        choice("crop", "Crop", Object.fromEntries(Object.keys(crops).map((crop) => [crop, crop]))),
        ...Object.entries(asked).map(([key, label]) => text(key, label)),
      ),
      lots,
      element(
        "p",
        { class: "row" },
        button("To the answer", () => desk.go("answer"), "strong"),
      ),
    );
  },
  update(desk) {
    for (const [key, field] of fields) {
      if (field !== document.activeElement) field.value = desk.book.typed.get(key) ?? "";
    }
    redraw(lots, () => lots.replaceChildren(...seedLotsShown(desk)));
  },
};
