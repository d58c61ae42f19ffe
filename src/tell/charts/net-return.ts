/** Money left after seed against seeding rate: where it is highest, how wide the flat zone is, where today's rate lies. */
import type { Chart, Spec } from "./chart.ts";
import { band, colours, flags, haloOfText, layered, line, round, x, y, type FlagKind } from "./look.ts";
import { timesIn } from "../wording/optimum.ts";
import { curveOf, curveRows, rateFlags, tableOf, varietiesWith, widthOf } from "./response.ts";

const flagRows: FlagKind[] = ["now", "next", "money"];

const zoneLabel = (xTitle: string, mark: Spec = {}): Spec => ({
  data: { name: "flat" },
  mark: { type: "text", baseline: "bottom", align: "center", dy: -5, y: { expr: "height" }, ...mark },
  encoding: { x: x("middle", xTitle), text: { field: "text" } },
});

export const netReturn: Chart = {
  name: "net-return",
  live: ["curve", "flat", "points", "flags"],
  subjects: (result) => varietiesWith(result, "net-return"),
  spec: (measures) => {
    const xTitle = measures.rateAxis;
    const yTitle = `left after seed, ${measures.moneyPerArea.unit.replace("/", `${measures.currency}/`)}`;
    return layered(
      [
        {
          data: { name: "flat" },
          mark: { type: "rect", color: colours.orange, opacity: 0.2, y: 0, y2: { expr: "height" } },
          encoding: { x: x("lower", xTitle), x2: { field: "upper" } },
        },
        band("curve", xTitle, yTitle, colours.green),
        line("curve", xTitle, yTitle, colours.green),
        {
          data: { name: "points" },
          mark: { type: "point", filled: true, color: colours.ink, size: 60, opacity: 1 },
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
    const curve = curveOf(result, "net-return", variety);
    const next = result.next.find((row) => row.variety === variety);
    const zone = next?.flatZone ?? null;
    const sum = measures.moneyPerArea.chosen(result.settings.flatZonePerHa);
    const best = curve.points.reduce(
      (top, point) => (point.value > top.value ? point : top),
      curve.points[0]!,
    );
    return {
      data: {
        curve: curveRows(curve, measures, measures.moneyPerArea.value),
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
        points: [
          {
            x: round(measures.rate.value(best.rateSeedsPerM2)),
            y: round(measures.moneyPerArea.value(best.value)),
          },
        ],
        flags: next === undefined ? [] : rateFlags(next, curve, measures, flagRows),
      },
      heading: "Money left after seed",
      key: `The flat zone earns about as much as the best; the band holds the curve ${timesIn(result.settings.intervalLevels[1], measures)}`,
      description:
        `Grain income less seed cost by seeding rate; highest near ${measures.rate.text(best.rateSeedsPerM2)}` +
        (zone === null ? "." : `, within ${sum} of it from ${measures.rate.range(zone.lower, zone.upper)}.`),
      table: {
        caption: `Money left after seed, ${variety}`,
        head: [
          `Rate, ${measures.rateAxis}`,
          `Left after seed, ${measures.moneyPerArea.unit.replace("/", `${measures.currency}/`)}`,
          "Against the best",
        ],
        rows: tableOf(curve, measures, (point) => [
          measures.moneyPerArea.number(point.value, widthOf(point)),
          measures.moneyPerArea.number(point.value - best.value),
        ]),
      },
    };
  },
};
