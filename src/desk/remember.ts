/** Remembering on this computer: off unless asked for, with a message if it fails, and forgotten at once. */
import type { Desk } from "./desk.ts";
import { element } from "./element.ts";

let boxes = 0;

/** The choice, which is offered in several places; `update` shows what was chosen elsewhere. */
export function rememberChoice(desk: Desk): { element: HTMLElement; update(): void } {
  const id = `remember-${++boxes}`;
  const box = element("input", {
    type: "checkbox",
    id,
    onchange: () => void (box.checked ? remember(desk) : forget(desk)).then(update),
  });
  const update = (): void => void (box.checked = desk.memory.isOn);
  void desk.memory.known.then(update);
  return {
    element: element(
      "div",
      {},
      element(
        "p",
        { class: "choice" },
        box,
        element("label", { for: id }, "Remember farm and harvest notes in this browser"),
      ),
      element(
        "p",
        { class: "hint" },
        "Off unless you ask for it. Other pages opened from this computer’s disk may be able to read what is remembered, and the browser may clear it at any time. So save your files as well.",
      ),
    ),
    update,
  };
}

async function remember(desk: Desk): Promise<void> {
  const problem = (await desk.memory.turnOn()) ?? (await keepNotes(desk)) ?? (await keepFarm(desk));
  if (problem === null) desk.say("What is on the desk is remembered in this browser.");
  else {
    await desk.memory.forget();
    desk.say(problem, true);
  }
}

/** Forgets what was remembered; what is on the desk stays. */
async function forget(desk: Desk): Promise<void> {
  const problem = await desk.memory.forget();
  desk.say(problem ?? "Nothing is remembered any more.", problem !== null);
}

/** The desk's files in one archive; null if that was stopped or failed, which the person was then told. */
export async function packedFarm(desk: Desk): Promise<Uint8Array | null> {
  const files = desk.book.filesToKeep();
  const told = await desk.work((step) =>
    desk.engine.run(
      "pack",
      {
        files,
        typed: desk.book.typedEntries,
        answers: desk.book.answers,
        leftOut: desk.book.leftOutText(),
      },
      step,
    ),
  );
  return told?.bytes ?? null;
}

let keptNumber = -1;

/** Keeps what is on the desk, if the person asked for it and it has changed since it was last kept. */
export async function keepFarm(desk: Desk): Promise<string | null> {
  const { number } = desk.book.input();
  if (!desk.memory.isOn || desk.book.files.length === 0) return null;
  const bytes = await packedFarm(desk);
  if (bytes === null) return null;
  const problem = await desk.memory.keep("farm", bytes);
  if (problem === null) keptNumber = number;
  return problem;
}

/** After an answer: keeps its input, and says so if that failed. */
export async function keepAnswered(desk: Desk): Promise<void> {
  if (keptNumber === desk.book.input().number) return;
  const problem = await keepFarm(desk);
  if (problem !== null) desk.say(problem, true);
}

export const keepNotes = (desk: Desk): Promise<string | null> =>
  desk.sheet === null ? Promise.resolve(null) : desk.memory.keep("notes", desk.sheet.text);
