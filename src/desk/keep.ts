/** Step 8: save the farm file, remember it on this computer if asked to, or forget everything. */
import type { Desk, Step } from "./desk.ts";
import { button, element, save } from "./element.ts";
import { packedFarm, rememberChoice } from "./remember.ts";

let choice: ReturnType<typeof rememberChoice>;

export const keep: Step = {
  name: "keep",
  title: "Keep",
  build(desk) {
    choice = rememberChoice(desk);
    return element(
      "section",
      {},
      element("h2", { tabindex: -1 }, "Keep it"),
      element(
        "p",
        {},
        "The farm file is a zip archive with your strips, lots and season file as CSV and YAML, which any computer can open. Drop it on this page to go on another day; the command reads it, too.",
      ),
      element(
        "p",
        { class: "row" },
        button("Save the farm file", () => void saveFarm(desk), "strong"),
      ),
      element("h3", {}, "Remember on this computer"),
      choice.element,
      element(
        "p",
        { class: "row" },
        button("Forget everything", () => void forgetEverything(desk)),
      ),
    );
  },
  update: () => choice.update(),
};

async function saveFarm(desk: Desk): Promise<void> {
  if (desk.book.files.length === 0) return desk.say("Nothing is on the desk yet.", true);
  const bytes = await packedFarm(desk);
  if (bytes === null) return;
  save("farm.zip", bytes, "application/zip");
  desk.book.isUnsaved = false;
}

async function forgetEverything(desk: Desk): Promise<void> {
  if (
    !window.confirm(
      "Clear the desk and its harvest notes, and forget everything remembered here? Files on your disk stay.",
    )
  )
    return;
  const problem = await desk.memory.forget();
  desk.sheet = null;
  desk.answer = null;
  desk.book.clear();
  choice.update();
  desk.say(problem ?? "Everything is forgotten.", problem !== null);
}

/** Puts what was remembered on the desk again. */
export async function recall(desk: Desk): Promise<void> {
  const bytes = await desk.memory.kept("farm");
  if (bytes === null) return;
  const looked = await desk.work((step) =>
    desk.engine.run("look", { files: [{ name: "remembered.zip", bytes }] }, step),
  );
  if (looked !== null) desk.book.add(looked.files);
}
