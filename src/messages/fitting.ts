/** Messages about strips that look doubtful beside the fitted curves. */
import type { Finding, Place } from "../vocabulary/trial.ts";
import { fixed, plainStyle } from "../numbers/written-numbers.ts";
import { finding } from "./finding.ts";

const percent = (share: number): string => `${fixed(Math.abs(100 * share), 0, plainStyle)}%`;

/** @param share  how far the strip is above (or, negative, below) its expected yield, as a share of that */
export const outlyingStrip = (
  variety: string,
  environment: string,
  share: number,
  studentized: number,
  place: Place,
): Finding =>
  finding(
    "doubt",
    "outlying-strip",
    `The yield is ${percent(share)} ${share < 0 ? "lower" : "higher"} than expected from the other strips of ${variety} in ${environment} (externally studentized residual ${fixed(studentized, 1, plainStyle)}): more than chance explains. It is used. Check the harvest notes; leave the strip out only for a known cause, not for its yield.`,
    { ...place, column: "yield" },
  );

/** @param followed  varieties and site-years of all earlier seasons, each counted with those before it */
export const earlierSeasonsNotFollowed = (followed: number, most: number): Finding =>
  finding(
    "note",
    "earlier-seasons-not-followed",
    `What was known after each earlier season is worked out for up to ${fixed(most, 0, plainStyle)} curves (one variety in one site-year each). There are ${fixed(followed, 0, plainStyle)}, so only what is known now is shown.`,
    {},
  );

/** @param scatters  how many standard deviations of a strip it is away */
export const farStrip = (
  variety: string,
  environment: string,
  share: number,
  scatters: number,
  place: Place,
): Finding =>
  finding(
    "doubt",
    "outlying-strip",
    `The yield is ${percent(share)} ${share < 0 ? "lower" : "higher"} than expected from the other strips of ${variety} in ${environment}, ${fixed(Math.abs(scatters), 1, plainStyle)} times the usual scatter of the trial's strips: more than chance explains. It is used. Check the harvest notes; leave the strip out only for a known cause, not for its yield.`,
    { ...place, column: "yield" },
  );

/** @param share  by which the most profitable rate changes without the strip */
export const movesOptimum = (
  variety: string,
  environment: string,
  share: number,
  { file, row }: Place,
): Finding =>
  finding(
    "doubt",
    "strip-moves-optimum",
    `This strip alone moves the most profitable rate of ${variety} in ${environment}: without it the quadratic's optimum is ${percent(share)} ${share < 0 ? "lower" : "higher"}, and the other strips' interval no longer includes the optimum of all strips. It is used. Check the strip.`,
    { file, row, column: "yield" },
  );

/** Findings that a moved price changes. */
export const findingsOfPrices: ReadonlySet<string> = new Set([
  "strip-moves-optimum",
  "outliers-drive-optimum",
]);

export const outliersDrive = (variety: string, environment: string, resistantHigher: boolean): Finding =>
  finding(
    "doubt",
    "outliers-drive-optimum",
    `A few strips of ${variety} in ${environment} may drive its curve: a fit that outlying strips hardly affect puts the most profitable rate clearly ${resistantHigher ? "higher" : "lower"} than the quadratic. Look at the strips before trusting that curve.`,
  );

export const stripsThinned = (listed: number, strips: number): Finding =>
  finding(
    "note",
    "strips-not-all-listed",
    `All ${fixed(strips, 0, plainStyle)} strips are fitted; ${fixed(listed, 0, plainStyle)} of them are drawn and listed one by one.`,
  );

/** Doubts that show only once curves are fitted; `check` cannot list them. */
export const curveDoubts: ReadonlySet<string> = new Set([
  "outlying-strip",
  "strip-moves-optimum",
  "outliers-drive-optimum",
  "scatter-unlike",
  "pooling-unsettled",
  "stand-out-of-line",
  "stand-loss-unusual",
]);
