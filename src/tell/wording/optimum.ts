/** Sentences for the three kinds of answer to "where is the best rate?". */
import type { Interval, Optimum, OptimumReason, Result } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";

/** Width of an optimum's range; undefined where the range is open. */
export const widthOf = (optimum: Optimum): number | undefined =>
  optimum.kind === "found" && optimum.lower !== null && optimum.upper !== null
    ? optimum.upper - optimum.lower
    : undefined;

/** A rate without "million", where the axis or the heading says it. */
export const bareRate = (rate: number, measures: Measures, width?: number): string =>
  measures.rate.number(rate, width).replace(" million", "");

/**
 * Two ends in words; an end is null where the tested rates do not show it.
 *
 * @example "0.93 to 1.18", "1.25 or less", "0.98 or more", "any rate tested"
 */
export function openRange(
  lower: number | null,
  upper: number | null,
  text: (rate: number) => string,
): string {
  if (lower === null) return upper === null ? "any rate tested" : `${text(upper)} or less`;
  return upper === null ? `${text(lower)} or more` : `${text(lower)} to ${text(upper)}`;
}

/**
 * An optimum in a cell: with its interval where there is one, and with "or more" where it is beyond the tested rates.
 *
 * @example 1.21 (0.98 to 1.40), 1.21 (0.98 or more), 2.00 or more, –
 */
export function optimumCell(optimum: Optimum, measures: Measures): string {
  switch (optimum.kind) {
    case "found": {
      const range = openRange(optimum.lower, optimum.upper, (end) => bareRate(end, measures));
      return `${bareRate(optimum.rateSeedsPerM2, measures)} (${range})`;
    }
    case "at-edge":
      return `${bareRate(optimum.rateSeedsPerM2, measures)} or ${optimum.edge === "highest" ? "more" : "less"}`;
    case "none":
      return "–";
  }
}

/** Label of a flag in a chart. */
export function optimumFlag(name: string, optimum: Optimum, measures: Measures): string {
  if (optimum.kind === "none") return `${name}: not known`;
  const rate = bareRate(optimum.rateSeedsPerM2, measures, widthOf(optimum));
  if (optimum.kind === "found") return `${name} ${rate}`;
  return optimum.edge === "highest" ? `${name}: ${rate} or more` : `${name}: ${rate} or less`;
}

/** The ends of an interval; null for one that is beyond the tested rates. */
const endsOf = ({ lower, upper, openBelow, openAbove }: Interval): [number | null, number | null] => [
  openBelow === true ? null : lower,
  openAbove === true ? null : upper,
];

/** Where a rate is: an interval, in words where an end is beyond the tested rates. */
export const likelyRange = (interval: Interval, measures: Measures): string =>
  openRange(...endsOf(interval), (end) => bareRate(end, measures));

/** The same with its unit, for a sentence: "0.93 to 1.18 million seeds/ac", "0.98 million seeds/ac or more". */
export function likelyRates(interval: Interval, { rate }: Measures): string {
  const [lower, upper] = endsOf(interval);
  return lower === null || upper === null ? openRange(lower, upper, rate.text) : rate.range(lower, upper);
}

/** The one name of an interval: "80% range". */
export const rangeName = (level: number, measures: Pick<Measures, "share">): string =>
  `${measures.share(level)} range`;

/** The name of the range beside an optimum. */
export const wideRange = ({ settings }: Pick<Result, "settings">, measures: Measures): string =>
  rangeName(settings.intervalLevels[1], measures);

/** Why an optimum is what it is, after the sentence that names it. */
const reasonTexts: Record<OptimumReason, string> = {
  interval: "",
  "no-lower-end": "The strips do not show how much lower it could be.",
  "no-upper-end": "The strips do not show how much higher it could be.",
  "no-ends": "The strips leave it open on both sides.",
  "error-unknown": "There are too few strips to say how certain that is.",
  "still-rising": "More seed still paid at the highest rate tested: test higher rates before sowing them.",
  "never-pays":
    "More seed did not pay anywhere above the lowest rate tested: test lower rates before sowing them.",
  "bends-upward": "The curve has no peak; of the rates tested, this end did best.",
  "no-response": "Yield did not change with the rate by more than chance differences between strips.",
  "too-few-rates": "A curve needs at least three different rates.",
  level: "The lowest and the highest rate earn the same.",
};

/**
 * One or two sentences on an optimum.
 *
 * @param what   "Most profitable" or "Highest yield"
 * @param level  of the optimum's interval
 * @param narrow a narrower interval, where it is known
 */
export function optimumSentence(
  what: string,
  optimum: Optimum,
  level: number,
  measures: Measures,
  narrow: Interval | null = null,
): string {
  const sentences = [optimumShort(what, optimum, measures), reasonTexts[optimum.reason]];
  if (optimum.kind === "found") {
    const { lower, upper } = optimum;
    const wide = openRange(lower, upper, (end) => bareRate(end, measures));
    const ranges = [
      ...(narrow === null ? [] : [`${likelyRange(narrow, measures)} (${rangeName(narrow.level, measures)})`]),
      ...(lower === null && upper === null ? [] : [`${wide} (${rangeName(level, measures)})`]),
    ];
    if (ranges.length > 0)
      sentences[0] = `${what} near ${measures.rate.text(optimum.rateSeedsPerM2, widthOf(optimum))}: ${ranges.join(", ")}.`;
  }
  return sentences.filter((sentence) => sentence !== "").join(" ");
}

/** The same in one short sentence. */
export function optimumShort(what: string, optimum: Optimum, measures: Measures): string {
  switch (optimum.kind) {
    case "found":
      return `${what} near ${measures.rate.number(optimum.rateSeedsPerM2, widthOf(optimum))}.`;
    case "at-edge":
      return optimum.edge === "highest"
        ? `${what} at or above ${measures.rate.number(optimum.rateSeedsPerM2)}, the highest rate tested.`
        : `${what} at or below ${measures.rate.number(optimum.rateSeedsPerM2)}, the lowest rate tested.`;
    case "none":
      return `${what}: no rate stands out.`;
  }
}
