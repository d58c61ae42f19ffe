/** Browser entry of the lesson: one step at a time, by buttons, arrow keys, or the keys of a presenter's remote. */
import { printAs } from "./print-as.ts";

const buttons = document.createElement("nav");
const steps = [...document.querySelectorAll<HTMLElement>(".step")];
const { classList } = document.body;
let current = 0;
const shown = (): HTMLElement => steps[current]!;

const button = (text: string, act: () => void): HTMLButtonElement => {
  const made = document.createElement("button");
  made.type = "button";
  made.textContent = text;
  made.addEventListener("click", act);
  return made;
};
const back = button("Back", () => show(current - 1));
const next = button("Next", () => forward());
const student = button("Print for students, without answers", () => printAs(document, "student"));
const key = button("Print with answers", () => printAs(document, "teacher"));
const all = button("All steps", () => {
  all.textContent = classList.toggle("stepped") ? "All steps" : "Step by step";
  show(current);
});

/** Scrolls to the end of a step and opens its answer before it leaves it: a presenter's remote has one button. */
function forward(): void {
  const answer = shown().querySelector<HTMLDetailsElement>(".reveal:not([open])");
  if (!classList.contains("stepped")) show(current + 1);
  else if (!scrollOn() && !isLast()) {
    if (answer === null) show(current + 1);
    else answer.open = true;
  }
  next.disabled = isLast();
}

/** The lowest lines of a picture, in pixels. */
const emptyLines = 8;

/** Places of what the buttons hide of a step; nobody misses the numbers of a chart, which are folded. */
const hiddenBelow = (): DOMRect[] => {
  const bar = buttons.getBoundingClientRect().top;
  return [...shown().querySelectorAll("p, svg, tr")]
    .filter((one) => one.closest(".numbers, .spoken") === null && one.checkVisibility())
    .map((one) => ({ empty: one.tagName === "svg" ? emptyLines : 0, place: one.getBoundingClientRect() }))
    .filter(({ empty, place }) => place.bottom > bar + empty)
    .map(({ place }) => place);
};

/** Brings what the buttons hide to the top of the screen; false where they hide nothing. */
function scrollOn(): boolean {
  const tops = hiddenBelow().map(({ top }) => top);
  if (tops.length === 0) return false;
  const before = scrollY;
  scrollBy(0, Math.max(1, Math.min(...tops) - 16));
  return scrollY > before;
}

const isLast = (): boolean =>
  current === steps.length - 1 &&
  shown().querySelector(".reveal:not([open])") === null &&
  hiddenBelow().length === 0;

/** Shows a step, or the nearest one there is; its number stays in the address, so that a reload comes back to it. */
function show(wanted: number): void {
  current = Math.min(Math.max(wanted, 0), steps.length - 1);
  steps.forEach((step, index) => step.classList.toggle("current", index === current));
  back.disabled = current === 0;
  next.disabled = isLast();
  keepInAddress();
  shown().focus({ preventScroll: classList.contains("stepped") });
  if (classList.contains("stepped")) scrollTo(0, 0);
}

/** The first step alone leaves the address as it is: a browser still loading would scroll past the title to it. */
function keepInAddress(): void {
  if (current === 0 && location.hash === "") return;
  try {
    history.replaceState(null, "", `#${shown().id}`);
  } catch {
    // Some browsers refuse after a hundred changes in half a minute; the step is shown all the same.
  }
}

const inAddress = (): number => steps.findIndex((step) => `#${step.id}` === location.hash);
const moves: Record<string, number> = { ArrowRight: 1, PageDown: 1, ArrowLeft: -1, PageUp: -1 };

/** A table wider than its place scrolls by the arrow keys. */
const scrolls = (target: EventTarget | null): boolean =>
  target instanceof Element && target.closest(".scroll") !== null;

if (steps.length > 0) {
  buttons.className = "steps";
  buttons.setAttribute("aria-label", "Steps");
  buttons.append(back, next, all, student, key);
  steps.at(-1)!.after(buttons);
  window.addEventListener("hashchange", () => {
    const wanted = inAddress();
    if (wanted >= 0 && wanted !== current) show(wanted);
  });
  document.addEventListener("keydown", (event) => {
    const move = moves[event.key];
    if (move === undefined || event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) return;
    if (!classList.contains("stepped") || scrolls(event.target)) return;
    event.preventDefault();
    if (move > 0) forward();
    else show(current + move);
  });
  classList.add("stepped");
  show(inAddress());
}
