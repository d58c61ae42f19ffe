/** Step 6: next season's strips: a form for field and machines, the map, the field sheet to print. */
import type { PlanWishes } from "../farm/plan-trial.ts";
import type { Desk, Step } from "./desk.ts";
import { button, element, labelled, save } from "./element.ts";
import { openSheet } from "./harvest.ts";

const needed = {
  fieldLength: "Length of a run, along the strips",
  fieldWidth: "Room across the strips",
  drillWidth: "Width of a drill pass",
  combineWidth: "Width of the combine’s cut",
} as const;
const wished = {
  farm: "Farm",
  field: "Field",
  strips: "Strips you are willing to plant",
  blocks: "Blocks",
} as const;

const typed = new Map<string, HTMLInputElement>();
let frame: HTMLIFrameElement;
let actions: HTMLElement;
let outputs: { name: string; content: string }[] = [];

export const plan: Step = {
  name: "plan",
  title: "Next strips",
  build(desk) {
    frame = element("iframe", { title: "The plan", class: "report", hidden: true, tabindex: 0 });
    const saving = (name: string, type: string, label: string): HTMLElement =>
      button(label, () => save(name, outputs.find((one) => one.name === name)!.content, type));
    actions = element(
      "p",
      { class: "row", hidden: true },
      saving("field-sheet.csv", "text/csv", "Save the field sheet"),
      saving("plan.html", "text/html", "Save the plan"),
      saving("field-map.svg", "image/svg+xml", "Save the map"),
      button("Print the plan", () => frame.contentWindow?.print()),
      button("Take harvest notes on this sheet", () => {
        const sheet = outputs.find(({ name }) => name === "field-sheet.csv")!;
        openSheet(desk, sheet.content);
      }),
    );
    const field = (key: string, label: string, required: boolean): HTMLElement => {
      const input = element("input", { type: "text", autocomplete: "off", required });
      typed.set(key, input);
      return labelled(label, input);
    };
    return element(
      "section",
      {},
      element("h2", { tabindex: -1 }, "Next season’s strips"),
      element(
        "p",
        {},
        "In feet (in metres with metric units), or with a unit after the number, such as 12 m.",
      ),
      element(
        "form",
        {
          onsubmit: (event) => {
            event.preventDefault();
            void make(desk);
          },
        },
        element(
          "div",
          { class: "fields" },
          ...Object.entries(needed).map(([key, label]) => field(key, label, true)),
        ),
        element(
          "details",
          {},
          element("summary", {}, "More choices"),
          element(
            "div",
            { class: "fields" },
            ...Object.entries(wished).map(([key, label]) => field(key, label, false)),
          ),
        ),
        element("button", { type: "submit", class: "strong" }, "Plan the strips"),
      ),
      actions,
      frame,
    );
  },
};

async function make(desk: Desk): Promise<void> {
  const text = (key: string): string | undefined => typed.get(key)!.value.trim() || undefined;
  const count = (key: string): number | undefined =>
    text(key) === undefined ? undefined : Number(text(key));
  for (const key of ["strips", "blocks"] as const)
    if (count(key) !== undefined && !(Number.isInteger(count(key)) && count(key)! > 0))
      return desk.say(`${wished[key]}: give a whole number.`, true);
  const wishes: PlanWishes = {
    fieldLength: text("fieldLength") ?? "",
    fieldWidth: text("fieldWidth") ?? "",
    drillWidth: text("drillWidth") ?? "",
    combineWidth: text("combineWidth") ?? "",
    farm: text("farm"),
    field: text("field"),
    strips: count("strips"),
    blocks: count("blocks"),
  };
  const told = await desk.work((step) =>
    desk.engine.run("plan", { input: desk.book.input(), wishes, locale: navigator.language }, step),
  );
  if (told === null) return;
  outputs = told.outputs.map(({ name, content }) => ({ name, content: content as string }));
  actions.hidden = false;
  frame.hidden = false;
  frame.srcdoc = outputs.find(({ name }) => name === "plan.html")!.content;
}
