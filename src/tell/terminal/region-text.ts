/** What `stripcurve region` shows: each variety over all farms. */
import { measuresOf } from "../../numbers/measures.ts";
import { counted, percent } from "../../numbers/written-numbers.ts";
import { regionLevel, type Region } from "../../vocabulary/region.ts";
import { defaultsIn, type UnitChoice } from "../../vocabulary/settings.ts";
import { groundShiftText, waterShiftText } from "../wording/elsewhere.ts";
import { bareRate, rangeName } from "../wording/optimum.ts";
import { plainLine } from "../plain-text.ts";
import { indented, textTable, type TextStyle } from "./text-table.ts";

export function regionText(region: Region, units: UnitChoice, style: TextStyle): string {
  const measures = measuresOf({ units, settings: { ...defaultsIn(units.system), crop: region.crop } });
  const rows = region.varieties.map(
    ({ variety, farms, seasons, strips, needSeedsPerM2, lowerSeedsPerM2, upperSeedsPerM2, lossMedian }) => {
      return [
        variety,
        bareRate(needSeedsPerM2, measures),
        `${bareRate(lowerSeedsPerM2, measures)} to ${bareRate(upperSeedsPerM2, measures)}`,
        percent(lossMedian, measures.style),
        String(farms),
        String(seasons),
        String(strips),
      ];
    },
  );
  const columns = [
    { heading: "variety" },
    { heading: "need", align: "right" as const },
    { heading: rangeName(regionLevel, measures), align: "right" as const },
    { heading: `yield lost with ${percent(0.4, measures.style)} less seed`, align: "right" as const },
    { heading: "farms", align: "right" as const },
    { heading: "seasons", align: "right" as const },
    { heading: "strips", align: "right" as const },
  ];
  const sd = (of: "farmSdLog" | "varietyOnFarmSdLog"): number =>
    region.unlike.reduce((sum, one) => sum + one.weight * one[of], 0);
  return [
    `${counted(region.strips, "strip")} of ${counted(region.farms, "farm")}.`,
    "",
    style.heading(`Rate where yield stops rising, on an average farm (${measures.rateAxis})`),
    indented(textTable(columns, rows, style)),
    "The most profitable rate depends on prices and is usually lower: fit, report and plan work it out with --region.",
    "",
    `From farm to farm, the need of all varieties differs by about ${percent(sd("farmSdLog"), measures.style)}, and the need of each variety by a further ${percent(sd("varietyOnFarmSdLog"), measures.style)}.`,
    ...region.grounds.map((shift) => groundShiftText(shift, measures)),
    ...(region.water === null ? [] : [waterShiftText(region.water, measures)]),
    ...(region.leftOut.length === 0
      ? []
      : [
          `Left out, because fewer than ${region.fewestFarms} farms grow them: ${region.leftOut.map(({ variety }) => plainLine(variety)).join(", ")}.`,
        ]),
    "",
  ].join("\n");
}
