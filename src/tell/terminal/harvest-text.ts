/** A harvest as points, on the terminal: what was done, what was left out, the strips. */
import type { Harvest } from "../../vocabulary/harvest.ts";
import { harvestMeasures, rateText } from "../harvest-measures.ts";
import {
  countSentence,
  delaySentence,
  ratesSentence,
  reasonText,
  scaleSentence,
  switchedOffSentence,
  unitSentence,
} from "../wording/harvest.ts";
import { fixed, plainStyle } from "../../numbers/written-numbers.ts";
import { findingSections } from "./finding-lines.ts";
import { textTable, type TextStyle } from "./text-table.ts";

export function harvestText(harvest: Harvest, style: TextStyle): string {
  const measures = harvestMeasures(harvest, plainStyle);
  const share = (points: number): string => `${fixed((100 * points) / harvest.pointsRead, 1, plainStyle)}%`;
  const leftOut = textTable(
    [
      { heading: "left out because" },
      { heading: "points", align: "right" },
      { heading: "of all", align: "right" },
    ],
    harvest.leftOut.map(({ reason, points }) => [
      reasonText(reason, harvest),
      fixed(points, 0, plainStyle),
      share(points),
    ]),
    style,
  );
  const strips = textTable(
    [
      { heading: "strip", align: "right" as const },
      { heading: "block" },
      { heading: "variety" },
      ...[
        `rate, ${rateText(harvest, measures).unit}`,
        `yield, ${measures.grainYield.unit}`,
        "± s.e.",
        "points",
        "worth",
      ].map((heading) => ({ heading, align: "right" as const })),
    ],
    harvest.strips.map((strip) => [
      String(strip.position),
      strip.block,
      strip.variety,
      rateText(harvest, measures).number(strip.rate),
      strip.yieldKgPerHa === null ? "none" : measures.grainYield.number(strip.yieldKgPerHa),
      strip.standardErrorKgPerHa === null ? "" : measures.grainYield.number(strip.standardErrorKgPerHa),
      fixed(strip.points, 0, plainStyle),
      strip.worth === null ? "" : fixed(strip.worth, 1, plainStyle),
    ]),
    style,
  );
  return (
    [
      style.heading("Strips from points"),
      `${countSentence(harvest, plainStyle)} ${delaySentence(harvest.delay, plainStyle)}`,
      ...(harvest.switchedOff.length === 0 ? [] : [switchedOffSentence(harvest)]),
      leftOut,
      ratesSentence(harvest, rateText(harvest, measures), plainStyle),
      strips,
      unitSentence,
      ...(harvest.scale === null ? [] : [scaleSentence(harvest.scale, plainStyle)]),
      ...findingSections(harvest.findings, style),
    ].join("\n\n") + "\n"
  );
}
