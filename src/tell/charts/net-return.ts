/** What each rate earns over today's: zero at today's rate, the band on the difference, an axis that no price moves. */
import type { Curve, NextRate, Result } from "../../vocabulary/result.ts";
import { isTested } from "../../vocabulary/tested-rates.ts";
import type { Measures } from "../../numbers/measures.ts";
import { rangeName } from "../wording/optimum.ts";
import type { Chart, Row, Spec } from "./chart.ts";
import { band, colours, flags, haloOfText, layered, line, round, x, y, type FlagKind } from "./look.ts";
import { curveOf, curveRows, rateFlags, tableOf, varietiesWith, widthOf } from "./response.ts";

const flagRows: FlagKind[] = ["now", "next", "money"];

const zoneLabel = (xTitle: string, mark: Spec = {}): Spec => ({
  data: { name: "flat" },
  mark: { type: "text", baseline: "bottom", align: "center", dy: -5, y: { expr: "height" }, ...mark },
  encoding: { x: x("middle", xTitle), text: { field: "text" } },
});

/** The axis of money runs as far as `axis` says, whatever the curves do. */
const axisOf = (end: "low" | "high"): Spec => ({ expr: `data('axis').length ? data('axis')[0].${end} : 0` });
const held = (spec: Spec): Spec => {
  const encoding = spec.encoding as Record<string, Spec>;
  const scale = { domain: [axisOf("low"), axisOf("high")], nice: false, zero: false };
  return { ...spec, encoding: { ...encoding, y: { ...encoding.y, scale } } };
};

export const netReturn: Chart = {
  name: "net-return",
  live: ["curve", "flat", "points", "flags"],
  held: ["axis"],
  subjects: (result) => varietiesWith(result, "gain"),
  spec: (measures) => {
    const xTitle = measures.rateAxis;
    const yTitle = `gain, ${measures.currency}${measures.moneyPerArea.unit}`;
    return layered(
      [
        {
          data: { name: "flat" },
          mark: { type: "rect", color: colours.zone, opacity: 0.25, y: 0, y2: { expr: "height" } },
          encoding: { x: x("lower", xTitle), x2: { field: "upper" } },
        },
        held(band("curve", xTitle, yTitle, colours.green)),
        {
          data: { name: "axis" },
          mark: { type: "rule", color: colours.ink, strokeWidth: 1 },
          encoding: { y: y("zero", yTitle) },
        },
        line("curve", xTitle, yTitle, colours.ink),
        {
          data: { name: "points" },
          mark: { type: "point", filled: true, color: colours.ink, size: 60, opacity: 1, clip: true },
          encoding: { x: x("x", xTitle), y: y("y", yTitle) },
        },
        ...flags(xTitle),
        zoneLabel(xTitle, haloOfText),
        zoneLabel(xTitle),
      ],
      { flagRows: flagRows.length, legend: true },
    );
  },
  draw: (result, variety, measures) => {
    const curve = curveOf(result, "gain", variety);
    const next = result.next.find((row) => row.variety === variety);
    const zone = next?.flatZone ?? null;
    const sum = measures.moneyPerArea.chosen(result.settings.flatZonePerHa);
    const best = bestOf(curve);
    const over = overToday(result, variety, next) ? "today's rate" : "the best rate";
    const money = measures.moneyPerArea;
    const level = result.settings.intervalLevels[1];
    return {
      data: {
        axis: axisRows(result, measures),
        curve: curveRows(curve, measures, money.value),
        flat:
          zone === null
            ? []
            : [
                {
                  lower: round(measures.rate.value(zone.lower)),
                  upper: round(measures.rate.value(zone.upper)),
                  middle: round(measures.rate.value((zone.lower + zone.upper) / 2)),
                  text: "flat zone",
                },
              ],
        points: [{ x: round(measures.rate.value(best.rateSeedsPerM2)), y: round(money.value(best.value)) }],
        flags: next === undefined ? [] : rateFlags(next, curve, measures, flagRows),
      },
      heading: `Gain over ${over}, after seed`,
      key: `${zone === null ? "" : `Flat zone: rates that earn within ${sum} of the best; `}shaded: ${rangeName(level, measures)} of the gain`,
      description:
        `Grain income minus seed cost by seeding rate, compared with ${over}; highest near ${measures.rate.text(best.rateSeedsPerM2)}, ${money.text(best.value)} more` +
        (zone === null
          ? "."
          : `; within ${sum} of the best from ${measures.rate.range(zone.lower, zone.upper)}.`),
      table: {
        caption: `Gain over ${over}, ${variety}`,
        head: [
          `Rate, ${measures.rateAxis}`,
          `Gain, ${measures.currency}${money.unit}`,
          `${Math.round(level * 100)}% range`,
        ],
        rows: tableOf(curve, measures, (point) => [
          money.number(point.value, widthOf(point)),
          point.lower === null || point.upper === null ? "–" : money.range(point.lower, point.upper),
        ]),
      },
    };
  },
};

/** As in `believedCurves`. */
function overToday({ beliefs }: Result, variety: string, next: NextRate | undefined): boolean {
  const belief = beliefs.find((one) => one.variety === variety);
  return belief !== undefined && isTested(next?.rateNowSeedsPerM2 ?? null, belief);
}

const bestOf = ({ points }: Curve): Curve["points"][number] =>
  points.reduce((top, point) => (point.value > top.value ? point : top));

/** So many sums of the flat zone are seen below the best rate at least, however well it is known. */
const leastSums = 3;

/** Room above the highest gain, and half as much below zero at least, for all varieties alike. */
function axisRows(result: Result, measures: Measures): Row[] {
  const curves = result.curves.filter(({ kind }) => kind === "gain");
  const money = (value: number): number => measures.moneyPerArea.value(value);
  const nearBest = curves.flatMap((curve) => nearRates(curve, nextOf(result, curve.variety)));
  const high = Math.max(...nearBest.map((point) => money(point.upper ?? point.value)), 1);
  const low = Math.min(
    ...nearBest.map((point) => money(point.lower ?? point.value)),
    -high / 2,
    -leastSums * money(result.settings.flatZonePerHa),
  );
  const step = niceStep((high - low) / 5);
  return [
    { low: Math.floor((low * 1.1) / step) * step, high: Math.ceil((high * 1.1) / step) * step, zero: 0 },
  ];
}

const nextOf = (result: Result, variety: string): NextRate | undefined =>
  result.next.find((row) => row.variety === variety);

/** The part of a curve that is decided about: about today's rate and the range of the best. */
function nearRates({ points }: Curve, next: NextRate | undefined): Curve["points"] {
  const rates = [next?.rateNowSeedsPerM2, next?.intervals[0]?.lower, next?.intervals[0]?.upper].filter(
    (rate) => rate !== null && rate !== undefined,
  );
  const near = points.filter(
    ({ rateSeedsPerM2: rate }) => rate >= Math.min(...rates) && rate <= Math.max(...rates),
  );
  return near.length === 0 ? points : near;
}

function niceStep(value: number): number {
  const power = 10 ** Math.floor(Math.log10(value));
  const lead = value / power;
  return power * (lead > 5 ? 10 : lead > 2 ? 5 : lead > 1 ? 2 : 1);
}
