/** Rate of most money in each field and season with its interval, and the average over them: how much seasons move it. */
import type { SeasonOptima } from "../../vocabulary/pooled-result.ts";
import type { Result } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import { bareRate } from "../wording/optimum.ts";
import { fieldSeasons } from "../../numbers/written-numbers.ts";
import { placeNames } from "../wording/places.ts";
import { mostTold, type Chart, type Row, type Spec } from "./chart.ts";
import { colours, round, wholeSpec, x } from "./look.ts";

const place: Spec = {
  field: "place",
  type: "nominal",
  sort: null,
  axis: {
    title: null,
    ticks: false,
    domain: false,
    labelColor: colours.ink,
    labelLimit: 170,
    labelPadding: 8,
  },
};
const overall = "all seasons";

export const seasonOptima: Chart = {
  name: "season-optima",
  live: ["rows", "mean", "now"],
  subjects: (result) =>
    result.varieties.filter((variety) => (optimaOf(result, variety)?.optima.length ?? 0) > 1),
  spec: (measures) => {
    const title = measures.rateAxis;
    return wholeSpec({
      width: 290,
      height: { step: 24 },
      padding: { left: 4, right: 14, top: 6, bottom: 4 },
      layer: [
        {
          data: { name: "now" },
          mark: { type: "rule", color: colours.quiet, strokeDash: [4, 3], strokeWidth: 1.5 },
          encoding: { x: x("now", title) },
        },
        {
          data: { name: "rows" },
          mark: { type: "rule", color: colours.ink, strokeWidth: 1.5 },
          encoding: { y: place, x: x("lower", title), x2: { field: "upper" } },
        },
        {
          data: { name: "rows" },
          mark: { type: "point", shape: "square", filled: true, color: colours.ink, size: 60, opacity: 1 },
          encoding: { y: place, x: x("rate", title) },
        },
        {
          data: { name: "mean" },
          mark: { type: "rule", color: colours.vermilion, strokeWidth: 3 },
          encoding: { y: place, x: x("lower", title), x2: { field: "upper" } },
        },
        {
          data: { name: "mean" },
          mark: {
            type: "point",
            shape: "diamond",
            filled: true,
            color: colours.vermilion,
            size: 130,
            opacity: 1,
          },
          encoding: { y: place, x: x("rate", title) },
        },
      ],
    });
  },
  draw: (result, variety, measures) => {
    const found = optimaOf(result, variety);
    const names = placeNames(result);
    const next = result.next.find((row) => row.variety === variety);
    const optima = found?.optima ?? [];
    const mean = found?.summary?.reml.hartungKnapp;
    const rate = found?.summary?.reml.rateSeedsPerM2;
    const clip = clipper(result, variety, measures);
    const told = optima.map(
      (one) =>
        `${names.get(one.environment) ?? one.environment}: ${measures.rate.text(one.rateSeedsPerM2, one.upper - one.lower)}.`,
    );
    const average =
      rate === undefined || mean === undefined
        ? ""
        : `Average ${measures.rate.text(rate, mean.upper - mean.lower)}, likely ${measures.rate.range(mean.lower, mean.upper)}.`;
    return {
      data: {
        rows: optima.map((one) => ({
          place: names.get(one.environment) ?? one.environment,
          rate: clip(one.rateSeedsPerM2),
          lower: clip(one.lower),
          upper: clip(one.upper),
        })),
        mean:
          mean === undefined || rate === undefined
            ? []
            : [{ place: overall, rate: clip(rate), lower: clip(mean.lower), upper: clip(mean.upper) }],
        now:
          next === undefined || next.rateNowSeedsPerM2 === null
            ? []
            : [{ now: round(measures.rate.value(next.rateNowSeedsPerM2)) }],
      },
      heading: "Most money, season by season",
      key: "■ one field-season, each from its own strips; ◆ the average; dashed: today's rate; lines hold the true rate 19 times in 20",
      description: `${told.length <= mostTold ? told.join(" ") : `${fieldSeasons(told.length)}, one by one in the table.`} ${average}`,
      table: {
        caption: `Rate of most money of ${variety} by field-season, ${measures.rateAxis}`,
        head: ["Season and field", "Rate of most money", "Likely between"],
        rows: [
          ...optima.map((one) => [
            names.get(one.environment) ?? one.environment,
            bareRate(one.rateSeedsPerM2, measures, one.upper - one.lower),
            bareRange(one, measures),
          ]),
          ...(rate === undefined || mean === undefined
            ? []
            : [[overall, bareRate(rate, measures, mean.upper - mean.lower), bareRange(mean, measures)]]),
        ],
      },
    };
  },
};

const bareRange = ({ lower, upper }: { lower: number; upper: number }, measures: Measures): string =>
  `${bareRate(lower, measures, upper - lower)} to ${bareRate(upper, measures, upper - lower)}`;

const optimaOf = (result: Result, variety: string): SeasonOptima | undefined =>
  result.seasons.find((one) => one.variety === variety && one.of === "economic");

/** Rates in the person's unit, held within half a range beyond the tested ones: an interval may run on without end. */
function clipper(result: Result, variety: string, measures: Measures): (rate: number) => Row[string] {
  const tested = result.fits.filter((fit) => fit.variety === variety).flatMap((fit) => fit.ratesSeedsPerM2);
  const lowest = Math.min(...tested);
  const highest = Math.max(...tested);
  const room = (highest - lowest) / 4;
  return (rate) => round(measures.rate.value(Math.min(Math.max(rate, lowest - room, 0), highest + room)));
}
