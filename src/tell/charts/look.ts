/**
 * The look that all charts share.
 *
 * Colours: Okabe & Ito (2008), "Color Universal Design", chosen to stay apart for all common kinds of colour blindness.
 * Every coloured thing also differs in shape, dash or label, so that a grey print reads as well.
 */
import type { Row, Spec } from "./chart.ts";

export const colours = {
  paper: "#ffffff",
  ink: "#1d2521",
  quiet: "#6b736e",
  line: "#d9dcd6",
  blue: "#0072b2",
  vermilion: "#d55e00",
  green: "#009e73",
  orange: "#e69f00",
  sky: "#56b4e9",
  purple: "#aa4499",
  /** A zone that must be seen beside ink, in colour and in grey. */
  zone: "#9a7400",
} as const;

/** Size of one chart, labels included [px at full size]; the page scales it to its column. */
export const chartSize = { width: 460, height: 340 };

const textSize = 13;

export const config: Spec = {
  aria: false,
  background: null,
  font: "sans-serif",
  text: { fontSize: textSize, color: colours.ink },
  view: { stroke: null },
  axis: {
    labelFontSize: textSize,
    titleFontSize: textSize,
    titleFontWeight: "normal",
    labelColor: colours.quiet,
    titleColor: colours.quiet,
    gridColor: colours.line,
    domainColor: colours.quiet,
    tickColor: colours.quiet,
    tickSize: 4,
    titlePadding: 8,
  },
  axisX: { grid: false, tickCount: 6, labelFlush: false },
  axisY: { domain: false, ticks: false, tickCount: 5, labelPadding: 6 },
  legend: {
    labelFontSize: textSize,
    titleFontSize: textSize,
    titleFontWeight: "normal",
    labelColor: colours.quiet,
    titleColor: colours.quiet,
    symbolStrokeColor: colours.ink,
    // Long names are not cut: "strips of all seasons".
    labelLimit: 0,
    orient: "bottom",
    direction: "horizontal",
    offset: 6,
  },
  header: { labelFontSize: textSize, labelColor: colours.ink, title: null },
};

const schema = "https://vega.github.io/schema/vega-lite/v6.json";

/** Room around the plot of a layered chart, for axes below and left of it [px]. */
const room = { left: 58, right: 14, top: 12, bottom: 50 };
const legendHeight = 30;

/**
 * A layered chart of fixed size and fixed room for its axes: charts beside each other line up, and a moved price never
 * makes a plot jump.
 *
 * @param flagRows rows of labels above the plot
 */
export const layered = (layer: Spec[], { flagRows = 0, legend = false } = {}): Spec => {
  const top = room.top + flagRows * flagRowHeight;
  const bottom = room.bottom + (legend ? legendHeight : 0);
  return {
    $schema: schema,
    width: chartSize.width - room.left - room.right,
    height: chartSize.height - top - bottom,
    autosize: "none",
    padding: { left: room.left, right: room.right, top, bottom },
    // The title keeps its place however wide the labels are: wide ones would push it off the picture.
    config: { ...config, axisY: { ...(config.axisY as Spec), titleX: 15 - room.left } },
    layer,
  };
};

export const wholeSpec = (spec: Spec): Spec => ({ $schema: schema, config, ...spec });

/** Honest axes: they start where the data start, and say what they count. */
export const x = (field: string, title: string): Spec => ({
  field,
  type: "quantitative",
  title,
  scale: { zero: false, nice: false, padding: 14 },
});

export const y = (field: string, title: string, zero = false): Spec => ({
  field,
  type: "quantitative",
  title,
  scale: { zero, nice: true },
});

/** What keeps the axis of charts that are compared alike, and in its place when a price moves: rows with `y`, which nobody sees. */
export const holdAxis = (xTitle: string, yTitle: string, zero = false): Spec => ({
  data: { name: "axis" },
  mark: { type: "point", opacity: 0, size: 0 },
  encoding: { x: x("x", xTitle), y: y("y", yTitle, zero) },
});

/** A band around a curve: fields `lower` and `upper`. */
export const band = (data: string, xTitle: string, yTitle: string, colour: string): Spec => ({
  data: { name: data },
  mark: { type: "area", color: colour, opacity: 0.16, clip: true },
  encoding: { x: x("x", xTitle), y: y("lower", yTitle), y2: { field: "upper" } },
});

export const line = (data: string, xTitle: string, yTitle: string, colour: string): Spec => ({
  data: { name: data },
  mark: { type: "line", color: colour, strokeWidth: 2.5, clip: true },
  encoding: { x: x("x", xTitle), y: y("y", yTitle) },
});

const flagRowHeight = 17;

/** Kinds of flags, in the order of their rows from the top. */
const flagKinds = ["now", "next", "money", "grain"] as const;
export type FlagKind = (typeof flagKinds)[number];
const flagLook: Record<FlagKind, { colour: string; dash: number[]; width: number }> = {
  now: { colour: colours.quiet, dash: [4, 3], width: 1.5 },
  next: { colour: colours.ink, dash: [1, 0], width: 2.5 },
  money: { colour: colours.vermilion, dash: [1, 0], width: 1.5 },
  grain: { colour: colours.blue, dash: [2, 3], width: 1.5 },
};

/** A rate worth pointing at. Each kind has a row of its own, so labels never overlap. */
export function flag(kind: FlagKind, rate: number, text: string, axisMiddle: number, rows: FlagKind[]): Row {
  const row = rows.indexOf(kind);
  return {
    kind,
    x: round(rate),
    text,
    top: -(rows.length - row) * flagRowHeight + 4,
    toLeft: rate > axisMiddle,
  };
}

const flagScale = (what: "colour" | "dash" | "width"): Spec => ({
  field: "kind",
  type: "nominal",
  legend: null,
  scale: { domain: [...flagKinds], range: flagKinds.map((kind) => flagLook[kind][what]) },
});

/** Upright lines with a label at the head, above the plot. */
export const flags = (xTitle: string): Spec[] => [
  {
    data: { name: "flags" },
    mark: { type: "rule", y2: { expr: "height" }, y: { expr: "datum.top" } },
    encoding: {
      x: x("x", xTitle),
      color: flagScale("colour"),
      strokeDash: flagScale("dash"),
      strokeWidth: flagScale("width"),
    },
  },
  flagText(xTitle, haloOfText),
  flagText(xTitle, {}, { color: flagScale("colour") }),
];

/** Labels are written twice: first this halo of the paper's colour, so that no line runs through a word. */
export const haloOfText: Spec = { stroke: colours.paper, strokeWidth: 4 };

const flagText = (xTitle: string, mark: Spec, encoding: Spec = {}): Spec => ({
  data: { name: "flags" },
  mark: {
    type: "text",
    baseline: "middle",
    y: { expr: "datum.top + 6" },
    dx: { expr: "datum.toLeft ? -5 : 5" },
    align: { expr: "datum.toLeft ? 'right' : 'left'" },
    ...mark,
  },
  encoding: { x: x("x", xTitle), text: { field: "text" }, ...encoding },
});

/** Numbers short enough for a file: six significant digits are far below a pixel. */
export const round = (value: number): number => Number(value.toPrecision(6));
