/**
 * Strips far from their curve, compared with the scatter of all strips of the trial.
 *
 * An outlying strip widens the error that it is measured by, so among few strips it hides itself. The whole trial shows
 * the scatter better than one variety in one environment, and a median is little affected by outlying strips.
 */
import { median } from "simple-statistics";
import { tQuantile } from "../../maths/distributions.ts";
import { gather } from "../../maths/group-by.ts";
import { sdPerMedianDeviation } from "../../maths/robust.ts";
import { farStrip } from "../../messages/fitting.ts";
import type { Settings } from "../../vocabulary/settings.ts";
import type { StripDoubt } from "./influence.ts";
import { ratePoints } from "../forms/rate-points.ts";
import type { Strip } from "../../vocabulary/trial.ts";
import { cellsOf, type VarietyStrips } from "./rate-cells.ts";
import { stripResiduals, type StripResiduals } from "./strip-residuals.ts";

/** A strip with a larger share than this in its own fitted yield cannot be compared with the others. */
const mostLeverage = 0.95;

/** Share of a group's strips that may be named: beyond it there is no curve to compare them with. */
const mostNamed = 0.25;

/** How far the strips of a group are from their curve, in the order of its strips. */
export interface Departures {
  /** Residual over √(1 − leverage), as a share of the group's mean yield; null where the curve depends on the strip. */
  shares: readonly (number | null)[];
  degrees: number;
}

/** Deviations of one group: its residuals around the quadratic with blocks [shares of the mean yield]. */
export function departuresOf(
  { strips }: { strips: readonly Strip[] },
  residuals: StripResiduals,
): Departures {
  const mean = strips.reduce((sum, strip) => sum + strip.yieldKgPerHa, 0) / strips.length;
  const { residual, leverage, residualDf } = residuals;
  return {
    shares: strips.map((_, i) =>
      residualDf < 1 || !(mean > 0) || leverage[i]! > mostLeverage
        ? null
        : residual[i]! / Math.sqrt(1 - leverage[i]!) / mean,
    ),
    degrees: Math.max(0, residualDf),
  };
}

/** Sd of a strip by medians, as a share of the yield, with its degrees of freedom. */
function scatterOf(groups: readonly Departures[]): { sd: number; degrees: number } {
  const shares = groups.flatMap((one) =>
    one.shares.flatMap((share) => (share === null ? [] : Math.abs(share))),
  );
  return {
    sd: shares.length === 0 ? 0 : sdPerMedianDeviation * median(shares),
    degrees: groups.reduce((sum, one) => sum + one.degrees, 0),
  };
}

/** The scatter of each environment, all its varieties together, and no less than that of the whole trial. */
export function scatterByEnvironment(
  groups: readonly { environment: string; departures: Departures }[],
): (environment: string) => { sd: number; degrees: number } {
  const trial = scatterOf(groups.map(({ departures }) => departures));
  const own = new Map(
    [...gather(groups, ({ environment }) => environment)].map(([environment, some]) => [
      environment,
      scatterOf(some.map(({ departures }) => departures)).sd,
    ]),
  );
  return (environment) => ({ ...trial, sd: Math.max(trial.sd, own.get(environment) ?? 0) });
}

/**
 * Strips farther from their curve than chance would put one in fewer trials than the test level.
 *
 * The farthest is named first and left out, and the others are compared with the new curve: an outlying strip pulls the
 * curve, which would make its neighbours look outlying. The scatter is that of the whole trial, or of the strip's own
 * environment where that is wider; Student's t, the level shared among all strips (Bonferroni). Source: median absolute
 * deviation × 1.4826 as a scale, documentation of mad, R package stats. Known-truth check:
 * test/unit/model/seasons/far-strips.test.ts
 */
export function farStrips(
  group: VarietyStrips,
  departures: Departures,
  { sd, degrees }: { sd: number; degrees: number },
  stripsInTrial: number,
  settings: Pick<Settings, "testLevel">,
): StripDoubt[] {
  if (degrees < 2 || !(sd > 0)) return [];
  const limit = sd * tQuantile(1 - settings.testLevel / (2 * stripsInTrial), degrees);
  const doubts: StripDoubt[] = [];
  let kept: readonly Strip[] = group.strips;
  let { shares } = departures;
  while (doubts.length < mostNamed * group.strips.length) {
    const farthest = shares.reduce<number>(
      (best, share, i) => (Math.abs(share ?? 0) > Math.abs(shares[best] ?? 0) ? i : best),
      0,
    );
    const share = shares[farthest] ?? 0;
    if (Math.abs(share) <= limit) break;
    const strip = kept[farthest]!;
    const { variety, environment } = group;
    doubts.push({ strip, finding: farStrip(variety, environment, share, share / sd, strip.place) });
    kept = kept.filter((one) => one !== strip);
    const { cells, withinCellSs } = cellsOf(kept);
    const residuals = stripResiduals(kept, cells, ratePoints(cells, withinCellSs));
    ({ shares } = departuresOf({ strips: kept }, residuals));
  }
  return doubts;
}
