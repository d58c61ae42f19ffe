/**
 * Vega-Lite specs to SVG text, without a browser and without a canvas.
 *
 * Expressions are interpreted, not made into functions, so that a page whose policy forbids that can draw too.
 * Compiling and parsing a spec takes far longer than drawing it, so each chart is compiled once and its one view is fed
 * with the data of variety after variety.
 */
import { compile, type TopLevelSpec } from "vega-lite";
import * as vega from "vega";
import { Error as onlyErrors, logger, parse, View, type Spec as VegaSpec } from "vega";
import { expressionInterpreter } from "vega-interpreter";
import type { Chart, ChartData, Spec } from "./charts/chart.ts";
import { slimSvg } from "./slim-svg.ts";
import { sizeless } from "./html/figure.ts";
import { withoutControls } from "./html/markup.ts";
import type { PartsLater } from "./html/parts-later.ts";
import type { Measures } from "../numbers/measures.ts";

/** How Vega measures text; exported by Vega, missing in its types. */
const { textMetrics } = vega as unknown as { textMetrics: { canvas(allowed: boolean): void } };

/** What drawing needs of a chart. */
export type Drawable = Pick<Chart, "name" | "spec">;

/** The spec of a chart, the numbers at its axes written as all others. */
export function chartSpec(chart: Drawable, measures: Measures): Spec {
  const spec = chart.spec(measures);
  const { decimal, thousands } = measures.style;
  const number = { decimal, thousands, grouping: [3], currency: ["", ""] };
  return { ...spec, config: { ...(spec.config as Spec), locale: { number } } };
}

export interface ChartDrawer {
  /** SVG of a chart with these rows. Calls run one after another: charts of one kind share a view. */
  drawSvg(chart: Drawable, data: ChartData): Promise<string>;
  /** The compiled Vega spec with empty data, for the page that keeps the chart alive. */
  vegaSpec(chart: Drawable): VegaSpec;
}

/** A chart ready to be drawn: what Vega-Lite compiles its spec to, and what Vega parses that to once it is drawn. */
interface Ready {
  spec: VegaSpec;
  parsed?: ReturnType<typeof parse>;
}

/** Charts that were made ready before, by their specs: farm after farm is drawn with the same. */
const ready = new Map<string, Ready>();
/** A person's charts in one style of numbers are a dozen. */
const mostReady = 100;

function readyChart(spec: Spec): Ready {
  const key = JSON.stringify(spec);
  const known = ready.get(key);
  if (known !== undefined) return known;
  const made = { spec: compile(spec as unknown as TopLevelSpec, { logger: logger(onlyErrors) }).spec };
  if (ready.size >= mostReady) ready.clear();
  ready.set(key, made);
  return made;
}

/** @param later  where given, a picture is drawn when its part is asked for, and its mark stands for it until then */
export function chartDrawer(measures: Measures, later?: PartsLater): ChartDrawer {
  // Width of text by estimate everywhere: Node has no canvas, and the page must draw the same picture.
  textMetrics.canvas(false);
  const charts = new Map<string, Ready>();
  const views = new Map<string, View>();
  let drawn = 0;
  const readyOf = (chart: Drawable): Ready => {
    const known = charts.get(chart.name) ?? readyChart(chartSpec(chart, measures));
    charts.set(chart.name, known);
    return known;
  };
  const viewOf = (chart: Drawable): View => {
    const known = views.get(chart.name);
    if (known !== undefined) return known;
    const made = readyOf(chart);
    made.parsed ??= parse(made.spec, undefined, { ast: true } as object);
    const view = new View(made.parsed, { renderer: "none", expr: expressionInterpreter } as object);
    views.set(chart.name, view);
    return view;
  };
  return {
    vegaSpec: (chart) => readyOf(chart).spec,
    async drawSvg(chart, data) {
      const number = ++drawn;
      const draw = async (): Promise<string> => {
        const view = viewOf(chart);
        for (const [name, rows] of Object.entries(data)) view.data(name, rows);
        await view.runAsync();
        return slimSvg(withoutControls(withOwnClips(await view.toSVG(), number)), String(number));
      };
      return later === undefined ? draw() : later.put(async () => sizeless(await draw()));
    },
  };
}

/** Clips are named by their drawing and their place in it: alone on a page of many, and the same each time. */
function withOwnClips(svg: string, drawing: number): string {
  const places = new Map<string, number>();
  return svg.replace(/((?:id="|url\(#)clip)(\d+)/g, (_, before: string, clip: string) => {
    if (!places.has(clip)) places.set(clip, places.size);
    return `${before}${drawing}-${places.get(clip)!}`;
  });
}
