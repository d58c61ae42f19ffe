/** Whether the yields of a file are in another unit than its header says. */
import { crops, type CropName } from "../vocabulary/crops.ts";
import { fromBushelsPerAcre, fromPoundsPerAcre } from "../numbers/units.ts";
import type { Finding, Trial } from "../vocabulary/trial.ts";
import { yieldsInAnotherUnit } from "../messages/reading.ts";
import { cropRanges } from "./ranges.ts";

/** Fewer strips may be odd ones. */
const fewestStrips = 4;

/** Who calculates by the hectare mixes up units of the hectare first. */
const areaOf = (unit: string): string => unit.slice(unit.indexOf("/"));

/**
 * Points at files whose yields are all outside the crop's usual ones in their unit, and all inside in another: tonnes per
 * hectare under `bu/ac`.
 */
export function checkYieldUnits(
  { strips, columns }: Pick<Trial, "strips" | "columns">,
  crop: CropName,
): Finding[] {
  const [lowest, highest] = cropRanges[crop].yieldKgPerHa.usual;
  const kgPerHaOf: Readonly<Record<string, number>> = {
    "bu/ac": fromBushelsPerAcre(1, crops[crop].poundsPerBushel),
    "t/ha": 1000,
    "dt/ha": 100,
    "lb/ac": fromPoundsPerAcre(1),
    "kg/ha": 1,
  };
  const spans = new Map<string, { least: number; most: number; count: number }>();
  for (const { place, yieldKgPerHa } of strips) {
    const span = spans.get(place.file);
    if (span === undefined) {
      spans.set(place.file, { least: yieldKgPerHa, most: yieldKgPerHa, count: 1 });
      continue;
    }
    span.count++;
    if (yieldKgPerHa < span.least) span.least = yieldKgPerHa;
    if (yieldKgPerHa > span.most) span.most = yieldKgPerHa;
  }
  return columns.flatMap(({ file, header, column, unit }) => {
    const span = spans.get(file);
    const kgPerHa = unit === null || column !== "yield" ? undefined : kgPerHaOf[unit];
    if (span === undefined || kgPerHa === undefined || span.count < fewestStrips) return [];
    if (span.most >= lowest && span.least <= highest) return [];
    const [least, most] = [span.least / kgPerHa, span.most / kgPerHa];
    const fitting = Object.entries(kgPerHaOf).filter(
      ([, each]) => least * each >= lowest && most * each <= highest,
    );
    const other = fitting.find(([name]) => areaOf(name) === areaOf(unit!)) ?? fitting[0];
    return other === undefined
      ? []
      : [yieldsInAnotherUnit(file, header, span.count, [least, most], unit!, other[0], span.most < lowest)];
  });
}
