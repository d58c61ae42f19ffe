/** Step 5: for another lot, or a late day: weight, seeds per foot, catch test and order, at once. */
import type { DrillWishes } from "../farm/drill-card.ts";
import { Stopped } from "./engine.ts";
import type { Desk, Step } from "./desk.ts";
import { element, labelled } from "./element.ts";

let variety: HTMLSelectElement;
let kind: HTMLSelectElement;
let card: HTMLElement;
const typed = new Map<"rate" | "size" | "germination" | "daysLate" | "area", HTMLInputElement>();
let asked = 0;

export const drill: Step = {
  name: "drill",
  title: "At the drill",
  build(desk) {
    const change = (): void => void show(desk);
    const field = (
      key: "rate" | "size" | "germination" | "daysLate" | "area",
      label: string,
      hint: string,
      mode = "decimal",
    ): HTMLElement => {
      const input = element("input", {
        type: "text",
        inputmode: mode,
        autocomplete: "off",
        oninput: change,
        placeholder: hint,
      });
      typed.set(key, input);
      return labelled(label, input);
    };
    variety = element("select", { onchange: change });
    kind = element(
      "select",
      { onchange: change },
      element("option", { value: "seedsPerPound" }, "seeds per pound"),
      element("option", { value: "kernelWeight" }, "grams per thousand kernels"),
      element("option", { value: "seedsPerKg" }, "seeds per kilogram"),
    );
    card = element("div", { "aria-live": "polite" });
    return element(
      "section",
      {},
      element("h2", { tabindex: -1 }, "At the drill"),
      element(
        "p",
        {},
        "Change what is different today. An empty field keeps what the lot and the answer say.",
      ),
      element(
        "div",
        { class: "fields one-strip" },
        labelled("Variety", variety),
        field("daysLate", "Days later than the best date", "as planned"),
        field("size", "Seed size of this lot", "as the lot says"),
        labelled("Unit of the size", kind),
        field("germination", "Germination, %", "as the lot says"),
      ),
      element(
        "details",
        {},
        element("summary", {}, "Another rate or area"),
        element(
          "div",
          { class: "fields" },
          field("rate", "Rate, viable seeds", "next season’s", "text"),
          field("area", "Area to sow", "as the lot says", "text"),
        ),
      ),
      card,
    );
  },
  update(desk) {
    const before = variety.value;
    const varieties = desk.answer?.varieties ?? [];
    variety.replaceChildren(...varieties.map((name) => element("option", { value: name }, name)));
    if (varieties.includes(before)) variety.value = before;
    void show(desk);
  },
};

async function show(desk: Desk): Promise<void> {
  if (variety.value === "" || desk.answer === null || desk.answer.problem !== null || !desk.isFresh) {
    card.replaceChildren(element("p", {}, "There is no answer yet: add strips first."));
    return;
  }
  const mine = ++asked;
  const text = (key: "rate" | "size" | "germination" | "daysLate" | "area"): string => typed.get(key)!.value;
  const wishes: DrillWishes = {
    variety: variety.value,
    rate: text("rate"),
    seedSize: { kind: kind.value as DrillWishes["seedSize"]["kind"], text: text("size") },
    germination: text("germination"),
    daysLate: text("daysLate"),
    area: text("area"),
  };
  try {
    const told = await desk.engine.run("drill", { input: desk.book.input(), wishes });
    if (mine === asked) card.replaceChildren(...cardShown(told.text));
  } catch (error) {
    if (mine !== asked || error instanceof Stopped) return;
    card.replaceChildren(
      element("p", { class: "problem" }, error instanceof Error ? error.message : String(error)),
    );
  }
}

/** The card's lines, each a name and its value: in two columns, or one below the other on a phone. */
function cardShown(text: string): HTMLElement[] {
  const [card = "", ...cautions] = text.split("\n\n");
  const [heading = "", ...lines] = card.split("\n");
  const named: HTMLElement[] = [];
  const doubts: HTMLElement[] = [];
  for (const line of lines) {
    const [, name, told] = /^ {2}(\S.*?) {2,}(.*)$/.exec(line) ?? [];
    if (name === undefined || told === undefined)
      doubts.push(element("p", { class: "problem" }, line.trim()));
    else
      named.push(
        element("dt", {}, name),
        element(
          "dd",
          {},
          ...told.split(/ {3}/).map((part, index) => element(index === 0 ? "strong" : "span", {}, part)),
        ),
      );
  }
  return [
    element("h3", {}, heading),
    element("dl", { class: "seed-card" }, ...named),
    ...doubts,
    ...cautions.flatMap((part) => part.split("\n").map((line) => element("p", { class: "hint" }, line))),
  ];
}
