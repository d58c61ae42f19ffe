/** How far each strip lies from its own season's curve, in units of its error: which strips deserve a second look. */
import type { Result, StripPoint } from "../../result.ts";
import { fixed } from "../wording/numbers.ts";
import type { Chart } from "./chart.ts";
import { colours, haloOfText, layered, round, x, y } from "./look.ts";
import { seasonLabel } from "./strip-signs.ts";

/** Strips beyond this are labelled; the usual mark for an externally studentized residual. Common practice. */
const farOut = 3;

export const residuals: Chart = {
  name: "residuals",
  live: [],
  subjects: (result) => result.varieties.filter((variety) => judged(result, variety).length > 0),
  spec: (measures) => {
    const xTitle = measures.rateAxis;
    const yTitle = "from the curve, in standard errors";
    const encoding = { x: x("x", xTitle), y: y("y", yTitle) };
    return layered(
      [
        {
          data: { name: "lines" },
          mark: { type: "rule", color: colours.quiet, strokeDash: [4, 3] },
          encoding: { y: y("y", yTitle) },
        },
        {
          data: { name: "strips" },
          mark: { type: "point", color: colours.quiet, size: 30, strokeWidth: 1.2, opacity: 0.8 },
          encoding: { ...encoding, shape: { field: "season", type: "nominal", title: null } },
        },
        {
          data: { name: "far" },
          mark: { type: "point", filled: true, color: colours.vermilion, size: 60, opacity: 1 },
          encoding,
        },
        ...[haloOfText, { color: colours.vermilion }].map((look) => ({
          data: { name: "far" },
          mark: {
            type: "text",
            dx: { expr: "datum.toLeft ? -7 : 7" },
            align: { expr: "datum.toLeft ? 'right' : 'left'" },
            baseline: "middle",
            ...look,
          },
          encoding: { ...encoding, text: { field: "text" } },
        })),
      ],
      { legend: true },
    );
  },
  draw: (result, variety, measures) => {
    const strips = judged(result, variety);
    const season = seasonLabel(result);
    const rates = strips.map((strip) => strip.rateSeedsPerM2);
    const middle = (Math.min(...rates) + Math.max(...rates)) / 2;
    const far = strips.filter((strip) => Math.abs(strip.studentizedResidual ?? 0) > farOut);
    const at = (strip: StripPoint): { x: number; y: number } => ({
      x: round(measures.rate.value(strip.rateSeedsPerM2)),
      y: round(strip.studentizedResidual ?? 0),
    });
    return {
      data: {
        lines: [{ y: -farOut }, { y: 0 }, { y: farOut }],
        strips: strips.map((strip) => ({
          ...at(strip),
          season: season(strip),
        })),
        far: far.map((strip) => ({
          ...at(strip),
          text: rowText(strip),
          toLeft: strip.rateSeedsPerM2 > middle,
        })),
      },
      heading: "Strips that lie far out",
      key: "",
      description: `${strips.length} strips; ${far.length === 0 ? "none lies" : far.length === 1 ? "1 lies" : `${far.length} lie`} more than ${farOut} standard errors from its curve.`,
      table: {
        caption: `Strips of ${variety} farthest from their curve`,
        head: ["File and row", "Season and field", "Block", "Yield", "Distance, standard errors"],
        rows: [...strips]
          .sort((a, b) => Math.abs(b.studentizedResidual ?? 0) - Math.abs(a.studentizedResidual ?? 0))
          .slice(0, 8)
          .map((strip) => [
            rowText(strip),
            strip.environment,
            strip.block,
            measures.grainYield.text(strip.yieldKgPerHa),
            fixed(strip.studentizedResidual ?? 0, 1, measures.style),
          ]),
      },
    };
  },
};

/** "strips-2026.csv row 14": a folder before the name would only take room. */
const rowText = ({ file, row }: StripPoint): string => `${file.replace(/^.*[\\/]/, "")} row ${row}`;

const judged = (result: Result, variety: string): StripPoint[] =>
  result.strips.filter((strip) => strip.variety === variety && strip.studentizedResidual !== null);
