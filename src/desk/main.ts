/** The desk: lays out the steps, keeps the answer up to date. */
import { answer } from "./answer.ts";
import { Book } from "./book.ts";
import type { Desk, Step } from "./desk.ts";
import { button, element } from "./element.ts";
import { Engine, Stopped } from "./engine.ts";
import { drill } from "./drill.ts";
import { harvest, recallNotes } from "./harvest.ts";
import { intake } from "./intake.ts";
import { keep, recall } from "./keep.ts";
import { mend } from "./mend.ts";
import { whenHandedOver, type Packed } from "./packed.ts";
import { points } from "./points.ts";
import { prices } from "./prices.ts";
import { keepAnswered } from "./remember.ts";
import { Memory } from "./store.ts";
import { plan } from "./strips-plan.ts";
import { sayTooOld } from "./too-old.ts";

const steps: Step[] = [intake, points, mend, prices, answer, drill, plan, harvest, keep];

/** The answer is worked out again after this long without typing [ms]; at once after anything else. */
const pause = (): number => (document.activeElement?.matches("input, textarea") === true ? 350 : 0);

const at = <Name extends keyof HTMLElementTagNameMap>(selector: string): HTMLElementTagNameMap[Name] =>
  document.querySelector(selector) as HTMLElementTagNameMap[Name];

const main = at<"main">("main");
const nav = at<"nav">("nav");
const progress = at<"p">("#progress");

const built = new Map<Step, HTMLElement>();
let current: Step = intake;
let timer = 0;
let running = 0;

const desk: Desk = {
  book: new Book(changed),
  engine: null as unknown as Engine,
  packed: null as unknown as Packed,
  memory: new Memory(),
  sheet: null,
  answer: null,
  isFresh: false,
  get isQuiet() {
    return running === 0 && timer === 0;
  },
  say(text, isProblem = false) {
    progress.replaceChildren(text);
    progress.className = isProblem ? "problem" : "";
  },
  async work(doing) {
    running++;
    settle();
    const stop = button("Stop", () => desk.engine.stop(), "small");
    const step = (text: string): void => {
      progress.className = "busy";
      progress.replaceChildren(`${text} … `, stop);
    };
    step("Working");
    try {
      const gives = await doing(step);
      if (--running === 0) desk.say("");
      settle();
      return gives;
    } catch (error) {
      running--;
      const stopped = error instanceof Stopped;
      if (!stopped || running === 0)
        desk.say(error instanceof Error ? error.message : String(error), !stopped);
      settle();
      return null;
    }
  },
  go(name) {
    const step = steps.find((one) => one.name === name) ?? intake;
    show(step);
    built.get(step)!.querySelector<HTMLElement>("h2")?.focus();
  },
};

/** Marks whether anything is being worked out, for programs that drive the page. */
function settle(): void {
  document.documentElement.dataset["state"] = desk.isQuiet ? "quiet" : "busy";
}

function show(step: Step): void {
  current = step;
  document.body.dataset["step"] = step.name;
  if (!built.has(step)) built.set(step, step.build(desk));
  main.replaceChildren(built.get(step)!);
  for (const link of nav.querySelectorAll("button"))
    if (link.dataset["step"] === step.name) link.setAttribute("aria-current", "step");
    else link.removeAttribute("aria-current");
  showNeeded();
  step.update?.(desk);
  window.scrollTo(0, 0);
}

/** Steps that what is on the desk does not need are not offered. */
function showNeeded(): void {
  for (const { name, isNeeded } of steps)
    if (isNeeded !== undefined)
      nav.querySelector(`[data-step="${name}"]`)!.parentElement!.hidden =
        current.name !== name && !isNeeded(desk);
}

function update(): void {
  showNeeded();
  for (const step of steps) if (step === current) step.update?.(desk);
}

let drawing = 0;

/**
 * Something on the desk changed: what is shown follows at once, the answer after a pause. A field hands its text on before
 * the cursor reaches the next field, which must not be replaced meanwhile: hence a task of its own.
 */
function changed(): void {
  desk.isFresh = false;
  clearTimeout(drawing);
  drawing = window.setTimeout(update);
  clearTimeout(timer);
  timer = window.setTimeout(() => {
    timer = 0;
    void workOut().finally(settle);
  }, pause());
  settle();
}

async function workOut(): Promise<void> {
  const input = desk.book.input();
  if (!desk.book.sheets.some(({ rows }) => rows.length > 1)) {
    desk.answer = null;
    return update();
  }
  // The newest input wins: work for an older one is given up.
  desk.engine.overtake();
  const found = await desk.work((step) => desk.engine.run("answer", { input }, step));
  if (desk.book.input().number !== input.number) return;
  desk.answer = found ?? desk.answer;
  desk.isFresh = found !== null;
  update();
  tellFoot();
  void keepAnswered(desk);
}

function tellFoot(): void {
  at<"footer">("footer").replaceChildren(
    "This page’s security policy blocks every connection.",
    desk.engine.where === "page"
      ? " This browser cannot work in the background, so the page does not respond while it works."
      : "",
  );
}

async function start(packed: Packed): Promise<void> {
  nav.append(
    element(
      "ol",
      {},
      ...steps.map((step) => {
        const link = button(step.title, () => desk.go(step.name));
        link.dataset["step"] = step.name;
        return element("li", {}, link);
      }),
    ),
  );
  show(intake);
  performance.mark("desk: usable");
  try {
    desk.packed = packed;
    desk.engine = new Engine(packed);
    desk.engine.getReady();
    tellFoot();
    settle();
    await recallNotes(desk);
    await recall(desk);
    update();
  } catch {
    sayTooOld();
  }
}

// What was typed and is in no file yet would be lost, so the browser asks before it closes the page.
window.addEventListener("beforeunload", (event) => {
  const isUnsaved = desk.book.isUnsaved || desk.sheet?.isUnsaved === true;
  if (isUnsaved && !desk.memory.isOn) event.preventDefault();
});

whenHandedOver((packed) => void start(packed));
