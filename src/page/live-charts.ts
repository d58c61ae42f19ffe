/**
 * Charts that follow a moved price: the picture drawn beforehand gives way to a view of the same compiled spec.
 *
 * Expressions of the spec are interpreted, not compiled, so the page's policy needs no eval.
 */
import * as vega from "vega";
import { parse, View, type Runtime } from "vega";
import { expressionInterpreter } from "vega-interpreter";
import type { Result } from "../result.ts";
import type { Chart, Row } from "../tell/charts/chart.ts";
import { charts } from "../tell/charts/index.ts";
import { numberTable, pictureName } from "../tell/html/figure.ts";
import type { PageData } from "../tell/html/page-data.ts";
import type { Measures } from "../tell/wording/measures.ts";
import { whenIdle } from "./when-idle.ts";

const { textMetrics } = vega as unknown as { textMetrics: { canvas(allowed: boolean): void } };

interface LiveFigure {
  chart: Chart;
  subject: string;
  figure: HTMLElement;
  view: View | null;
  /** Rows as last drawn, by name of the data. */
  drawn: Map<string, string>;
}

export interface LiveCharts {
  /** Draws every chart that a moved price changes. */
  redraw(result: Result): Promise<void>;
  /** Makes the views one after another, with pauses, so that the first moved price finds them ready. */
  warm(result: Result): void;
}

export function liveCharts(page: Document, data: PageData, measures: Measures): LiveCharts {
  textMetrics.canvas(false);
  const figures = [...page.querySelectorAll<HTMLElement>("figure[data-chart]")].flatMap((figure) => {
    const chart = charts.find((one) => one.name === figure.dataset.chart);
    return chart === undefined || data.specs[chart.name] === undefined
      ? []
      : [
          {
            chart,
            subject: figure.dataset.subject ?? "",
            figure,
            view: null,
            drawn: new Map(),
          } as LiveFigure,
        ];
  });
  const runtimes = new Map<string, Runtime>();
  const runtimeOf = (chart: Chart): Runtime => {
    const known = runtimes.get(chart.name);
    if (known !== undefined) return known;
    const made = parse(data.specs[chart.name]!, undefined, { ast: true } as object);
    runtimes.set(chart.name, made);
    return made;
  };

  async function bring(live: LiveFigure, result: Result): Promise<void> {
    if (!live.chart.subjects(result).includes(live.subject)) return;
    const drawing = live.chart.draw(result, live.subject, measures);
    const first = live.view === null;
    const view = (live.view ??= new View(runtimeOf(live.chart), {
      renderer: "svg",
      hover: false,
      expr: expressionInterpreter,
    } as object));
    const changed = Object.entries(drawing.data).map(([name, rows]) => setRows(live, view, name, rows));
    if (!changed.includes(true)) return;
    const picture = live.figure.querySelector<HTMLElement>(".picture")!;
    if (first) {
      picture.textContent = "";
      view.initialize(picture);
    }
    await view.runAsync();
    // The view calls itself a graphics document; here it is one picture with a name.
    picture.setAttribute("role", "img");
    picture.removeAttribute("aria-roledescription");
    picture.setAttribute("aria-label", pictureName(drawing));
    picture.querySelector("svg")?.setAttribute("aria-hidden", "true");
    const numbers = live.figure.querySelector(".scroll");
    if (numbers !== null) numbers.outerHTML = numberTable(drawing.table).text;
  }

  return {
    async redraw(result) {
      for (const live of figures) await bring(live, result);
    },
    warm(result) {
      const [live] = figures.filter((one) => one.view === null);
      if (live === undefined) return;
      void bring(live, result).then(() => whenIdle(window, () => this.warm(result)));
    },
  };
}

/** Hands rows to a view where they differ from those drawn; says whether they did. */
function setRows(live: LiveFigure, view: View, name: string, rows: Row[]): boolean {
  const text = JSON.stringify(rows);
  if (live.drawn.get(name) === text) return false;
  live.drawn.set(name, text);
  view.data(name, rows);
  return true;
}
