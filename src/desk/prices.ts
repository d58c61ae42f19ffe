/** Step 3: prices, dates and seed lots, which only the person knows. Anything not given is assumed, and the answer says so. */
import { seasonEntries } from "../read/season-file/season-entries.ts";
import type { LotColumnName } from "../read/strips/columns.ts";
import { lotHeaders } from "../read/strips/lots-header.ts";
import { crops } from "../vocabulary/crops.ts";
import type { Desk, Step } from "./desk.ts";
import { button, element, labelled } from "./element.ts";
import { redraw, typedField } from "./typing.ts";

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
    redraw(lots, () => lots.replaceChildren(...lotForms(desk)));
  },
};

/** What the columns of a lot are called here. */
const lotFields: Record<LotColumnName, string> = {
  variety: "Variety",
  rate_now: "Today’s rate, viable seeds",
  lowest_rate: "Lowest rate you accept, because of weeds",
  recommended_rate: "Rate that came with the variety",
  seeds_per_lb: "Seeds per pound",
  seeds_per_kg: "Seeds per kilogram",
  tkw_g: "Weight of a thousand kernels, g",
  germination_pct: "Germination, %",
  purity_pct: "Purity, %",
  seed_price: "Seed price",
  seed_price_unit: "Unit of the price",
  seeds_per_unit: "Seeds in that unit or bag",
  treatment_cost: "Treatment price",
  treated: "Treated: yes or no",
  area: "Area to sow",
};

/** Columns of a new lots table. */
const askedColumns = {
  us: ["rate_now (seeds/ac)", "lowest_rate (seeds/ac)", "seeds_per_lb", "germination_pct", "seed_price"],
  metric: ["rate_now (seeds/m2)", "lowest_rate (seeds/m2)", "tkw_g", "germination_pct", "seed_price"],
} as const;

/** One of these is enough. */
const sizes: readonly LotColumnName[] = ["seeds_per_lb", "seeds_per_kg", "tkw_g"];

/** Usual units of a seed price. */
const priceUnits = { us: ["$/bu", "$/lb", "$/cwt"], metric: ["€/kg", "€/dt", "€/t"] } as const;

function lotForms(desk: Desk): HTMLElement[] {
  const { book, answer } = desk;
  const system = answer?.units === "metric" ? "metric" : "us";
  const sheet = book.files.find(({ as, used }) => used && as === "lots")?.sheets[0];
  const read = answer?.varieties ?? [];
  // What keeps the strips from being read may stand in a lot, and is put right there.
  const varieties = read.length > 0 ? read : varietiesIn(sheet?.rows ?? []);
  if (varieties.length === 0) return [];
  if (sheet === undefined) {
    const header = ["variety", ...askedColumns[system], "seed_price_unit"].join(",");
    const quoted = (name: string): string =>
      /[",\r\n]/.test(name) ? `"${name.replaceAll('"', '""')}"` : name;
    const text = `${[header, ...varieties.map((name) => `${quoted(name)},,,,,,${priceUnits[system][0]}`)].join("\n")}\n`;
    return [
      element("h3", {}, "Seed lots"),
      element(
        "p",
        {},
        "No seed lots are on the desk. Today’s rate and the seed’s size, germination and price decide what a change earns and how much seed to sow.",
      ),
      button("Fill in the lots", () => {
        const bytes = new TextEncoder().encode(text);
        void desk
          .work((step) => desk.engine.run("look", { files: [{ name: "lots.csv", bytes }] }, step))
          .then((looked) => {
            if (looked !== null) book.add(looked.files.map((file) => ({ ...file, as: "lots" })));
          });
      }),
    ];
  }
  const header = sheet.rows[0] ?? [];
  const columns = header.map((text) => lotHeaders.nameOf(text));
  const varietyColumn = columnOfVarieties(header);
  const missing = askedColumns[system].filter((text) => {
    const column = lotHeaders.nameOf(text)!;
    return (
      read.length > 0 &&
      !columns.some((one) => one === column || (one !== null && [one, column].every(isSize)))
    );
  });
  const rowOf = (variety: string): number => {
    const found = sheet.rows.findIndex(
      (cells, index) => index > 0 && (cells[varietyColumn] ?? "").trim() === variety,
    );
    return found < 0 ? 0 : found + 1;
  };
  const problem = read.length > 0 ? null : (answer?.problem ?? null);
  return [
    element("h3", {}, "Seed lots"),
    ...(problem === null ? [] : [element("p", { class: "problem" }, problem)]),
    ...varieties.map((variety) => {
      const row = rowOf(variety);
      if (row === 0)
        return element(
          "p",
          { class: "row" },
          element("bdi", {}, variety),
          "has no lot. ",
          button(`Add a lot of ${variety}`, () =>
            book.write(sheet, sheet.rows.length + 1, varietyColumn, variety),
          ),
        );
      return element(
        "fieldset",
        {},
        element("legend", {}, element("bdi", {}, variety)),
        element(
          "div",
          { class: "fields" },
          ...header.flatMap((text, column) => {
            if (column === varietyColumn || text.trim() === "") return [];
            if (columns[column] === "seed_price_unit")
              return [labelled(lotFields.seed_price_unit, unitChoice(desk, sheet, row, column))];
            return [
              lotField(variety, text, sheet.rows[row - 1]?.[column] ?? "", (typed) =>
                book.write(sheet, row, column, typed),
              ),
            ];
          }),
          // A column that the table lacks is added once something is typed.
          ...missing.map((text) =>
            lotField(variety, text, "", (typed) => {
              if (typed === "") return;
              const place = { row: 1, column: header.length, text };
              const unit = { row: 1, column: header.length + 1, text: "seed_price_unit" };
              const isPrice = text === "seed_price" && !columns.includes("seed_price_unit");
              book.writeAll(sheet, [
                place,
                { ...place, row, text: typed },
                ...(isPrice ? [unit, { ...unit, row, text: priceUnits[system][0] }] : []),
              ]);
            }),
          ),
        ),
      );
    }),
  ];
}

const columnOfVarieties = (header: readonly string[]): number =>
  Math.max(
    0,
    header.findIndex((text) => lotHeaders.nameOf(text) === "variety"),
  );

function varietiesIn([header = [], ...rows]: readonly (readonly string[])[]): string[] {
  const at = columnOfVarieties(header);
  return [...new Set(rows.map((cells) => (cells[at] ?? "").trim()))].filter((name) => name !== "");
}

const isSize = (column: LotColumnName): boolean => sizes.includes(column);

/** A field of a lot, named by what its column means, with the unit that its header says. */
function lotField(
  variety: string,
  header: string,
  value: string,
  hand: (typed: string) => void,
): HTMLElement {
  const column = lotHeaders.nameOf(header);
  const unit = /[([](.*)[)\]]/.exec(header)?.[1] ?? (column === "area" ? header : "");
  const field = typedField(`${variety} ${column ?? header}`, value, (typed) => hand(typed.trim()), {
    inputmode: column === "treated" ? "text" : "decimal",
    placeholder: "not given: assumed",
  });
  return labelled(column === null ? header : `${lotFields[column]}${unit === "" ? "" : ` (${unit})`}`, field);
}

/** The unit of a lot's price; an unusual one stays among the choices. */
function unitChoice(
  { book, answer }: Desk,
  sheet: Parameters<Desk["book"]["write"]>[0],
  row: number,
  column: number,
): HTMLSelectElement {
  const now = (sheet.rows[row - 1]?.[column] ?? "").trim();
  const units: string[] = [...priceUnits[answer?.units === "metric" ? "metric" : "us"]];
  if (!units.includes(now)) units.unshift(now);
  const field = element(
    "select",
    { onchange: () => book.write(sheet, row, column, field.value), "data-key": `unit ${row} ${column}` },
    ...units.map((unit) => element("option", { value: unit }, unit === "" ? "not given" : unit)),
  );
  field.value = now;
  return field;
}
