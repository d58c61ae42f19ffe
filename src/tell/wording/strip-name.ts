/** One strip in words: its place, rate and yield, and the row that its note is in. */
import type { Result, StripPoint } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import { placeNames } from "./places.ts";

export const whichStrip = "Which strip is it?";

/** Said where the mouse rests on a picture, and read aloud when it gets the focus. */
export const howToAsk = "Press a mark to see which strip it is; arrow keys go from mark to mark.";

/** @example "1.30 million: 2026 Creek, block 2, 66.2 bu/ac (strips-2026.csv, row 14), noted: hail" */
export function stripNamer(result: Result, measures: Measures): (strip: StripPoint) => string {
  const places = placeNames(result);
  return ({ environment, block, rateSeedsPerM2, yieldKgPerHa, file, row, note }) =>
    [
      `${measures.rate.number(rateSeedsPerM2)}: ${places.get(environment) ?? environment}`,
      ...(block === "" ? [] : [`block ${block}`]),
      `${measures.grainYield.text(yieldKgPerHa)} (${file}, row ${row})`,
      ...(note === "" ? [] : [`noted: ${note}`]),
    ].join(", ");
}
