/** Step 7: harvest notes on a phone: one strip a screen, kept as they are typed, out as the sheet that step 1 reads. */
import Papa from "papaparse";
import { gridText } from "../tell/csv/csv-text.ts";
import type { Desk, Step } from "./desk.ts";
import { button, element, labelled, save } from "./element.ts";
import { keptNotes, keepNotes } from "./store.ts";

/** What is noted at harvest, by the beginning of the column's name. */
const noted: [start: string, label: string, mode: string][] = [
  ["strip_weight", "Weight", "decimal"],
  ["yield", "Yield", "decimal"],
  ["moisture", "Moisture", "decimal"],
  ["lodging", "Lodging", "decimal"],
  ["stand", "Stand", "decimal"],
  ["test_weight", "Test weight", "decimal"],
  ["protein", "Protein", "decimal"],
  ["note", "Note", "text"],
];

let rows: string[][] = [];
let at = 1;
let place: HTMLElement;

export const harvest: Step = {
  name: "harvest",
  title: "Harvest notes",
  build(desk) {
    place = element("div");
    document.addEventListener("desk-sheet", (event) => open(desk, (event as CustomEvent<string>).detail));
    const input = element("input", {
      type: "file",
      accept: ".csv,text/csv",
      class: "unseen",
      tabindex: -1,
      "aria-label": "Field sheet",
      onchange: () => void input.files?.[0]?.text().then((text) => open(desk, text)),
    });
    void keptNotes().then((text) => {
      if (text !== null && rows.length === 0) open(desk, text);
    });
    show(desk);
    return element(
      "section",
      {},
      element("h2", { tabindex: -1 }, "Harvest notes"),
      element("p", {}, "Open the field sheet of your plan, and note one strip after the other."),
      element(
        "p",
        { class: "row" },
        input,
        button("Open a field sheet", () => input.click()),
      ),
      place,
    );
  },
};

function open(desk: Desk, text: string): void {
  const { data } = Papa.parse<string[]>(text, { skipEmptyLines: "greedy" });
  if (data.length < 2) return desk.say("This sheet holds no strips.", true);
  rows = data;
  const column = (start: string): number => rows[0]!.findIndex((name) => name.startsWith(start));
  const [weight, yields] = [column("strip_weight"), column("yield")];
  const isOpen = (cells: string[]): boolean => !cells[weight] && !cells[yields];
  at = Math.max(
    1,
    rows.findIndex((cells, index) => index > 0 && isOpen(cells)),
  );
  show(desk);
}

const sheetText = (): string => gridText(rows);

function show(desk: Desk): void {
  if (rows.length === 0) return place.replaceChildren();
  const header = rows[0]!;
  const cells = rows[at]!;
  const of = (start: string): string => cells[header.findIndex((name) => name.startsWith(start))] ?? "";
  const go = (step: number): void => {
    at = Math.min(rows.length - 1, Math.max(1, at + step));
    show(desk);
    place.querySelector<HTMLElement>("input")?.focus();
  };
  place.replaceChildren(
    element(
      "div",
      { class: "one-strip" },
      element("h3", {}, `Strip ${of("strip") || at}, ${at} of ${rows.length - 1}`),
      element(
        "p",
        {},
        element("bdi", {}, of("variety")),
        [of("rate"), of("block") && `block ${of("block")}`]
          .filter(Boolean)
          .map((text) => `, ${text}`)
          .join(""),
      ),
      ...noted.flatMap(([start, label, mode]) => {
        const column = header.findIndex((name) => name === start || name.startsWith(`${start} (`));
        if (column < 0) return [];
        const unit = /\((.*)\)/.exec(header[column]!)?.[1] ?? "";
        const input = element("input", {
          type: "text",
          inputmode: mode,
          autocomplete: "off",
          value: cells[column] ?? "",
          oninput: () => {
            while (cells.length <= column) cells.push("");
            cells[column] = input.value.trim();
            void keepNotes(sheetText()).then((problem) => problem !== null && desk.say(problem, true));
          },
        });
        return [labelled(unit === "" ? label : `${label} (${unit})`, input)];
      }),
      element(
        "p",
        { class: "row" },
        button("Strip before", () => go(-1)),
        button("Next strip", () => go(1), "strong"),
      ),
      element(
        "p",
        { class: "row" },
        button("Save the sheet", () => save("field-sheet.csv", sheetText(), "text/csv")),
        button("Put it with the strips", () => {
          const bytes = new TextEncoder().encode(sheetText());
          void desk
            .work((step) => desk.engine.run("look", { files: [{ name: "field-sheet.csv", bytes }] }, step))
            .then((looked) => {
              if (looked === null) return;
              desk.book.add(looked.files);
              desk.go("mend");
            });
        }),
      ),
    ),
  );
}
