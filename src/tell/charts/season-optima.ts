/** Most profitable rate in each field and season with its interval, and the average over them: how much seasons move it. */
import { extent } from "simple-statistics";
import type { SeasonOptima } from "../../vocabulary/pooled-result.ts";
import type { Result } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import { bareRate, openRange, rangeName } from "../wording/optimum.ts";
import { capitalized, siteYears } from "../../numbers/written-numbers.ts";
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
      width: 270,
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
    const tested = testedBy(result, variety);
    const clip = clipper(tested, measures);
    const rateText = (value: number): string => rateWithin(value, tested, measures);
    const rangeText = (range: { lower: number; upper: number }): string =>
      rangeWithin(range, tested, measures);
    const told = optima.map(
      (one) => `${names.get(one.environment) ?? one.environment}: ${rateText(one.rateSeedsPerM2)}.`,
    );
    const average =
      rate === undefined || mean === undefined
        ? ""
        : `Average ${rateText(rate)}, ${rangeName(result.settings.intervalLevels[1], measures)} ${rangeText(mean)}.`;
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
      heading: "Most profitable rate, season by season",
      key: `■ one site-year from its own strips; ◆ the average; dashed: today's rate; lines: ${rangeName(result.settings.intervalLevels[1], measures)}; each is a curve through the strips of one site-year, so it may differ from the rate advised`,
      description: `${told.length <= mostTold ? told.join(" ") : `${siteYears(told.length)}, one by one in the table.`} ${average}`,
      table: {
        caption: `Most profitable rate of ${variety} by site-year, ${measures.rateAxis}`,
        head: [
          "Season and field",
          "Most profitable rate",
          capitalized(rangeName(result.settings.intervalLevels[1], measures)),
        ],
        rows: [
          ...optima.map((one) => [
            names.get(one.environment) ?? one.environment,
            rateText(one.rateSeedsPerM2),
            rangeText(one),
          ]),
          ...(rate === undefined || mean === undefined ? [] : [[overall, rateText(rate), rangeText(mean)]]),
        ],
      },
    };
  },
};

/** The tested rates, lowest and highest: beyond them no number is told. */
type Tested = readonly [lowest: number, highest: number];

function testedBy(result: Result, variety: string): Tested {
  const tested = result.fits.filter((fit) => fit.variety === variety).flatMap((fit) => fit.ratesSeedsPerM2);
  return tested.length === 0 ? [Infinity, -Infinity] : extent(tested);
}

const rateWithin = (rate: number, [lowest, highest]: Tested, measures: Measures): string =>
  rate < lowest
    ? `below ${bareRate(lowest, measures)}`
    : rate > highest
      ? `above ${bareRate(highest, measures)}`
      : bareRate(rate, measures);

const rangeWithin = (
  { lower, upper }: { lower: number; upper: number },
  [lowest, highest]: Tested,
  measures: Measures,
): string =>
  upper < lowest || lower > highest
    ? rateWithin(lower, [lowest, highest], measures)
    : openRange(lower < lowest ? null : lower, upper > highest ? null : upper, (rate) =>
        bareRate(rate, measures),
      );

const optimaOf = (result: Result, variety: string): SeasonOptima | undefined =>
  result.seasons.find((one) => one.variety === variety && one.of === "economic");

/** Rates in the person's unit, held within the tested ones. */
const clipper =
  ([lowest, highest]: Tested, measures: Measures) =>
  (rate: number): Row[string] =>
    round(measures.rate.value(Math.min(Math.max(rate, lowest), highest)));
