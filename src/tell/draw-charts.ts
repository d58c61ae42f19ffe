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
import { withoutControls } from "./html/markup.ts";
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

export function chartDrawer(measures: Measures): ChartDrawer {
  // Width of text by estimate everywhere: Node has no canvas, and the page must draw the same picture.
  textMetrics.canvas(false);
  const specs = new Map<string, VegaSpec>();
  const views = new Map<string, View>();
  let drawn = 0;
  const vegaSpec = (chart: Drawable): VegaSpec => {
    const known = specs.get(chart.name);
    if (known !== undefined) return known;
    const made = compile(chartSpec(chart, measures) as unknown as TopLevelSpec, {
      logger: logger(onlyErrors),
    }).spec;
    specs.set(chart.name, made);
    return made;
  };
  const viewOf = (chart: Drawable): View => {
    const known = views.get(chart.name);
    if (known !== undefined) return known;
    const made = new View(parse(vegaSpec(chart), undefined, { ast: true } as object), {
      renderer: "none",
      expr: expressionInterpreter,
    } as object);
    views.set(chart.name, made);
    return made;
  };
  return {
    vegaSpec,
    async drawSvg(chart, data) {
      const view = viewOf(chart);
      for (const [name, rows] of Object.entries(data)) view.data(name, rows);
      await view.runAsync();
      drawn++;
      return slimSvg(withoutControls(withOwnClips(await view.toSVG(), drawn)), String(drawn));
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
