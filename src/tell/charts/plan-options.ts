/** What more blocks and more rates are expected to bring: one line a number of rates. */
import type { PlanOption, StripPlan } from "../../vocabulary/strip-plan.ts";
import { forecast } from "../wording/strip-advice.ts";
import type { Measures } from "../../numbers/measures.ts";
import type { ChartData, NumberTable, Spec } from "./chart.ts";
import { colours, layered, round } from "./look.ts";

/** With the dashes: no line is known by its colour alone. */
const lineColours = [colours.sky, colours.blue, colours.ink, colours.vermilion, colours.orange];
const dashes = [
  [2, 3],
  [6, 3],
  [1, 0],
  [8, 3, 2, 3],
  [3, 2],
];

export interface PlanChart {
  name: string;
  heading: (measures: Measures) => string;
  spec: () => Spec;
  data: (plan: StripPlan, measures: Measures) => ChartData;
}

function planChart(
  name: string,
  heading: (measures: Measures) => string,
  value: (option: PlanOption, measures: Measures) => number,
): PlanChart {
  return {
    name,
    heading,
    spec: () => {
      const x = { field: "blocks", type: "quantitative", title: "Blocks", axis: { tickMinStep: 1 } };
      const y = { field: "y", type: "quantitative", title: null };
      const rates = { field: "rates", type: "nominal", title: "Rates" };
      const free = { scale: { zero: false, padding: 14 } };
      return layered(
        [
          {
            data: { name: "options" },
            mark: { type: "line", strokeWidth: 2 },
            encoding: {
              x: { ...x, ...free },
              y: { ...y, ...free },
              color: { ...rates, scale: { range: lineColours } },
              strokeDash: { ...rates, scale: { range: dashes } },
            },
          },
          {
            data: { name: "chosen" },
            mark: { type: "point", size: 110, strokeWidth: 2, color: colours.ink },
            encoding: { x, y },
          },
        ],
        { legend: true },
      );
    },
    data: (plan, measures) => {
      const row = (option: PlanOption) => ({
        blocks: option.blocks,
        y: round(value(option, measures)),
        rates: option.ratesPerVariety,
      });
      return { options: plan.options.map(row), chosen: [row(plan.chosen)] };
    },
  };
}

export const planCharts: PlanChart[] = [
  planChart(
    "plan-width",
    (measures) => `Width of the 80% range after the trial, ${measures.rateAxis}`,
    (option, measures) => measures.rate.value(option.intervalWidthSeedsPerM2),
  ),
  planChart(
    "plan-value",
    (measures) => `What the answer is worth in a season, ${measures.currency}${measures.moneyPerArea.unit}`,
    (option, measures) => measures.moneyPerArea.value(option.valuePerHa),
  ),
];

/** All sizes of trial in numbers. */
export function optionsTable(plan: StripPlan, measures: Measures): NumberTable {
  const money = (sum: number | null): string => (sum === null ? "–" : forecast(sum, measures));
  const share = (part: number | null): string => (part === null ? "–" : measures.share(part));
  const isChosen = (option: PlanOption): boolean =>
    option.blocks === plan.chosen.blocks && option.ratesPerVariety === plan.chosen.ratesPerVariety;
  return {
    caption: "Sizes of trial, evenly spaced rates, mean over the varieties",
    head: [
      "Blocks × rates",
      "Strips",
      "Fits the field",
      "80% range after",
      `Detects a gain of ${measures.moneyPerArea.chosen(plan.request.gainPerHa)}`,
      "Worth in a season",
      "Worth on the areas",
      "Cost",
      "Least significant difference",
    ],
    rows: plan.options.map((option) => [
      `${option.blocks} × ${option.ratesPerVariety}${isChosen(option) ? " (proposed)" : ""}`,
      String(option.strips),
      option.fits ? "yes" : "no",
      measures.rate.text(option.intervalWidthSeedsPerM2),
      share(option.chanceToSeeGain),
      measures.worthPerArea.text(option.valuePerHa),
      money(option.value),
      money(option.cost),
      option.test.lsdKgPerHa === null ? "–" : measures.grainYield.text(option.test.lsdKgPerHa),
    ]),
  };
}
