/** Sentences for the three kinds of answer to "where is the best rate?". */
import type { Optimum } from "../../result.ts";
import type { Measures } from "./measures.ts";

const widthOf = (optimum: Optimum): number | undefined =>
  optimum.kind === "found" && optimum.lower !== null && optimum.upper !== null
    ? optimum.upper - optimum.lower
    : undefined;

/** A rate without "million", where the axis or the heading says it. */
export const bareRate = (rate: number, measures: Measures, width?: number): string =>
  measures.rate.number(rate, width).replace(" million", "");

/** Label of a flag in a chart. */
export function optimumFlag(name: string, optimum: Optimum, measures: Measures): string {
  if (optimum.kind === "none") return `${name}: not known`;
  const rate = bareRate(optimum.rateSeedsPerM2, measures, widthOf(optimum));
  if (optimum.kind === "found") return `${name} ${rate}`;
  return optimum.edge === "highest" ? `${name}: ${rate} or more` : `${name}: ${rate} or less`;
}

/**
 * One sentence on an optimum.
 *
 * @param what "Most money" or "Most grain"
 */
export function optimumSentence(what: string, optimum: Optimum, measures: Measures): string {
  switch (optimum.kind) {
    case "found": {
      const rate = measures.rate.text(optimum.rateSeedsPerM2, widthOf(optimum));
      const { lower, upper } = optimum;
      if (lower !== null && upper !== null)
        return `${what} near ${rate}; likely between ${measures.rate.range(lower, upper)}.`;
      if (lower !== null)
        return `${what} near ${rate}; likely above ${measures.rate.text(lower)}, but how far up the tested rates cannot say.`;
      if (upper !== null)
        return `${what} near ${rate}; likely below ${measures.rate.text(upper)}, but how far down the tested rates cannot say.`;
      return `${what} near ${rate}, but the strips leave it wide open.`;
    }
    case "at-edge":
      return optimum.edge === "highest"
        ? `${what} at or above ${measures.rate.text(optimum.rateSeedsPerM2)}, the highest rate tested: test higher rates before going there.`
        : `${what} at or below ${measures.rate.text(optimum.rateSeedsPerM2)}, the lowest rate tested: test lower rates before going there.`;
    case "none":
      return `${what}: no best rate can be told. ${noOptimumReason(optimum.reason)}`;
  }
}

/** Why there is none; the engine gives a code, or a whole sentence of its own. */
export function noOptimumReason(reason: string): string {
  switch (reason) {
    case "no-response":
      return "Yield did not change with the seeding rate by more than strips differ by chance.";
    case "too-few-rates":
      return "There were too few different rates for a curve.";
    case "":
      return "";
    default:
      return /[ .]/.test(reason) ? reason : "";
  }
}
