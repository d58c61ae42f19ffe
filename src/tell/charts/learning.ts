/** What was known after each season: the most profitable rate with its interval, narrowing as seasons come in. */
import type { Optimum, Result } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import { bareRate, optimumCell, wideRange } from "../wording/optimum.ts";
import type { Chart, Row } from "./chart.ts";
import { colours, layered, round } from "./look.ts";

export const learning: Chart = {
  name: "learning",
  live: [],
  subjects: (result) => result.varieties.filter((variety) => stepsOf(result, variety).length > 1),
  spec: (measures) => {
    const season = {
      field: "season",
      type: "ordinal",
      title: "after the season of",
      axis: { labelAngle: 0, labelOverlap: true },
    };
    const rate = (field: string): object => ({
      field,
      type: "quantitative",
      title: measures.rateAxis,
      scale: { zero: false, nice: true },
    });
    return layered([
      {
        data: { name: "rows" },
        mark: { type: "rule", color: colours.vermilion, strokeWidth: 3, opacity: 0.55 },
        encoding: { x: season, y: rate("lower"), y2: { field: "upper" } },
      },
      {
        data: { name: "rows" },
        mark: { type: "point", filled: true, color: colours.vermilion, size: 90, opacity: 1 },
        encoding: { x: season, y: rate("rate") },
      },
      {
        data: { name: "rows" },
        mark: {
          type: "text",
          align: "left",
          dx: { expr: `min(${besideDot}, ${spare})` },
          // A label that would cover its dot is above it, and one of two lines stays above the axis.
          dy: {
            expr: `min(${spare} < ${besideDot / 2} ? -${aboveDot} - datum.second : 0, height - scale('y', datum.rate) - 1.5 * datum.second)`,
          },
          baseline: "middle",
          lineBreak: "\n",
        },
        encoding: { x: season, y: rate("rate"), text: { field: "text" } },
      },
    ]);
  },
  draw: (result, variety, measures) => {
    const steps = stepsOf(result, variety);
    return {
      data: {
        rows: steps.map((step, at) => ({
          ...stepRow(step, measures),
          // Of many seasons only the last has room for its number; the table has all.
          ...(steps.length > mostLabelled && at < steps.length - 1 ? { text: "" } : {}),
        })),
      },
      heading: "What was known after each season",
      key: `Dot: most profitable rate at the prices in the files; bar: ${wideRange(result, measures)}`,
      description: steps
        .map((step) => `After ${step.season}: ${stepText(step.optimum, measures)}.`)
        .join(" "),
      table: {
        caption: `What the strips up to each season showed for ${variety} at the prices in the files, ${measures.rateAxis}`,
        head: ["After", "Site-years", `Most profitable rate (${wideRange(result, measures)})`],
        rows: steps.map((step) => [
          String(step.season),
          String(step.environments),
          stepText(step.optimum, measures),
        ]),
      },
    };
  },
};

/** A label begins this far to the right of its dot; one without room there is this far above it [px]. */
const besideDot = 9;
const aboveDot = 16;
/** A digit of a label is at most this wide [px]. */
const digitWidth = 7.5;
/** Room from a dot to the right edge of the chart, less the width of its label [px]: no label ends outside the chart. */
const spare = `(width + padding.right - scale('x', datum.season) - ${digitWidth} * datum.longest)`;

/** With more seasons than this, numbers beside the dots would lie on each other. */
const mostLabelled = 6;

interface Step {
  season: number;
  environments: number;
  optimum: Optimum;
  tested: [number, number];
}

const stepsOf = (result: Result, variety: string): Step[] =>
  result.learning.flatMap(({ season, varieties }) =>
    varieties
      .filter((one) => one.variety === variety && one.economicOptimum.kind !== "none")
      .map((one) => ({
        season,
        environments: one.environments,
        optimum: one.economicOptimum,
        tested: one.testedSeedsPerM2,
      })),
  );

function stepRow({ season, optimum, tested }: Step, measures: Measures): Row {
  if (optimum.kind === "none") return { season };
  const value = (rate: number): number => round(measures.rate.value(rate));
  const rate = value(optimum.rateSeedsPerM2);
  const [lowest, highest] = tested;
  return {
    season,
    rate,
    lower: optimum.kind === "found" ? value(optimum.lower ?? lowest) : rate,
    upper: optimum.kind === "found" ? value(optimum.upper ?? highest) : rate,
    ...labelOf(optimum, bareRate(optimum.rateSeedsPerM2, measures)),
  };
}

/** Height of a line of a label [px]. */
const lineHeight = 15;

/** "0.90" above "or less", with the number of characters of the longer line, and the height of the second. */
function labelOf(optimum: Optimum, rate: string): { text: string; longest: number; second: number } {
  const edge = edgeWord(optimum);
  return {
    text: edge === "" ? rate : `${rate}\n${edge.trim()}`,
    longest: Math.max(rate.length, edge.trim().length),
    second: edge === "" ? 0 : lineHeight,
  };
}

const edgeWord = (optimum: Optimum): string =>
  optimum.kind !== "at-edge" ? "" : optimum.edge === "highest" ? " or more" : " or less";

const stepText = (optimum: Optimum, measures: Measures): string =>
  optimum.kind === "none" ? "no rate stands out" : optimumCell(optimum, measures);
