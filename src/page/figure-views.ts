/**
 * Figures of the page as views: the picture drawn beforehand gives way to a view of the same compiled spec.
 *
 * Expressions of the spec are interpreted, not compiled, so the page's policy needs no eval.
 */
import { parse, View, type Runtime, type Spec } from "vega";
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

export interface LiveFigure {
  chart: Chart;
  spec: Spec;
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

/** Draws the figures of a page for a result, each in a view that is made when it is first needed. */
export class FigureViews {
  readonly figures: readonly LiveFigure[];
  readonly #measures: Measures;
  readonly #report: Result;
  readonly #stripName: ReturnType<typeof stripNamer>;
  readonly #phone: MediaQueryList;
  readonly #runtimes = new Map<string, Runtime>();

  /** @param report  what the page shows as it stands */
  constructor(page: Document, { specs }: PageData, measures: Measures, report: Result) {
    this.figures = figuresOf(page, specs, report);
    this.#measures = measures;
    this.#report = report;
    this.#stripName = stripNamer(report, measures);
    this.#phone = page.defaultView!.matchMedia(phoneWidth);
  }

  /** Whether a figure that can be seen shows something else than it would for a result. */
  isWaiting(live: LiveFigure, result: Result): boolean {
    const isOutdated =
      live.shows === null || isNameless(live) || (live.shows !== result && live.chart.live.length > 0);
    return !isFolded(live.figure) && (isOutdated || this.#isOtherWidth(live));
  }

  /** Whether a figure that can be seen has no view yet, and needs one to follow a price or to fit its width. */
  isCold(live: LiveFigure): boolean {
    return live.view === null && !isFolded(live.figure) && (isLive(live.chart) || this.#isOtherWidth(live));
  }

  /** Draws a figure for a result, where the result has what the figure is about. */
  async bring(live: LiveFigure, result: Result): Promise<void> {
    if (!live.chart.subjects(result).includes(live.subject)) return;
    live.shows = result;
    layOut(live, this.#widthOf(live));
    if (live.view !== null && live.chart.live.length === 0) return;
    const drawing = live.chart.draw(result, live.subject, this.#measures);
    const first = live.view === null;
    const view = (live.view ??= this.#viewFor(live));
    const data = first ? this.#firstData(live, result, drawing) : onlyLive(live.chart, drawing.data);
    const changed = Object.entries(data).map(([name, rows]) => setRows(live, view, name, rows));
    if (!changed.includes(true)) return;
    const picture = pictureOf(live.figure);
    if (first) openIn(picture, view, live.width);
    await view.runAsync();
    if (first) callOnePicture(picture);
    picture.setAttribute("aria-label", pictureName(drawing));
    live.numbers = drawing.table;
    tellNumbers(live);
    if (first) nameMarks(live.figure, drawing, this.#stripName, this.#measures);
    if (isUndrawn(live.figure)) {
      picture.classList.remove("undrawn");
      live.figure.querySelector<HTMLDetailsElement>("details.numbers")!.open = false;
    }
  }

  #widthOf({ figure }: LiveFigure): number | null {
    return this.#phone.matches ? roomFor(figure) : null;
  }

  #isOtherWidth(live: LiveFigure): boolean {
    return live.width !== this.#widthOf(live);
  }

  #viewFor(live: LiveFigure): View {
    return new View(this.#runtimeOf(live), {
      renderer: "svg",
      hover: false,
      expr: expressionInterpreter,
    } as object);
  }

  #runtimeOf({ chart, spec, width }: LiveFigure): Runtime {
    const key = `${chart.name} ${width ?? ""}`;
    const known = this.#runtimes.get(key);
    if (known !== undefined) return known;
    const made = parse(width === null ? spec : phoneLayout(spec, width), undefined, { ast: true } as object);
    this.#runtimes.set(key, made);
    return made;
  }

  /** What no price moves, such as an axis, is the report's own. */
  #firstData({ chart, subject }: LiveFigure, result: Result, drawing: Drawing): ChartData {
    const report = this.#report;
    const still = result === report ? drawing : chart.draw(report, subject, this.#measures);
    return { ...still.data, ...onlyLive(chart, drawing.data) };
  }
}

function figuresOf(page: Document, specs: PageData["specs"], report: Result): LiveFigure[] {
  return [...page.querySelectorAll<HTMLElement>("figure[data-chart]")].flatMap((figure) => {
    const chart = charts.find((one) => one.name === figure.dataset.chart);
    const spec = chart && specs[chart.name];
    if (chart === undefined || spec === undefined) return [];
    const live: LiveFigure = {
      chart,
      spec,
      subject: figure.dataset.subject ?? "",
      figure,
      view: null,
      width: null,
      shows: isUndrawn(figure) ? null : report,
      drawn: new Map(),
      numbers: null,
    };
    return [live];
  });
}

function openIn(picture: HTMLElement, view: View, width: number | null): void {
  picture.textContent = "";
  picture.classList.toggle("for-phone", width !== null);
  view.initialize(picture);
}

/** The view calls itself a graphics document; here it is one picture with a name. */
function callOnePicture(picture: HTMLElement): void {
  picture.setAttribute("role", "img");
  picture.removeAttribute("aria-roledescription");
  picture.querySelector("svg")?.setAttribute("aria-hidden", "true");
}

/** Tells the numbers of the picture, where their table is open. */
export function tellNumbers(live: LiveFigure): void {
  const folded = live.figure.querySelector<HTMLDetailsElement>("details.numbers");
  if (live.numbers === null || folded?.open !== true) return;
  const table = folded.querySelector(".scroll")!;
  // How many rows are not shown.
  if (table.nextElementSibling?.matches("p.quiet") === true) table.nextElementSibling.remove();
  table.outerHTML = isolateNames(numberTable(live.numbers).text);
  live.numbers = null;
}

/** A window of this width is a phone's; `page.css` says the same. */
const phoneWidth = "(max-width: 30rem)";

/** Width of a picture, or, in a part that is folded away, of what the part is in [px]. */
const roomFor = (figure: HTMLElement): number =>
  pictureOf(figure).clientWidth || figure.closest("details")?.parentElement?.clientWidth || 328;

/** Takes the view down where it was laid out for another width, and with it all that listened to its picture. */
function layOut(live: LiveFigure, width: number | null): void {
  const picture = pictureOf(live.figure);
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

const pictureOf = (figure: HTMLElement): HTMLElement => figure.querySelector<HTMLElement>(".picture")!;

const isUndrawn = (figure: HTMLElement): boolean => figure.querySelector(".undrawn") !== null;

/** Hands rows to a view where they differ from those drawn; says whether they did. */
function setRows(live: LiveFigure, view: View, name: string, rows: Row[]): boolean {
  const text = JSON.stringify(rows);
  if (live.drawn.get(name) === text) return false;
  live.drawn.set(name, text);
  view.data(name, drawable(rows));
  return true;
}
