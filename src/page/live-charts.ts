/**
 * Charts that follow a moved price: the picture drawn beforehand gives way to a view of the same compiled spec.
 *
 * Expressions of the spec are interpreted, not compiled, so the page's policy needs no eval.
 */
import * as vega from "vega";
import { parse, View, type Runtime } from "vega";
import { expressionInterpreter } from "vega-interpreter";
import type { Result } from "../vocabulary/result.ts";
import {
  drawable,
  type Chart,
  type ChartData,
  type Drawing,
  type NumberTable,
  type Row,
} from "../tell/charts/chart.ts";
import { charts } from "../tell/charts/index.ts";
import { phoneLayout } from "../tell/charts/phone-layout.ts";
import { isLive, numberTable, pictureName } from "../tell/html/figure.ts";
import { isolateNames } from "../tell/html/isolate-names.ts";
import type { PageData } from "../tell/html/page-data.ts";
import { howToAsk, stripNamer, whichStrip } from "../tell/wording/strip-name.ts";
import type { Measures } from "../numbers/measures.ts";
import { isFolded } from "./folded.ts";
import { nameStrips } from "./name-strips.ts";
import { keepEqualExtents } from "./steady-extents.ts";
import { whenIdle } from "./when-idle.ts";

const { textMetrics } = vega as unknown as { textMetrics: { canvas(allowed: boolean): void } };

interface LiveFigure {
  chart: Chart;
  subject: string;
  figure: HTMLElement;
  view: View | null;
  /** Width of a phone that its picture is laid out for [px]; null where it is as drawn beforehand. */
  width: number | null;
  /** What its picture shows; null while nothing is drawn. */
  shows: Result | null;
  /** Rows as last drawn, by name of the data. */
  drawn: Map<string, string>;
  /** What the folded table under the picture says once it is opened; null where it says so. */
  numbers: NumberTable | null;
}

export interface LiveCharts {
  /** Draws the charts in sight that a moved price changes: those that are folded away when their part is opened. */
  redraw(result: Result): Promise<void>;
  /** Draws those out of sight as well, one after another, unless they are scrolled to before. */
  follow(): Promise<void>;
  /**
   * Makes the views one after another, with pauses, so that the first moved price finds them ready; then the page's
   * timeline holds the mark `charts: alive`.
   */
  warm(): void;
}

export function liveCharts(page: Document, data: PageData, measures: Measures, report: Result): LiveCharts {
  textMetrics.canvas(false);
  keepEqualExtents();
  const stripName = stripNamer(report, measures);
  let latest = report;
  const figures = [...page.querySelectorAll<HTMLElement>("figure[data-chart]")].flatMap((figure) => {
    const chart = charts.find((one) => one.name === figure.dataset.chart);
    if (chart === undefined || data.specs[chart.name] === undefined) return [];
    const shows = isUndrawn(figure) ? null : report;
    const subject = figure.dataset.subject ?? "";
    const live: LiveFigure = {
      chart,
      subject,
      figure,
      view: null,
      width: null,
      shows,
      drawn: new Map(),
      numbers: null,
    };
    return [live];
  });
  const runtimes = new Map<string, Runtime>();
  const runtimeOf = (chart: Chart, width: number | null): Runtime => {
    const key = `${chart.name} ${width ?? ""}`;
    const known = runtimes.get(key);
    if (known !== undefined) return known;
    const spec = data.specs[chart.name]!;
    const made = parse(width === null ? spec : phoneLayout(spec, width), undefined, { ast: true } as object);
    runtimes.set(key, made);
    return made;
  };
  const phone = page.defaultView!.matchMedia(phoneWidth);
  const widthOf = ({ figure }: LiveFigure): number | null => (phone.matches ? roomFor(figure) : null);

  async function bring(live: LiveFigure, result: Result): Promise<void> {
    if (!live.chart.subjects(result).includes(live.subject)) return;
    live.shows = result;
    layOut(live, widthOf(live));
    if (live.view !== null && live.chart.live.length === 0) return;
    const drawing = live.chart.draw(result, live.subject, measures);
    const first = live.view === null;
    const view = (live.view ??= new View(runtimeOf(live.chart, live.width), {
      renderer: "svg",
      hover: false,
      expr: expressionInterpreter,
    } as object));
    // What no price moves, such as an axis, is the report's own.
    const still =
      first && result !== report ? live.chart.draw(report, live.subject, measures).data : drawing.data;
    const changed = Object.entries({ ...still, ...onlyLive(live.chart, drawing.data) })
      .filter(([name]) => first || live.chart.live.includes(name))
      .map(([name, rows]) => setRows(live, view, name, rows));
    if (!changed.includes(true)) return;
    const picture = live.figure.querySelector<HTMLElement>(".picture")!;
    if (first) {
      picture.textContent = "";
      picture.classList.toggle("for-phone", live.width !== null);
      view.initialize(picture);
    }
    await view.runAsync();
    // The view calls itself a graphics document; here it is one picture with a name.
    if (first) {
      picture.setAttribute("role", "img");
      picture.removeAttribute("aria-roledescription");
      picture.querySelector("svg")?.setAttribute("aria-hidden", "true");
    }
    picture.setAttribute("aria-label", pictureName(drawing));
    live.numbers = drawing.table;
    tellNumbers(live);
    if (first) nameMarks(live.figure, drawing, stripName, measures);
    if (isUndrawn(live.figure)) {
      picture.classList.remove("undrawn");
      live.figure.querySelector<HTMLDetailsElement>("details.numbers")!.open = false;
    }
  }

  async function bringAll(): Promise<void> {
    figures.forEach(tellNumbers);
    for (const live of figures) if (isWaiting(live)) await bring(live, latest);
  }
  const isOutdated = (live: LiveFigure): boolean =>
    live.shows === null || isNameless(live) || (live.shows !== latest && live.chart.live.length > 0);
  const isWaiting = (live: LiveFigure): boolean =>
    !isFolded(live.figure) && (isOutdated(live) || live.width !== widthOf(live));
  /** In a frame as high as its page, too, an observer knows what is on the screen. */
  const inSight = new Set<Element>();
  const observer = new page.defaultView!.IntersectionObserver((seen) => {
    for (const { target, isIntersecting } of seen)
      if (isIntersecting) inSight.add(target);
      else inSight.delete(target);
    if (latest !== report) void bringThoseInSight();
  });
  for (const { figure } of figures) observer.observe(figure);
  async function bringThoseInSight(): Promise<void> {
    for (const live of figures) if (inSight.has(live.figure) && isWaiting(live)) await bring(live, latest);
  }
  let following: Promise<void> | null = null;
  async function bringOthers(): Promise<void> {
    let drawn: Result;
    do {
      drawn = latest;
      let since = performance.now();
      for (const live of figures.filter(isWaiting)) {
        if (performance.now() - since > longestMs) {
          // A task of its own: a slider that moves on is heard first.
          await new Promise((goOn) => setTimeout(goOn, 0));
          since = performance.now();
        }
        if (isWaiting(live)) await bring(live, latest);
      }
    } while (drawn !== latest);
  }
  page.addEventListener("toggle", () => void bringAll(), { capture: true });
  page.defaultView!.addEventListener("resize", () => void bringAll());

  return {
    async redraw(result) {
      latest = result;
      figures.forEach(tellNumbers);
      await bringThoseInSight();
    },
    follow: () => (following ??= bringOthers().finally(() => (following = null))),
    warm() {
      const next = figures.find(
        (one) =>
          one.view === null && !isFolded(one.figure) && (isLive(one.chart) || one.width !== widthOf(one)),
      );
      if (next === undefined) {
        page.defaultView!.performance.mark("charts: alive");
        return;
      }
      void bring(next, latest).then(() => whenIdle(page.defaultView!, () => this.warm()));
    },
  };
}

/** Tells the numbers of the picture, where their table is open. */
function tellNumbers(live: LiveFigure): void {
  const folded = live.figure.querySelector<HTMLDetailsElement>("details.numbers");
  if (live.numbers === null || folded?.open !== true) return;
  const table = folded.querySelector(".scroll")!;
  // How many rows are not shown.
  if (table.nextElementSibling?.matches("p.quiet") === true) table.nextElementSibling.remove();
  table.outerHTML = isolateNames(numberTable(live.numbers).text);
  live.numbers = null;
}

/** Charts out of sight are drawn no longer than this at one go, so that no task is felt [ms]. */
const longestMs = 40;

/** A window of this width is a phone's; `page.css` says the same. */
const phoneWidth = "(max-width: 30rem)";

/** Width of a picture, or, in a part that is folded away, of what the part is in [px]. */
const roomFor = (figure: HTMLElement): number =>
  figure.querySelector(".picture")!.clientWidth ||
  figure.closest("details")?.parentElement?.clientWidth ||
  328;

/** Takes the view down where it was laid out for another width, and with it all that listened to its picture. */
function layOut(live: LiveFigure, width: number | null): void {
  const picture = live.figure.querySelector<HTMLElement>(".picture")!;
  if (live.width !== width && live.view !== null) {
    live.view.finalize();
    live.view = null;
    live.drawn.clear();
    picture.replaceWith(picture.cloneNode(false));
  }
  live.width = width;
}

function nameMarks(
  figure: HTMLElement,
  { strips }: Drawing,
  nameOf: ReturnType<typeof stripNamer>,
  measures: Measures,
): void {
  const named = (strips ?? []).map((strip) => ({
    name: nameOf(strip),
    rate: measures.rate.value(strip.rateSeedsPerM2),
  }));
  nameStrips(figure, { which: whichStrip, how: howToAsk }, named);
}

const onlyLive = ({ live }: Chart, data: ChartData): ChartData =>
  Object.fromEntries(Object.entries(data).filter(([name]) => live.includes(name)));

/** Drawn beforehand: its marks get their names when it is drawn here. */
const isNameless = ({ chart, view }: LiveFigure): boolean => chart.ofStrips === true && view === null;

const isUndrawn = (figure: HTMLElement): boolean => figure.querySelector(".undrawn") !== null;

/** Hands rows to a view where they differ from those drawn; says whether they did. */
function setRows(live: LiveFigure, view: View, name: string, rows: Row[]): boolean {
  const text = JSON.stringify(rows);
  if (live.drawn.get(name) === text) return false;
  live.drawn.set(name, text);
  view.data(name, drawable(rows));
  return true;
}
