/**
 * A chart laid out anew for the width of a phone: its letters keep their size, and the plot gives way.
 *
 * It works on compiled specs, so a page that holds those needs nothing more to lay out its charts for any width.
 */
import type { Axis, Legend, Padding, Signal, Spec } from "vega";

/** So many numbers fit under a plot as wide as a phone. */
const mostTicks = 4;
/** Names beside a plot are cut at this width, so that the plot keeps the larger part [px]. */
const longestName = 140;
/** A plot is this much higher for its width than on a wide screen, so that its curve is seen. */
const higher = 1.15;
/** Room below a plot for its axis, and for signs and their meaning [px]. */
const below = { axis: 50, signs: 72 };
/** "2024" where a wide screen says "strips 2024": what a mark is stands above the picture. */
const shortLabel = { signal: "replace(datum.label, regexp('^strips (?=[0-9])'), '')" };
/** Room for the numbers and the title beside a column of panels [px]. */
const besidePanels = 64;
const panelHeight = 104;

/**
 * @param spec compiled, with empty data
 * @param width of the whole picture [px]
 */
export function phoneLayout(spec: Spec, width: number): Spec {
  const axes = spec.axes?.map(phoneAxis);
  const whole = { ...spec, ...(axes === undefined ? {} : { axes }) };
  if (spec.layout !== undefined) return panelsStacked(whole, width);
  if (spec.autosize !== "none") return { ...whole, width, autosize: { type: "fit-x", contains: "padding" } };
  const { left = 0, right = 0, top = 0 } = spec.padding as Exclude<Padding, number>;
  const plot = width - left - right;
  const { legends } = spec;
  return {
    ...whole,
    width: plot,
    height: Math.round((higher * (spec.height as number) * plot) / (spec.width as number)),
    padding: { left, right, top, bottom: legends === undefined ? below.axis : below.signs },
    ...(legends === undefined ? {} : { legends: legends.map(phoneLegend) }),
  };
}

function phoneAxis(axis: Axis): Axis {
  if (axis.orient === "bottom" && axis.tickCount !== undefined)
    return { ...axis, tickCount: Math.min(axis.tickCount as number, mostTicks) };
  return axis.labelLimit === undefined
    ? axis
    : { ...axis, labelLimit: Math.min(axis.labelLimit as number, longestName) };
}

const phoneLegend = (legend: Legend): Legend => ({
  ...legend,
  encode: { ...legend.encode, labels: { update: { text: shortLabel } } },
});

/** Panels below each other; what counts their rows and columns is written with the number of columns in it. */
function panelsStacked(spec: Spec, width: number): Spec {
  const layout = spec.layout as { columns: number };
  const { columns } = layout;
  const sizes: Record<string, number> = { child_width: width - besidePanels, child_height: panelHeight };
  const signals = spec.signals?.map((signal) =>
    signal.name in sizes ? ({ ...signal, value: sizes[signal.name] } as Signal) : signal,
  );
  const data = JSON.parse(
    JSON.stringify(spec.data).replaceAll(` / ${columns})`, " / 1)").replaceAll(`), ${columns})`, "), 1)"),
  ) as NonNullable<Spec["data"]>;
  return { ...spec, data, layout: { ...layout, columns: 1 }, ...(signals === undefined ? {} : { signals }) };
}
