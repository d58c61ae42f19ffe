/** Between steps 1 and 2, for points that machines logged: makes strips of them and shows how. */
import { harvestSteps, scaleUses, type HarvestStep, type ScaleUse } from "../vocabulary/harvest.ts";
import { headerMeaning } from "../farm/header-meaning.ts";
import { stepName, stepText } from "../tell/wording/harvest.ts";
import { crops } from "../vocabulary/crops.ts";
import type { Desk, Step } from "./desk.ts";
import { button, element, labelled, save } from "./element.ts";
import { harvestWishLabels as labels, type Errands, type HarvestWishes } from "./errands.ts";
import { takeIn } from "./intake.ts";

const calibrations: Record<ScaleUse, string> = {
  none: "shown beside the monitor’s, not used",
  one: "used: one factor for all strips",
  each: "used: each strip or pass by its own factor",
};

const texts = {
  farm: "",
  field: "",
  variety: "If there was only one and the files do not name it.",
  "combine-width": "In feet (in metres with metric units), or with a unit after the number, such as 9 m.",
  "drill-width": "As above.",
} as const;
type TextName = keyof typeof texts;

let fields: Record<TextName, HTMLInputElement>;
let crop: HTMLSelectElement;
let calibrate: HTMLSelectElement;
let season: HTMLInputElement;
let delay: HTMLInputElement;
let headers: HTMLTextAreaElement;
let steps: Map<HarvestStep, HTMLInputElement>;
let files: HTMLElement;
let actions: HTMLElement;
let frame: HTMLIFrameElement;
let made: Errands["harvest"]["gives"] | null = null;
/** The files that strips were last made from, or are now. */
let asked = "";

export const points: Step = {
  name: "points",
  title: "Points",
  isNeeded: ({ book }) => book.files.some(({ as }) => as === "harvested" || as === "seeded"),
  build(desk) {
    files = element("div");
    frame = element("iframe", {
      title: "What happened to the points",
      class: "report",
      hidden: true,
      tabindex: 0,
    });
    actions = whatToDoWithStrips(desk);
    return element(
      "section",
      {},
      element("h2", { tabindex: -1 }, "From points to strips"),
      files,
      element(
        "form",
        {
          onsubmit: (event) => {
            event.preventDefault();
            void make(desk);
          },
        },
        element("div", { class: "fields" }, cropField(desk)),
        element(
          "details",
          {},
          element("summary", {}, "What the files do not say, and steps to switch off"),
          element("div", { class: "fields" }, ...fieldsOfWishes()),
          ...stepBoxes(),
        ),
        element("button", { type: "submit" }, "Make the strips again"),
      ),
      actions,
      frame,
    );
  },
  update(desk) {
    const { book } = desk;
    if (crop !== document.activeElement) crop.value = book.typed.get("crop") ?? "";
    files.replaceChildren(...filesNamed(desk));
    const wanted = whatStripsDependOn(desk);
    // An answer that starts meanwhile would stop it.
    if (!hasHarvest(desk) || wanted === asked || !desk.isQuiet) return;
    asked = wanted;
    void make(desk);
  },
};

function cropField(desk: Desk): HTMLElement {
  crop = element(
    "select",
    { onchange: () => desk.book.type("crop", crop.value) },
    element("option", { value: "" }, "from the season file, or wheat"),
    ...Object.keys(crops).map((name) => element("option", { value: name }, name)),
  );
  return labelled(labels.crop, crop);
}

/** Season, names, widths, delay, weights and headers, as far as the files leave them open. */
function fieldsOfWishes(): HTMLElement[] {
  season = element("input", { type: "number", min: 1900, max: 2200 });
  delay = element("input", { type: "number", min: 0, max: 60, step: "any" });
  headers = element("textarea", { rows: 2, spellcheck: "false", placeholder: "Rt_Apd=rate (lb/ac)" });
  calibrate = element(
    "select",
    {},
    ...scaleUses.map((use) => element("option", { value: use }, calibrations[use])),
  );
  fields = {} as typeof fields;
  const text = (name: TextName): HTMLElement => {
    fields[name] = element("input", { type: "text", autocomplete: "off" });
    return labelled(labels[name], fields[name], texts[name]);
  };
  return [
    labelled(labels.year, season),
    ...(Object.keys(texts) as TextName[]).map(text),
    labelled(
      labels.delay,
      delay,
      "Seconds from the cut until the grain reaches the sensor. Leave it empty to have it worked out.",
    ),
    labelled("Weigh-wagon weights, if a file has them", calibrate),
    labelled(labels.column, headers, "One per line: the header, =, and what it means with its unit."),
  ];
}

/** A box for each step from points to strips; without its tick, the step is left out. */
function stepBoxes(): HTMLElement[] {
  steps = new Map();
  return harvestSteps.map((step) => {
    const box = element("input", { type: "checkbox", id: `step-${step}`, checked: true });
    steps.set(step, box);
    return element(
      "p",
      { class: "choice" },
      box,
      element("label", { for: box.id }, `${stepName(step)}: ${stepText(step)}`),
    );
  });
}

const whatToDoWithStrips = (desk: Desk): HTMLElement =>
  element(
    "p",
    { class: "row", hidden: true },
    button(
      "Use these strips",
      () => void takeIn(desk, [new File([made!.csv], made!.name)]).then(() => desk.go("mend")),
      "strong",
    ),
    button("Save the strips as CSV", () => save(made!.name, made!.csv, "text/csv")),
    button("Save this page", () => save("strips.html", made!.html, "text/html")),
    button("Print this page", () => frame.contentWindow?.print()),
  );

const hasHarvest = ({ book }: Desk): boolean => book.files.some(({ as }) => as === "harvested");

/** Which files the strips are made from, and what is still to be brought. */
function filesNamed(desk: Desk): HTMLElement[] {
  const named = (label: string, as: "harvested" | "seeded" | "sheet" | "weighed"): HTMLElement | false => {
    const names = desk.book.files.filter((file) => file.as === as).map(({ name }) => name);
    return names.length > 0 && element("p", {}, `${label}: `, element("bdi", {}, names.join(", ")));
  };
  return [
    named("Points of the combine", "harvested"),
    named("Points of the drill", "seeded"),
    named(labels.sheet, "sheet"),
    named("Weights from a weigh wagon", "weighed"),
    !hasHarvest(desk) &&
      element("p", { class: "problem" }, "Drop the combine’s points as well: they hold the yields."),
    element(
      "p",
      { class: "hint" },
      "Add a field sheet with the variety, block and lot of each strip, or weights from a weigh wagon, in the first step, and say there what each file is. The farm file keeps the strips, not the points.",
    ),
  ].filter((part) => part !== false);
}

/** The same text is the same strips, as far as the desk makes them by itself. */
const whatStripsDependOn = ({ book }: Desk): string =>
  book.files
    .filter(({ as }) => as === "harvested" || as === "seeded" || as === "sheet" || as === "weighed")
    .map(({ name, as, bytes }) => `${as} ${name} ${bytes.length}`)
    .concat(["crop", "units"].map((key) => book.typed.get(key) ?? ""))
    .join("\n");

/** Null where a header's meaning is written wrongly; the person was then told. */
function wishes(desk: Desk): HarvestWishes | null {
  const columns: Record<string, string> = {};
  for (const line of headers.value.split("\n").filter((one) => one.trim() !== "")) {
    const meant = headerMeaning(line);
    if (meant === null) {
      desk.say(`${labels.column}: write the header, =, and what it means, as in Rt_Apd=rate (lb/ac).`, true);
      return null;
    }
    columns[meant[0]] = meant[1];
  }
  const text = (name: TextName): string => fields[name].value.trim();
  const number = ({ value }: HTMLInputElement): number | null => (value === "" ? null : Number(value));
  return {
    columns,
    season: number(season),
    delayS: number(delay),
    calibrate: calibrate.value as ScaleUse,
    combineWidth: text("combine-width"),
    drillWidth: text("drill-width"),
    farm: text("farm"),
    field: text("field"),
    variety: text("variety"),
    off: harvestSteps.filter((step) => !steps.get(step)!.checked),
  };
}

async function make(desk: Desk): Promise<void> {
  const wished = wishes(desk);
  if (wished === null) return;
  frame.classList.add("stale");
  const { book } = desk;
  const told = await desk.work((step) =>
    desk.engine.run(
      "harvest",
      { input: book.input(), files: book.harvestFiles(), wishes: wished, locale: navigator.language },
      step,
    ),
  );
  if (told === null) {
    asked = "";
    return;
  }
  made = told;
  actions.hidden = false;
  frame.hidden = false;
  frame.classList.remove("stale");
  frame.srcdoc = told.html;
}
