/** One variety in every field and season, side by side on the same axes: strips, curve, and today's rate for the eye. */
import type { Curve, Result, StripPoint } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import { siteYears } from "../../numbers/written-numbers.ts";
import { highestPoint, highestRateText, isLevel } from "../wording/highest-point.ts";
import { placeNames } from "../wording/places.ts";
import { mostTold, type Chart, type Row, type Spec } from "./chart.ts";
import { colours, round, wholeSpec, x, y } from "./look.ts";
import { widthOf } from "./response.ts";
import { oneMarkEach } from "./strip-signs.ts";

export const seasons: Chart = {
  name: "seasons",
  live: [],
  ofStrips: true,
  subjects: (result) => result.varieties.filter((variety) => seasonCurves(result, variety).length > 1),
  spec: (measures) => panels(measures, { columns: 2, width: 180, height: 118 }),
  draw: (result, variety, measures) => {
    const curves = seasonCurves(result, variety);
    const names = placeNames(result);
    const placeOf = ({ environment }: Curve): string => names.get(environment ?? "") ?? "";
    const told = curves.map((curve) => `${placeOf(curve)}: ${topText(curve, measures)}.`);
    return {
      data: { rows: curves.flatMap((curve) => placeRows(result, curve, placeOf(curve), measures)) },
      strips: oneMarkEach(curves.flatMap((curve) => stripsOf(result, curve))),
      heading: `Each field and season (${measures.rateAxis} across)`,
      key: "Curve: the mean of the forms fitted there, by weight",
      description: `Strips and curve in ${siteYears(curves.length)}, on the same axes. ${
        told.length <= mostTold ? told.join(" ") : "The table shows where each is highest."
      }`,
      table: {
        caption: `Highest point of the curve of ${variety} in each field and season`,
        head: [
          "Season and field",
          `Rate of highest yield, ${measures.rateAxis}`,
          `Yield there, ${measures.grainYield.unit}`,
        ],
        rows: curves.map((curve) => {
          const top = highestPoint(curve);
          return [
            placeOf(curve),
            highestRateText(curve, top, measures),
            measures.grainYield.number(top.value, widthOf(top)),
          ];
        }),
      },
    };
  },
};

/** For the lesson: wide and low, for a projector. */
export const lessonSeasons: Chart = {
  ...seasons,
  name: "lesson-seasons",
  spec: (measures) => panels(measures, { columns: 3, width: 140, height: 64 }),
};

/** A picture for each field and season, side by side. */
function panels(
  measures: Measures,
  { columns, ...size }: { columns: number; width: number; height: number },
): Spec {
  const rate = { ...x("x", ""), axis: { title: null, tickCount: 3 } };
  const yTitle = `yield, ${measures.grainYield.unit}`;
  const only = (role: string): Spec[] => [{ filter: `datum.role === '${role}'` }];
  return wholeSpec({
    data: { name: "rows" },
    columns,
    spacing: { row: 16, column: 14 },
    padding: 4,
    facet: { field: "place", type: "nominal", sort: null, header: { title: null, labelPadding: 4 } },
    spec: {
      ...size,
      layer: [
        {
          transform: only("curve"),
          mark: { type: "line", color: colours.ink, strokeWidth: 2 },
          encoding: { x: rate, y: y("y", yTitle) },
        },
        {
          transform: only("strip"),
          mark: { type: "point", color: colours.quiet, size: 20, strokeWidth: 1, opacity: 0.8 },
          encoding: { x: rate, y: y("y", yTitle) },
        },
      ],
    },
  });
}

const seasonCurves = (result: Result, variety: string): Curve[] =>
  result.curves.filter(
    (curve) => curve.kind === "season" && curve.variety === variety && curve.points.length > 0,
  );

const stripsOf = (result: Result, { variety, environment }: Curve): StripPoint[] =>
  result.strips.filter((strip) => strip.variety === variety && strip.environment === environment);

function placeRows(result: Result, curve: Curve, place: string, measures: Measures): Row[] {
  return [
    ...curve.points.map((point) => ({
      place,
      role: "curve",
      x: round(measures.rate.value(point.rateSeedsPerM2)),
      y: round(measures.grainYield.value(point.value)),
    })),
    ...stripsOf(result, curve).map((strip) => ({
      place,
      role: "strip",
      x: round(measures.rate.value(strip.rateSeedsPerM2)),
      y: round(measures.grainYield.value(strip.blockAdjustedYieldKgPerHa)),
    })),
  ];
}

const topText = (curve: Curve, measures: Measures): string => {
  const top = highestPoint(curve);
  if (isLevel(curve)) return `level at ${measures.grainYield.text(top.value, widthOf(top))}`;
  return `highest ${measures.grainYield.text(top.value, widthOf(top))} at ${measures.rate.text(top.rateSeedsPerM2)}`;
};
