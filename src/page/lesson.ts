/** Browser entry of the lesson: one step at a time, by buttons, arrow keys, or the keys of a presenter's remote. */
import { printAs } from "./print-as.ts";

const steps = [...document.querySelectorAll<HTMLElement>(".step")];
const { classList } = document.body;
let current = 0;

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

/** Opens the answer of the step before it leaves it: a presenter's remote has one button. */
function forward(): void {
  const answer = steps[current]!.querySelector<HTMLDetailsElement>(".reveal:not([open])");
  if (answer !== null && classList.contains("stepped")) {
    answer.open = true;
    next.disabled = isLast();
  } else show(current + 1);
}

const isLast = (): boolean =>
  current === steps.length - 1 && steps[current]!.querySelector(".reveal:not([open])") === null;

/** Shows a step, or the nearest one there is; its number stays in the address, so that a reload comes back to it. */
function show(wanted: number): void {
  current = Math.min(Math.max(wanted, 0), steps.length - 1);
  steps.forEach((step, index) => step.classList.toggle("current", index === current));
  back.disabled = current === 0;
  next.disabled = isLast();
  history.replaceState(null, "", `#${steps[current]!.id}`);
  steps[current]!.focus({ preventScroll: classList.contains("stepped") });
  if (classList.contains("stepped")) scrollTo(0, 0);
}

const inAddress = (): number => steps.findIndex((step) => `#${step.id}` === location.hash);
const moves: Record<string, number> = { ArrowRight: 1, PageDown: 1, ArrowLeft: -1, PageUp: -1 };

/** A table wider than its place scrolls by the arrow keys. */
const scrolls = (target: EventTarget | null): boolean =>
  target instanceof Element && target.closest(".scroll") !== null;

if (steps.length > 0) {
  const buttons = document.createElement("nav");
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
