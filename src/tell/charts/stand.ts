/** Plants that came up against viable seeds sown, with the line on which every seed would be a plant. */
import { standLossText } from "../../numbers/stand-loss.ts";
import type { Chart } from "./chart.ts";
import { band, colours, layered, line, round, x, y } from "./look.ts";
import { curveOf, curveRows, tableOf, varietiesWith, widthOf } from "./response.ts";
import { stripSigns } from "./strip-signs.ts";

export const stand: Chart = {
  name: "stand",
  live: [],
  ofStrips: true,
  subjects: (result) => varietiesWith(result, "stand"),
  spec: (measures) => {
    const xTitle = measures.rateAxis;
    const yTitle = `stand, ${measures.stand.unit}`;
    return layered(
      [
        {
          data: { name: "everySeed" },
          mark: { type: "line", color: colours.quiet, strokeDash: [4, 3], strokeWidth: 1.2 },
          encoding: { x: x("x", xTitle), y: y("y", yTitle, true) },
        },
        {
          data: { name: "everySeedLabel" },
          mark: { type: "text", align: "right", baseline: "bottom", dx: -6, dy: -2, color: colours.quiet },
          encoding: { x: x("x", xTitle), y: y("y", yTitle, true), text: { field: "text" } },
        },
        band("curve", xTitle, yTitle, colours.green),
        {
          data: { name: "strips" },
          mark: { type: "point", color: colours.quiet, size: 30, strokeWidth: 1.2, opacity: 0.6 },
          encoding: { x: x("x", xTitle), y: y("y", yTitle, true) },
        },
        line("curve", xTitle, yTitle, colours.green),
      ],
      { flagRows: 1 },
    );
  },
  draw: (result, variety, measures) => {
    const curve = curveOf(result, "stand", variety);
    const signs = stripSigns(result, variety, measures, "stand", ({ standPlantsPerM2 }) =>
      standPlantsPerM2 === null ? null : measures.stand.value(standPlantsPerM2),
    );
    const ends = [curve.points[0], curve.points.at(-1)].filter((point) => point !== undefined);
    const everySeed = ends.map((point) => ({
      x: round(measures.rate.value(point.rateSeedsPerM2)),
      y: round(measures.stand.value(point.rateSeedsPerM2)),
    }));
    const summary = result.stand.find((row) => row.variety === variety && row.environment === null);
    return {
      data: {
        curve: curveRows(curve, measures, measures.stand.value),
        everySeed,
        everySeedLabel: everySeed.slice(-1).map((row) => ({ ...row, text: "every seed a plant" })),
        strips: signs.rows,
      },
      strips: signs.strips,
      heading: "Stand by seeding rate",
      key: `${signs.meaning}; shaded: 80% range for a season to come`,
      description:
        summary === undefined
          ? "Plants counted against viable seeds sown."
          : `Plants counted against viable seeds sown, from ${summary.counts} counts: ${summary.standLoss < 0 ? "" : "about "}${standLossText(summary.standLoss, measures.share)}.`,
      table: {
        caption: `Expected stand of ${variety}`,
        head: [`Rate, ${measures.rateAxis}`, `Stand, ${measures.stand.unit}`],
        rows: tableOf(curve, measures, (point) => [measures.stand.number(point.value, widthOf(point))]),
      },
    };
  },
};
