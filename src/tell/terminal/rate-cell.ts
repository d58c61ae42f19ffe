/** A rate in a cell, without its unit: that stands in the heading. */
import type { Measures } from "../wording/measures.ts";
import { toStep } from "../wording/numbers.ts";

export const rateCell = (rateSeedsPerM2: number, { rate, style }: Measures): string =>
  toStep(rate.value(rateSeedsPerM2), rate.finest, style);
