/** Step 4: the report, shown in the page, for the reader who is chosen. */
import { counted } from "../numbers/written-numbers.ts";
import type { Reader } from "../farm/report-farm.ts";
import type { Answered, ReportAsk } from "./errands.ts";
import { ReportParts } from "./report-parts.ts";
import { Stopped } from "./engine.ts";
import type { Desk, Step } from "./desk.ts";
import { button, element, labelled, save } from "./element.ts";

const readers: Record<Reader, string> = {
  farm: "Everything about the farm",
  grower: "A grower: two pages to print",
  agronomist: "An agronomist: every fit shown",
  educator: "A teacher: a lesson",
};

let reader: Reader = "farm";
let readerChoice: HTMLSelectElement;
let frame: HTMLIFrameElement;
let state: HTMLElement;
let actions: HTMLElement;
/** What the frame shows, and which state of the desk it belongs to; the whole page once everything is drawn. */
let shown: { whole: string | null; parts: ReportParts; reader: Reader; number: number } | null = null;
let asked = "";
/** Parts asked for at once: they are put in while the next are drawn. */
const together = 2;
/** Whether to print the frame once the report that was asked for is in it. */
let printsNext = false;

export const answer: Step = {
  name: "answer",
  title: "Answer",
  build(desk) {
    readerChoice = element(
      "select",
      {
        onchange: () => {
          printsNext = false;
          reader = readerChoice.value as Reader;
          void show(desk);
        },
      },
      ...Object.entries(readers).map(([name, text]) => element("option", { value: name }, text)),
    );
    frame = element("iframe", { title: "The report", class: "report", hidden: true, tabindex: 0 });
    frame.addEventListener("load", () => {
      fit();
      // It stays pale if there is a newer answer meanwhile.
      if (shown !== null && asked === `${shown.number} ${shown.reader}`) frame.classList.remove("stale");
      performance.mark("desk: answer opened");
      void fill();
    });
    state = element("div", { class: "state" });
    actions = element(
      "p",
      { class: "row", hidden: true },
      button("Save this report", () => {
        if (shown !== null && shown.whole !== null)
          save(`report-${shown.reader}.html`, shown.whole, "text/html");
      }),
      button("Print this report", () => frame.contentWindow?.print()),
      button("Print the grower’s two pages", () => printForGrower(desk)),
      button("Save the result as JSON", () => void saveJson(desk)),
    );
    return element(
      "section",
      {},
      element("h2", { tabindex: -1 }, "Next season’s rates"),
      labelled("Who reads it", readerChoice),
      state,
      actions,
      frame,
    );
  },
  update(desk) {
    void show(desk);
  },
};

function printForGrower(desk: Desk): void {
  if (shown?.reader === "grower" && shown.whole !== null && shown.number === desk.book.input().number) {
    frame.contentWindow?.print();
    return;
  }
  printsNext = true;
  reader = "grower";
  readerChoice.value = reader;
  void show(desk);
}

/** The whole report without a scroll bar of its own. */
function fit(): void {
  const inside = frame.contentDocument?.documentElement;
  if (inside === undefined || frame.hidden) return;
  const set = (): void => {
    const height = Math.ceil(frame.contentDocument?.body?.getBoundingClientRect().height ?? 0) + 32;
    if (height > 200) frame.style.height = `${height}px`;
  };
  set();
  new ResizeObserver(set).observe(frame.contentDocument!.body);
}

/** What stands above the report follows the answer; the report itself is asked for once the answer is fresh. */
async function show(desk: Desk): Promise<void> {
  const { answer: found } = desk;
  if (found === null || found.problem !== null) {
    frame.hidden = true;
    actions.hidden = true;
    state.replaceChildren(
      found === null ? noAnswerYet(desk) : element("p", { class: "problem" }, found.problem ?? ""),
    );
    return;
  }
  state.replaceChildren(...aboveTheReport(desk, found));
  await askForReport(desk);
}

const noAnswerYet = (desk: Desk): HTMLElement =>
  element(
    "p",
    {},
    desk.book.files.length === 0
      ? "No strips are on the desk yet. "
      : desk.engine.isBusy
        ? "Working on it."
        : "There is no answer yet. ",
    desk.book.files.length === 0 && button("To the first step", () => desk.go("in")),
  );

/** Remarks, questions that are open, and where the strips give no answer, the way to why. */
const aboveTheReport = (desk: Desk, { remarks, questions, answered }: Answered): HTMLElement[] => [
  ...remarks.map((remark) => element("p", {}, remark)),
  ...(questions.length === 0
    ? []
    : [
        element(
          "p",
          { class: "row" },
          `Only you can answer ${counted(questions.length, "question")} about these strips. `,
          button("Answer", () => desk.go("mend"), "small"),
        ),
      ]),
  ...(answered
    ? []
    : [
        element(
          "p",
          { class: "problem" },
          "These strips give no answer. The findings beside the rows say why. ",
        ),
        button("Look at the rows", () => desk.go("mend")),
      ]),
];

/** Asks once for each state of the desk and each reader; what was stopped may be asked again. */
async function askForReport(desk: Desk): Promise<void> {
  const input = desk.book.input();
  const wanted = `${input.number} ${reader}`;
  if (!desk.isFresh || wanted === asked) return;
  asked = wanted;
  frame.classList.add("stale");
  try {
    const done = await desk.work(async (step) => {
      await tell(desk, { input, reader, locale: navigator.language }, () => wanted === asked, step);
      return true;
    });
    if (done === null && wanted === asked) asked = "";
  } catch (error) {
    if (!(error instanceof Stopped)) throw error;
    asked = "";
  }
}

/** Shows the report as soon as it can be read, draws its pictures into it, and keeps the whole for saving. */
async function tell(
  desk: Desk,
  ask: ReportAsk,
  isWanted: () => boolean,
  step: (text: string) => void,
): Promise<void> {
  const { html, inOrder } = await desk.engine.run("report", ask, step);
  if (!isWanted()) return;
  const parts = new ReportParts();
  const now = { whole: null as string | null, parts, reader: ask.reader, number: ask.input.number };
  shown = now;
  frame.hidden = false;
  actions.hidden = false;
  offerWhole();
  frame.ariaBusy = "true";
  frame.srcdoc = html;
  performance.mark("desk: answer shown");
  for (let from = 0; from < inOrder.length; from += together) {
    const wanted = inOrder.slice(from, from + together);
    parts.take((await desk.engine.run("parts", { ...ask, wanted })).parts);
    if (!isWanted()) return;
    void fill();
  }
  const whole = await desk.engine.run("wholeReport", ask);
  if (!isWanted()) return;
  now.whole = whole.html;
  await fill();
  offerWhole();
  if (printsNext) frame.contentWindow?.print();
  printsNext = false;
}

/** Puts the drawn parts into the open report; it is busy until all are in. */
async function fill(): Promise<void> {
  const [filled, page] = [shown, frame.contentDocument];
  await filled?.parts.fill(page);
  if (
    filled === shown &&
    filled?.whole !== null &&
    page === frame.contentDocument &&
    page?.readyState === "complete"
  )
    frame.ariaBusy = null;
}

/** The report can be saved and printed once all of it is drawn. */
function offerWhole(): void {
  for (const one of actions.querySelectorAll("button")) one.disabled = (shown?.whole ?? null) === null;
}

async function saveJson(desk: Desk): Promise<void> {
  const told = await desk.work((step) => desk.engine.run("json", { input: desk.book.input() }, step));
  if (told !== null) save("result.json", told.text, "application/json");
}
