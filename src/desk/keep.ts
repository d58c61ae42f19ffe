/** Step 8: one farm file in and out; remembering on this computer where it is asked for; forgetting everything. */
import type { Desk, Step } from "./desk.ts";
import { button, element, save } from "./element.ts";
import { forgetAll, isRemembering, keepFarm, keptFarm } from "./store.ts";

let remember: HTMLInputElement;
let keptNumber = -1;

export const keep: Step = {
  name: "keep",
  title: "Keep",
  build(desk) {
    remember = element("input", {
      type: "checkbox",
      id: "remember",
      onchange: () => {
        if (remember.checked) void keepNow(desk);
        else void forgetAll();
      },
    });
    void isRemembering().then((on) => (remember.checked = on));
    return element(
      "section",
      {},
      element("h2", { tabindex: -1 }, "Keep it"),
      element(
        "p",
        {},
        "The farm file is a zip archive with your strips, lots and season file as CSV and YAML, which any computer opens. Drop it on this page to go on; the command reads it, too.",
      ),
      element(
        "p",
        { class: "row" },
        button("Save the farm file", () => void saveFarm(desk), "strong"),
      ),
      element("h3", {}, "Remember on this computer"),
      element(
        "p",
        {},
        remember,
        " ",
        element("label", { for: "remember" }, "Remember what is on the desk in this browser"),
      ),
      element(
        "p",
        { class: "hint" },
        "Off unless you ask for it. Other pages opened from this computer’s disk may be able to read what is remembered, and a browser may clear it at any time: keep the farm file as well.",
      ),
      element(
        "p",
        { class: "row" },
        button("Forget everything", () => {
          if (
            !window.confirm(
              "Clear the desk, and forget all that is remembered here? Files on your disk stay.",
            )
          )
            return;
          void forgetAll().then(() => {
            remember.checked = false;
            desk.book.clear();
            desk.answer = null;
            desk.say("Everything is forgotten.");
          });
        }),
      ),
    );
  },
};

async function packed(desk: Desk): Promise<Uint8Array | null> {
  const files = desk.book.filesToKeep();
  const told = await desk.work((step) =>
    desk.engine.run("pack", { files, typed: desk.book.typedEntries, leftOut: desk.book.leftOutText() }, step),
  );
  return told?.bytes ?? null;
}

async function saveFarm(desk: Desk): Promise<void> {
  if (desk.book.files.length === 0) return desk.say("Nothing is on the desk yet.", true);
  const bytes = await packed(desk);
  if (bytes !== null) save("farm.zip", bytes, "application/zip");
}

async function keepNow(desk: Desk): Promise<void> {
  if (desk.book.files.length === 0) return;
  const bytes = await packed(desk);
  if (bytes === null) return;
  const problem = await keepFarm(bytes);
  if (problem === null) return;
  remember.checked = false;
  desk.say(problem, true);
}

/** Keeps a new answer's input where the person asked for it. */
export async function keepIfAsked(desk: Desk): Promise<void> {
  const { number } = desk.book.input();
  if (number === keptNumber || desk.book.files.length === 0 || !(await isRemembering())) return;
  keptNumber = number;
  const bytes = await packed(desk);
  const problem = bytes === null ? null : await keepFarm(bytes);
  if (problem !== null) desk.say(problem, true);
}

/** What was remembered, laid on the desk again. */
export async function recall(desk: Desk): Promise<void> {
  const bytes = (await isRemembering()) ? await keptFarm() : null;
  if (bytes === null) return;
  const looked = await desk.work((step) =>
    desk.engine.run("look", { files: [{ name: "remembered.zip", bytes }] }, step),
  );
  if (looked !== null) desk.book.add(looked.files);
}
