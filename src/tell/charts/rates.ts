/** The answer as a picture: for each variety today's rate, next season's, the flat zone and where the best rate likely lies. */
import type { NextRate, Result } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import { bareRate, likelyRange, rangeName } from "../wording/optimum.ts";
import { inOrderOfGain, moveOf, moveWords, rateOr } from "../wording/next.ts";
import type { Chart, Row, Spec } from "./chart.ts";
import { colours, round, wholeSpec, x } from "./look.ts";

const variety: Spec = {
  field: "variety",
  type: "nominal",
  sort: null,
  axis: {
    title: null,
    ticks: false,
    domain: false,
    grid: true,
    labelColor: colours.ink,
    labelLimit: 200,
    labelPadding: 10,
  },
};

export const rates: Chart = {
  name: "rates",
  live: ["rows"],
  subjects: (result) => (ratesShown(result).size > 1 ? [""] : []),
  spec: (measures) => {
    const title = measures.rateAxis;
    const span = (from: string, to: string, mark: Spec): Spec => ({
      mark: { type: "rule", ...mark },
      encoding: { y: variety, x: x(from, title), x2: { field: to } },
    });
    const dot = (field: string, mark: Spec): Spec => ({
      mark: { type: "point", size: 110, opacity: 1, ...mark },
      encoding: { y: variety, x: x(field, title) },
    });
    return wholeSpec({
      width: 330,
      height: { step: 32 },
      padding: { left: 4, right: 16, top: 6, bottom: 4 },
      data: { name: "rows" },
      layer: [
        span("flatLower", "flatUpper", { color: colours.zone, strokeWidth: 13 }),
        span("likelyLower", "likelyUpper", { color: colours.paper, strokeWidth: 4.5 }),
        span("likelyLower", "likelyUpper", { color: colours.ink, strokeWidth: 1.5 }),
        dot("best", {
          shape: "diamond",
          fill: colours.vermilion,
          stroke: colours.paper,
          strokeWidth: 1.5,
          size: 170,
        }),
        span("now", "next", { color: colours.ink, strokeWidth: 3 }),
        dot("now", { shape: "circle", fill: colours.paper, stroke: colours.ink, strokeWidth: 2 }),
        dot("next", { shape: "circle", filled: true, color: colours.ink, size: 130 }),
      ],
    });
  },
  draw: (result, _, measures) => ({
    data: { rows: inOrderOfGain(result).map((next) => rateRow(next, measures)) },
    heading: "Today's rate, next season's, and the most profitable one",
    key: `○ now, ● next season, ◆ most profitable rate; thin line: its ${rangeName(result.settings.intervalLevels[0], measures)}; thick bar: flat zone`,
    description: inOrderOfGain(result)
      .map((next) => {
        const { flatZone: zone } = next;
        return `${next.variety}: ${moveText(next, measures)}${zone === null ? "" : `; flat zone ${measures.rate.range(zone.lower, zone.upper)}`}.`;
      })
      .join(" "),
    table: {
      caption: `Rates, ${measures.rateAxis}`,
      head: ["Variety", "Now", "Next", "Flat zone", ...likelyHead(result, measures)],
      rows: inOrderOfGain(result).map((next) => [
        next.variety,
        rateOr(next.rateNowSeedsPerM2, (rate) => bareRate(rate, measures)),
        rateOr(next.rateNextSeedsPerM2, (rate) => bareRate(rate, measures), "–"),
        next.flatZone === null ? "–" : bareRange(next.flatZone, measures),
        ...result.settings.intervalLevels.map((_level, i) => {
          const interval = next.intervals[i];
          return interval === undefined ? "–" : likelyRange(interval, measures);
        }),
      ]),
    },
  }),
};

/** All rates that a row shows; of one alone there is nothing to see. */
const ratesShown = ({ next }: Result): Set<number> =>
  new Set(
    next.flatMap((one) => [
      ...[one.rateNowSeedsPerM2, one.rateNextSeedsPerM2].filter((rate) => rate !== null),
      ...(one.evidence === "none" || one.economicOptimum.kind === "none"
        ? []
        : [one.economicOptimum.rateSeedsPerM2]),
    ]),
  );

/** "less seed, from 1.60 to 1.44 million/ac", or the best rate alone where today's is not known. */
function moveText(next: NextRate, measures: Measures): string {
  const { word } = moveWords[moveOf(next)];
  const { rateNowSeedsPerM2: now, rateNextSeedsPerM2: advised } = next;
  if (advised === null) return word;
  return now === null
    ? `${word} ${measures.rate.text(advised)}`
    : `${word}, from ${bareRate(now, measures)} to ${measures.rate.text(advised)}`;
}

const likelyHead = (result: Result, measures: Measures): string[] =>
  result.settings.intervalLevels.map((level) => `${rangeName(level, measures)} of the best rate`);

const bareRange = (range: { lower: number; upper: number }, measures: Measures): string => {
  const width = range.upper - range.lower;
  return `${bareRate(range.lower, measures, width)} to ${bareRate(range.upper, measures, width)}`;
};

/** One row of the picture. */
export function rateRow(next: NextRate, measures: Measures): Row {
  const rate = (value: number | null): number | null =>
    value === null ? null : round(measures.rate.value(value));
  const [likely] = next.intervals;
  // Without evidence there is nothing to show of the best rate.
  const known = next.evidence !== "none";
  return {
    variety: next.variety,
    best: known && next.economicOptimum.kind !== "none" ? rate(next.economicOptimum.rateSeedsPerM2) : null,
    now: rate(next.rateNowSeedsPerM2),
    next: rate(next.rateNextSeedsPerM2),
    flatLower: rate(next.flatZone?.lower ?? null),
    flatUpper: rate(next.flatZone?.upper ?? null),
    likelyLower: likely === undefined || !known ? null : rate(likely.lower),
    likelyUpper: likely === undefined || !known ? null : rate(likely.upper),
  };
}
