/** Seed lots as forms in step 3: what each variety's lot says, written back into its table. */
import type { LotColumnName } from "../read/strips/columns.ts";
import { lotHeaders } from "../read/strips/lots-header.ts";
import type { DeskSheet } from "./book.ts";
import type { Desk } from "./desk.ts";
import { button, element, labelled } from "./element.ts";
import { typedField } from "./typing.ts";

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
const isSize = (column: LotColumnName): boolean => sizes.includes(column);

/** Usual units of a seed price. */
const priceUnits = { us: ["$/bu", "$/lb", "$/cwt"], metric: ["€/kg", "€/dt", "€/t"] } as const;

/** A table of seed lots as the forms need it. */
interface LotsTable {
  sheet: DeskSheet;
  system: "us" | "metric";
  header: readonly string[];
  /** What each column means; null where no table of names knows its header. */
  columns: (LotColumnName | null)[];
  varietyColumn: number;
  /** Headers of columns that are asked for and that the table lacks. */
  missing: string[];
}

/** A form for the lot of each variety, and ways to add the lots that are not on the desk yet. */
export function seedLotsShown(desk: Desk): HTMLElement[] {
  const { book, answer } = desk;
  const sheet = book.files.find(({ as, used }) => used && as === "lots")?.sheets[0];
  const read = answer?.varieties ?? [];
  const areRead = read.length > 0;
  // What keeps the strips from being read may stand in a lot, and is put right there.
  const varieties = areRead ? read : varietiesIn(sheet?.rows ?? []);
  if (varieties.length === 0) return [];
  if (sheet === undefined) return noLotsYet(desk, varieties);
  const lots = lotsTableOf(desk, sheet, areRead);
  const problem = areRead ? null : (answer?.problem ?? null);
  return [
    element("h3", {}, "Seed lots"),
    ...(problem === null ? [] : [element("p", { class: "problem" }, problem)]),
    ...varieties.map((variety) => {
      const row = rowOfLot(lots, variety);
      return row === null ? addLot(desk, lots, variety) : lotForm(desk, lots, variety, row);
    }),
  ];
}

function noLotsYet(desk: Desk, varieties: readonly string[]): HTMLElement[] {
  const text = newLotsText(systemOf(desk), varieties);
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
          if (looked !== null) desk.book.add(looked.files.map((file) => ({ ...file, as: "lots" })));
        });
    }),
  ];
}

/** CSV of a lot for each variety with all else still to be filled in. */
function newLotsText(system: "us" | "metric", varieties: readonly string[]): string {
  const header = ["variety", ...askedColumns[system], "seed_price_unit"].join(",");
  const quoted = (name: string): string => (/[",\r\n]/.test(name) ? `"${name.replaceAll('"', '""')}"` : name);
  const lots = varieties.map((name) => `${quoted(name)},,,,,,${priceUnits[system][0]}`);
  return `${[header, ...lots].join("\n")}\n`;
}

/** @param areRead whether the strips are: only then are columns asked for that the table lacks */
function lotsTableOf(desk: Desk, sheet: DeskSheet, areRead: boolean): LotsTable {
  const system = systemOf(desk);
  const header = sheet.rows[0] ?? [];
  const columns = header.map((text) => lotHeaders.nameOf(text));
  const isThere = (asked: LotColumnName): boolean =>
    columns.some((one) => one === asked || (one !== null && [one, asked].every(isSize)));
  const missing = areRead ? askedColumns[system].filter((text) => !isThere(lotHeaders.nameOf(text)!)) : [];
  return { sheet, system, header, columns, varietyColumn: columnOfVarieties(header), missing };
}

/** Row of a variety's lot, 1 being the first; null where it has none. */
function rowOfLot({ sheet, varietyColumn }: LotsTable, variety: string): number | null {
  const found = sheet.rows.findIndex(
    (cells, index) => index > 0 && (cells[varietyColumn] ?? "").trim() === variety,
  );
  return found < 0 ? null : found + 1;
}

const addLot = ({ book }: Desk, { sheet, varietyColumn }: LotsTable, variety: string): HTMLElement =>
  element(
    "p",
    { class: "row" },
    element("bdi", {}, variety),
    "has no lot. ",
    button(`Add a lot of ${variety}`, () => book.write(sheet, sheet.rows.length + 1, varietyColumn, variety)),
  );

const lotForm = (desk: Desk, lots: LotsTable, variety: string, row: number): HTMLElement =>
  element(
    "fieldset",
    {},
    element("legend", {}, element("bdi", {}, variety)),
    element(
      "div",
      { class: "fields" },
      ...fieldsOfTable(desk, lots, variety, row),
      ...fieldsToAdd(desk, lots, variety, row),
    ),
  );

function fieldsOfTable(desk: Desk, lots: LotsTable, variety: string, row: number): HTMLElement[] {
  const { sheet, header, columns, varietyColumn } = lots;
  return header.flatMap((text, column) => {
    if (column === varietyColumn || text.trim() === "") return [];
    if (columns[column] === "seed_price_unit")
      return [labelled(lotFields.seed_price_unit, unitChoice(desk, lots, row, column))];
    return [
      lotField(variety, text, sheet.rows[row - 1]?.[column] ?? "", (typed) =>
        desk.book.write(sheet, row, column, typed),
      ),
    ];
  });
}

/** A column that the table lacks is added once something is typed. */
function fieldsToAdd(desk: Desk, lots: LotsTable, variety: string, row: number): HTMLElement[] {
  const { sheet, system, header, columns, missing } = lots;
  return missing.map((text) =>
    lotField(variety, text, "", (typed) => {
      if (typed === "") return;
      const place = { row: 1, column: header.length, text };
      const unit = { row: 1, column: header.length + 1, text: "seed_price_unit" };
      const isPrice = text === "seed_price" && !columns.includes("seed_price_unit");
      desk.book.writeAll(sheet, [
        place,
        { ...place, row, text: typed },
        ...(isPrice ? [unit, { ...unit, row, text: priceUnits[system][0] }] : []),
      ]);
    }),
  );
}

const systemOf = ({ answer }: Desk): "us" | "metric" => (answer?.units === "metric" ? "metric" : "us");

const columnOfVarieties = (header: readonly string[]): number =>
  Math.max(
    0,
    header.findIndex((text) => lotHeaders.nameOf(text) === "variety"),
  );

function varietiesIn([header = [], ...rows]: readonly (readonly string[])[]): string[] {
  const at = columnOfVarieties(header);
  return [...new Set(rows.map((cells) => (cells[at] ?? "").trim()))].filter((name) => name !== "");
}

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
  { book }: Desk,
  { sheet, system }: LotsTable,
  row: number,
  column: number,
): HTMLSelectElement {
  const now = (sheet.rows[row - 1]?.[column] ?? "").trim();
  const units: string[] = [...priceUnits[system]];
  if (!units.includes(now)) units.unshift(now);
  const field = element(
    "select",
    { onchange: () => book.write(sheet, row, column, field.value), "data-key": `unit ${row} ${column}` },
    ...units.map((unit) => element("option", { value: unit }, unit === "" ? "not given" : unit)),
  );
  field.value = now;
  return field;
}
