/** Whether the yields or rates of a file are in another unit than its header says. */
import { crops, type CropName } from "../vocabulary/crops.ts";
import { fromBushelsPerAcre, fromPerAcre, fromPerSquareFoot, fromPoundsPerAcre } from "../numbers/units.ts";
import type { Finding, Strip, Trial } from "../vocabulary/trial.ts";
import { numbersInAnotherUnit } from "../messages/reading.ts";
import { cropRanges, multiples, rateMultiples, type Range } from "./ranges.ts";

/** Fewer strips may be odd ones. */
const fewestStrips = 4;

/** Who calculates by the hectare mixes up units of the hectare first. */
const areaOf = (unit: string): string => unit.slice(unit.indexOf("/"));

/** A column whose numbers tell its unit. */
interface Told {
  column: "rate" | "yield";
  of: (strip: Strip) => number;
  usual: Range;
  /** What one of each unit is in the engine's. */
  each: Readonly<Record<string, number>>;
}

const toldColumns = (crop: CropName): Told[] => [
  {
    column: "rate",
    of: (strip) => strip.rateSeedsPerM2,
    usual: multiples(rateMultiples.usual, crop),
    each: {
      "seeds/ac": fromPerAcre(1),
      "thousand seeds/ac": fromPerAcre(1e3),
      "million seeds/ac": fromPerAcre(1e6),
      "seeds/ha": 1e-4,
      "thousand seeds/ha": 0.1,
      "million seeds/ha": 100,
      "seeds/m2": 1,
      "seeds/ft2": fromPerSquareFoot(1),
    },
  },
  {
    column: "yield",
    of: (strip) => strip.yieldKgPerHa,
    usual: cropRanges[crop].yieldKgPerHa.usual,
    each: {
      "bu/ac": fromBushelsPerAcre(1, crops[crop].poundsPerBushel),
      "t/ha": 1000,
      "dt/ha": 100,
      "lb/ac": fromPoundsPerAcre(1),
      "kg/ha": 1,
    },
  },
];

/**
 * Points at files whose yields or rates are all outside the crop's usual ones in their unit, and all inside in another:
 * tonnes per hectare under `bu/ac`, millions under `seeds/ac`.
 */
export function checkColumnUnits(
  { strips, columns }: Pick<Trial, "strips" | "columns">,
  crop: CropName,
): Finding[] {
  return toldColumns(crop).flatMap(({ column: name, of, usual: [lowest, highest], each }) => {
    const spans = new Map<string, { least: number; most: number; count: number }>();
    for (const strip of strips) {
      const value = of(strip);
      const span = spans.get(strip.place.file);
      if (span === undefined) {
        spans.set(strip.place.file, { least: value, most: value, count: 1 });
        continue;
      }
      span.count++;
      if (value < span.least) span.least = value;
      if (value > span.most) span.most = value;
    }
    return columns.flatMap(({ file, header, column, unit }) => {
      const span = spans.get(file);
      const own = unit === null || column !== name ? undefined : each[unit];
      if (span === undefined || own === undefined || span.count < fewestStrips) return [];
      if (span.most >= lowest && span.least <= highest) return [];
      const [least, most] = [span.least / own, span.most / own];
      const fitting = Object.entries(each).filter(
        ([, one]) => least * one >= lowest && most * one <= highest,
      );
      const other = fitting.find(([one]) => areaOf(one) === areaOf(unit!)) ?? fitting[0];
      return other === undefined
        ? []
        : [
            numbersInAnotherUnit(
              { file, header, column: name, unit: unit! },
              ...([span.count, [least, most], other[0], span.most < lowest] as const),
            ),
          ];
    });
  });
}
