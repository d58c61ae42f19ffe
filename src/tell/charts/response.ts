/** Yield against seeding rate: strips of all seasons adjusted to a common level, the expected curve with its band, both optima. */
import type { Curve, NextRate, Result } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import { capitalized } from "../../numbers/written-numbers.ts";
import { bareRate, optimumFlag, rangeName } from "../wording/optimum.ts";
import type { Chart, Row } from "./chart.ts";
import { band, colours, flag, flags, holdAxis, layered, line, round, x, y, type FlagKind } from "./look.ts";
import { stripsBehind } from "../thin-strips.ts";
import { stripSigns } from "./strip-signs.ts";

const flagRows: FlagKind[] = ["now", "next", "money", "grain"];

export const response: Chart = {
  name: "response",
  live: ["flags"],
  ofStrips: true,
  subjects: (result) => varietiesWith(result, "response"),
  spec: (measures) => {
    const yTitle = `yield, ${measures.grainYield.unit}`;
    const xTitle = measures.rateAxis;
    return layered(
      [
        band("curve", xTitle, yTitle, colours.blue),
        {
          data: { name: "strips" },
          mark: { type: "point", color: colours.quiet, size: 34, strokeWidth: 1.2, opacity: 0.75 },
          encoding: {
            x: x("x", xTitle),
            y: y("y", yTitle),
            shape: { field: "season", type: "nominal", title: null },
          },
        },
        line("curve", xTitle, yTitle, colours.ink),
        holdAxis(xTitle, yTitle),
        ...flags(xTitle),
      ],
      { flagRows: flagRows.length, legend: true },
    );
  },
  draw: (result, variety, measures) => {
    const curve = curveOf(result, "response", variety);
    const next = result.next.find((row) => row.variety === variety);
    const signs = stripSigns(result, variety, measures, "yield", (strip) =>
      measures.grainYield.value(strip.levelledYieldKgPerHa),
    );
    const strips = stripsBehind(result.strips.filter((strip) => strip.variety === variety));
    return {
      data: {
        axis: axisRows(result, curve, measures),
        curve: curveRows(curve, measures, measures.grainYield.value),
        strips: signs.rows,
        flags: next === undefined ? [] : rateFlags(next, curve, measures, flagRows),
      },
      strips: signs.strips,
      heading: "Yield by seeding rate",
      key: `${signs.meaning}, adjusted to a common level; shaded: ${rangeName(result.settings.intervalLevels[1], measures)}`,
      description: describeResponse(curve, measures, strips),
      table: {
        caption: `Expected yield of ${variety} by seeding rate`,
        head: [
          `Rate, ${measures.rateAxis}`,
          `Yield, ${measures.grainYield.unit}`,
          capitalized(rangeName(result.settings.intervalLevels[1], measures)),
        ],
        rows: tableOf(curve, measures, (point) => [
          measures.grainYield.number(point.value, widthOf(point)),
          point.lower === null || point.upper === null
            ? "–"
            : measures.grainYield.range(point.lower, point.upper),
        ]),
      },
    };
  },
};

/** The yields of all varieties, at a rate of this one: their charts are compared. */
function axisRows(result: Result, { points }: Curve, measures: Measures): Row[] {
  const [first] = points;
  if (first === undefined) return [];
  const { least, most } = endsOfYields(result.strips);
  const x = round(measures.rate.value(first.rateSeedsPerM2));
  return least > most ? [] : [least, most].map((kg) => ({ x, y: round(measures.grainYield.value(kg)) }));
}

const endsBefore = new WeakMap<Result["strips"], { least: number; most: number }>();

/** Lowest and highest yield of all strips [kg/ha], which no price moves. */
function endsOfYields(strips: Result["strips"]): { least: number; most: number } {
  const before = endsBefore.get(strips);
  if (before !== undefined) return before;
  const ends = { least: Infinity, most: -Infinity };
  for (const { levelledYieldKgPerHa: kg } of strips) {
    ends.least = Math.min(ends.least, kg);
    ends.most = Math.max(ends.most, kg);
  }
  endsBefore.set(strips, ends);
  return ends;
}

/** Varieties that have a curve of a kind, in the order of the result. */
export const varietiesWith = (result: Result, kind: Curve["kind"]): string[] =>
  result.varieties.filter((variety) =>
    result.curves.some((curve) => curve.kind === kind && curve.variety === variety),
  );

/** The curve of a variety over all environments; empty where there is none. */
export const curveOf = (result: Result, kind: Curve["kind"], variety: string): Curve =>
  result.curves.find(
    (curve) => curve.kind === kind && curve.variety === variety && curve.environment === null,
  ) ?? { kind, variety, environment: null, points: [] };

export const curveRows = (curve: Curve, measures: Measures, value: (engineValue: number) => number): Row[] =>
  curve.points.map((point) => ({
    x: round(measures.rate.value(point.rateSeedsPerM2)),
    y: round(value(point.value)),
    lower: point.lower === null ? null : round(value(point.lower)),
    upper: point.upper === null ? null : round(value(point.upper)),
  }));

/** Flags for today's and next season's rate and the optima that were found. */
export function rateFlags(next: NextRate, curve: Curve, measures: Measures, rows: FlagKind[]): Row[] {
  const rates = curve.points.map((point) => point.rateSeedsPerM2);
  const middle = measures.rate.value((Math.min(...rates) + Math.max(...rates)) / 2);
  const made: Row[] = [];
  const add = (kind: FlagKind, rate: number, text: string): void => {
    if (rows.includes(kind)) made.push(flag(kind, measures.rate.value(rate), text, middle, rows));
  };
  const { rateNowSeedsPerM2: now, rateNextSeedsPerM2: advised } = next;
  if (now !== null) add("now", now, `now ${bareRate(now, measures)}`);
  if (advised !== null && advised !== now) add("next", advised, `next ${bareRate(advised, measures)}`);
  for (const [kind, optimum, name] of [
    ["money", next.economicOptimum, "most profitable"],
    ["grain", next.yieldOptimum, "highest yield"],
  ] as const)
    if (optimum.kind !== "none") add(kind, optimum.rateSeedsPerM2, optimumFlag(name, optimum, measures));
  return made;
}

export const widthOf = (point: Curve["points"][number]): number | undefined =>
  point.lower === null || point.upper === null ? undefined : point.upper - point.lower;

/** About nine rows of a curve, evenly through it: enough to read, few enough to print. */
export function tableOf(
  curve: Curve,
  measures: Measures,
  cells: (point: Curve["points"][number]) => string[],
): string[][] {
  const step = Math.max(1, Math.round((curve.points.length - 1) / 8));
  return curve.points
    .filter((_, index) => index % step === 0)
    .map((point) => [measures.rate.number(point.rateSeedsPerM2), ...cells(point)]);
}

function describeResponse(curve: Curve, measures: Measures, strips: number): string {
  const [first] = curve.points;
  const last = curve.points.at(-1);
  if (first === undefined || last === undefined) return "No curve could be drawn.";
  const top = curve.points.reduce((best, point) => (point.value > best.value ? point : best));
  const at = (point: Curve["points"][number]): string =>
    `${measures.grainYield.text(point.value, widthOf(point))} at ${measures.rate.text(point.rateSeedsPerM2)}`;
  return `${strips} strips and the expected yield curve: ${at(first)}, highest ${at(top)}, ${at(last)}.`;
}
