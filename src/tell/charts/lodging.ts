/** Lodging against seeding rate: scored strips, expected curve, the limit, and the highest rate that it allows. */
import { lodgingScales, scoreOfShare } from "../../numbers/lodging-scales.ts";
import { scoreText } from "../wording/lodging.ts";
import { bareRate } from "../wording/optimum.ts";
import type { Chart } from "./chart.ts";
import { band, colours, flags, holdAxis, layered, line, round, x, y, flag } from "./look.ts";
import { curveOf, curveRows, tableOf, varietiesWith } from "./response.ts";
import { stripSigns } from "./strip-signs.ts";

export const lodging: Chart = {
  name: "lodging",
  live: ["limit", "flags"],
  ofStrips: true,
  subjects: (result) => varietiesWith(result, "lodging"),
  spec: (measures) => {
    const xTitle = measures.rateAxis;
    const yTitle = "lodging, as scored";
    const whole = { ...y("y", yTitle), scale: { zero: false, nice: false } };
    return layered(
      [
        band("curve", xTitle, yTitle, colours.purple),
        {
          data: { name: "strips" },
          mark: { type: "point", color: colours.quiet, size: 30, strokeWidth: 1.2, opacity: 0.6 },
          encoding: { x: x("x", xTitle), y: whole },
        },
        line("curve", xTitle, yTitle, colours.ink),
        holdAxis(xTitle, yTitle),
        {
          data: { name: "limit" },
          mark: { type: "rule", color: colours.ink, strokeDash: [6, 3], strokeWidth: 1.2 },
          encoding: { y: whole },
        },
        {
          data: { name: "limit" },
          mark: { type: "text", align: "left", baseline: "bottom", dy: -4, x: 4 },
          encoding: { y: whole, text: { field: "text" } },
        },
        ...flags(xTitle),
      ],
      { flagRows: 2 },
    );
  },
  draw: (result, variety, measures) => {
    const curve = curveOf(result, "lodging", variety);
    const next = result.next.find((row) => row.variety === variety);
    const rows = result.lodging.filter((row) => row.variety === variety);
    const scale = rows[0]?.scale ?? null;
    const [first, last] = [curve.points[0], curve.points.at(-1)];
    const rates = curve.points.map((point) => point.rateSeedsPerM2);
    const middle = measures.rate.value((Math.min(...rates) + Math.max(...rates)) / 2);
    const scored = (share: number): number =>
      scale === null || scale === "percent" ? share * 100 : scoreOfShare(share, scale);
    const worst =
      scale === null || scale === "percent"
        ? "percent"
        : `${lodgingScales[scale].lowest}–${lodgingScales[scale].highest}`;
    const signs = stripSigns(result, variety, measures, `lodging ${scale}`, ({ lodgingShare }) =>
      lodgingShare === null ? null : scored(lodgingShare),
    );
    const ceiling = next?.lodgingCeilingSeedsPerM2 ?? null;
    return {
      data: {
        axis: [0, 1].map((share) => ({
          x: round(measures.rate.value(Math.min(...rates))),
          y: scored(share),
        })),
        curve: curveRows(curve, measures, scored),
        strips: signs.rows,
        limit: [
          {
            y: scored(result.settings.lodgingLimit),
            text: `limit ${scoreText(result.settings.lodgingLimit, scale, measures)}`,
          },
        ],
        flags: [
          ...(next === undefined || next.rateNextSeedsPerM2 === null
            ? []
            : [
                flag(
                  "next",
                  measures.rate.value(next.rateNextSeedsPerM2),
                  `next ${bareRate(next.rateNextSeedsPerM2, measures)}`,
                  middle,
                  ["next", "money"],
                ),
              ]),
          ...(ceiling === null
            ? []
            : [
                flag(
                  "money",
                  measures.rate.value(ceiling),
                  `lodging allows ${bareRate(ceiling, measures)}`,
                  middle,
                  ["next", "money"],
                ),
              ]),
        ],
      },
      strips: signs.strips,
      heading: `Lodging by seeding rate (${worst})`,
      key: `${signs.meaning}; shaded: 80% range for a season to come`,
      description:
        first === undefined || last === undefined
          ? "No curve could be drawn."
          : `Expected lodging rises from ${scoreText(first.value, scale, measures)} at ${measures.rate.text(first.rateSeedsPerM2)} to ${scoreText(last.value, scale, measures)} at ${measures.rate.text(last.rateSeedsPerM2)}. The limit is ${scoreText(result.settings.lodgingLimit, scale, measures)}.`,
      table: {
        caption: `Lodging of ${variety} by seeding rate`,
        head:
          rows.length > 0
            ? [`Rate, ${measures.rateAxis}`, "Expected lodging", "Chance of more than the limit"]
            : [`Rate, ${measures.rateAxis}`, "Expected lodging"],
        rows:
          rows.length > 0
            ? rows.map((row) => [
                bareRate(row.rateSeedsPerM2, measures),
                scoreText(row.expectedShare, scale, measures),
                measures.share(row.chanceOverLimit),
              ])
            : tableOf(curve, measures, (point) => [measures.share(point.value)]),
      },
    };
  },
};
