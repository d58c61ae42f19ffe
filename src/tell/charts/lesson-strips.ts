/** For the lesson: the strips of one variety in one field and season, as harvested or with their curve. */
import type { VarietyFit } from "../../vocabulary/result.ts";
import type { Chart } from "./chart.ts";
import { stripsBehind, thinnedNote, thinStrips, type ShownStrip } from "../thin-strips.ts";
import { colours, layered, line, round, x, y } from "./look.ts";

/** More signs than this hide each other. */
const mostDrawn = 1000;
/** With more blocks than this, their names have room in the legend only without the word. */
const mostInWords = 4;

/** @param place the field and season in words */
export const lessonStrips = (
  { variety, environment }: Pick<VarietyFit, "variety" | "environment">,
  place: string,
  withCurve: boolean,
): Chart => ({
  name: withCurve ? "lesson-curve" : "lesson-strips",
  live: [],
  subjects: () => [variety],
  spec: (measures) => {
    const xTitle = measures.rateAxis;
    const yTitle = `yield, ${measures.grainYield.unit}`;
    return layered(
      [
        {
          data: { name: "strips" },
          mark: { type: "point", color: colours.ink, size: 55, strokeWidth: 1.5, opacity: 0.9 },
          encoding: {
            x: x("x", xTitle),
            y: y("y", yTitle),
            shape: { field: "block", type: "nominal", title: null },
          },
        },
        line("curve", xTitle, yTitle, colours.blue),
      ],
      { legend: true },
    );
  },
  draw: (result, _, measures) => {
    const own: ShownStrip[] = result.strips.filter(
      (strip) => strip.variety === variety && strip.environment === environment,
    );
    const drawn = thinStrips(own, mostDrawn);
    const strips = drawn.map((strip) => ({
      rate: strip.rateSeedsPerM2,
      block: strip.block,
      kgPerHa: withCurve ? strip.blockAdjustedYieldKgPerHa : strip.yieldKgPerHa,
    }));
    const word = new Set(strips.map(({ block }) => block)).size > mostInWords ? "" : "block ";
    const curve = result.curves.find(
      (one) => one.kind === "season" && one.variety === variety && one.environment === environment,
    );
    return {
      data: {
        strips: strips.map(({ rate, block, kgPerHa }) => ({
          x: round(measures.rate.value(rate)),
          y: round(measures.grainYield.value(kgPerHa)),
          block: block === "" ? "strips" : `${word}${block}`,
        })),
        curve: (withCurve ? (curve?.points ?? []) : []).map((point) => ({
          x: round(measures.rate.value(point.rateSeedsPerM2)),
          y: round(measures.grainYield.value(point.value)),
        })),
      },
      heading: `${variety}, ${place}`,
      key: `${withCurve ? "Yields with differences between blocks removed" : "Yields as harvested"}${thinnedNote(drawn, stripsBehind(own))}`,
      description: `${stripsBehind(own)} strips, yield against seeding rate${withCurve ? ", with the curve of the season" : ""}.`,
      table: {
        caption: `Strips of ${variety}, ${place}`,
        head: [`Rate, ${measures.rateAxis}`, "Block", `Yield, ${measures.grainYield.unit}`],
        rows: strips.map(({ rate, block, kgPerHa }) => [
          measures.rate.number(rate),
          block,
          measures.grainYield.number(kgPerHa),
        ]),
      },
    };
  },
});
