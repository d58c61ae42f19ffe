/** Step 7: harvest notes on a phone: one strip per screen, kept as they are typed, saved as a sheet that step 1 reads. */
import type { Desk, Step } from "./desk.ts";
import { button, element, labelled, save } from "./element.ts";
import { HarvestSheet } from "./harvest-sheet.ts";
import { keepNotes, rememberChoice } from "./remember.ts";

let place: HTMLElement;
let choice: ReturnType<typeof rememberChoice>;
/** The sheet that is shown; a different one has to be drawn. */
let shown: HarvestSheet | null = null;

export const harvest: Step = {
  name: "harvest",
  title: "Harvest notes",
  build(desk) {
    shown = null;
    place = element("div");
    choice = rememberChoice(desk);
    const input = element("input", {
      type: "file",
      accept: ".csv,text/csv",
      class: "unseen",
      tabindex: -1,
      "aria-label": "Field sheet",
      onchange: () => {
        const [file] = input.files ?? [];
        void file?.text().then((text) => openSheet(desk, text));
        input.value = "";
      },
    });
    return element(
      "section",
      {},
      element("h2", { tabindex: -1 }, "Harvest notes"),
      element(
        "p",
        { class: "row" },
        "Open the field sheet of your plan and take notes strip by strip.",
        input,
        button("Open a field sheet", () => input.click()),
      ),
      place,
      choice.element,
    );
  },
  update(desk) {
    choice.update();
    if (desk.sheet !== shown) show(desk);
  },
};

/** Opens a sheet; asks first if notes of the open one are in no file yet. */
export function openSheet(desk: Desk, text: string): void {
  const sheet = HarvestSheet.of(text);
  if (sheet === null) return desk.say("This sheet has no strips.", true);
  if (desk.sheet?.isUnsaved === true && !window.confirm("Close the open sheet? Its notes are not saved yet."))
    return;
  desk.sheet = sheet;
  desk.go("harvest");
  void kept(desk);
}

async function kept(desk: Desk): Promise<void> {
  const problem = await keepNotes(desk);
  if (problem !== null) desk.say(problem, true);
}

function show(desk: Desk): void {
  const { sheet } = desk;
  shown = sheet;
  if (sheet === null) return place.replaceChildren();
  const go = (strips: 1 | -1): void => {
    sheet.step(strips);
    show(desk);
    place.querySelector<HTMLElement>("input")?.focus();
  };
  const rate = sheet.cell("rate");
  const block = sheet.cell("block");
  place.replaceChildren(
    element(
      "div",
      { class: "one-strip" },
      element("h3", {}, `Strip ${sheet.cell("strip") || sheet.at}, ${sheet.at} of ${sheet.strips}`),
      element(
        "p",
        {},
        element("bdi", {}, sheet.cell("variety")),
        rate && `, ${rate}`,
        block && `, block ${block}`,
      ),
      ...sheet.columns.map(({ column, label, unit, mode }) => {
        const input = element("input", {
          type: "text",
          inputmode: mode,
          autocomplete: "off",
          value: sheet.cell(column),
          oninput: () => {
            sheet.write(column, input.value.trim());
            void kept(desk);
          },
        });
        return labelled(unit === "" ? label : `${label} (${unit})`, input);
      }),
      element(
        "p",
        { class: "row" },
        button("Previous strip", () => go(-1)),
        button("Next strip", () => go(1), "strong"),
      ),
    ),
    element(
      "p",
      { class: "row" },
      button("Save the sheet", () => {
        save("field-sheet.csv", sheet.text, "text/csv");
        sheet.isUnsaved = false;
      }),
      button("Add these notes to the strips", () => void putWithStrips(desk, sheet)),
    ),
  );
}

async function putWithStrips(desk: Desk, sheet: HarvestSheet): Promise<void> {
  const bytes = new TextEncoder().encode(sheet.text);
  const looked = await desk.work((step) =>
    desk.engine.run("look", { files: [{ name: "field-sheet.csv", bytes }] }, step),
  );
  if (looked === null) return;
  desk.book.add(looked.files);
  sheet.isUnsaved = false;
  desk.go("mend");
}

/** Opens the remembered notes again. */
export async function recallNotes(desk: Desk): Promise<void> {
  const text = await desk.memory.kept("notes");
  if (text !== null && desk.sheet === null) desk.sheet = HarvestSheet.of(text);
}
