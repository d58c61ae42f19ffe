/** What was known of each variety's best rate after each season, at today's prices. */
import type { Learning } from "../vocabulary/pooled-result.ts";
import type { Belief, FittedVariety, NextRate } from "../vocabulary/result.ts";
import type { Settings } from "../vocabulary/settings.ts";
import { decide, type Modelled } from "./decide.ts";

/**
 * The same decision from the strips up to each season; after the last it is next season's.
 *
 * @param soFar  what was believed after each season but the last, and the fits it rests on
 * @param next   what is decided now
 */
export function followLearning(
  soFar: readonly { season: number; fits: readonly FittedVariety[]; beliefs: readonly Belief[] }[],
  modelled: Modelled,
  next: readonly NextRate[],
  settings: Settings,
): Learning[] {
  const seasonOf = new Map(modelled.environments.map(({ id, season }) => [id, season]));
  const last = modelled.fits.reduce(
    (latest, { environment }) => Math.max(latest, seasonOf.get(environment)!),
    0,
  );
  const steps = soFar.map(({ season, fits, beliefs }) => ({
    season,
    beliefs,
    next: decide({ ...modelled, fits, beliefs, pooled: [] }, settings).next,
  }));
  return [...steps, { season: last, beliefs: modelled.beliefs, next }].map(({ season, beliefs, next }) => ({
    season,
    varieties: beliefs
      .filter(({ strips }) => strips > 0)
      .map(({ variety, environments, strips, testedSeedsPerM2 }) => {
        const { yieldOptimum, economicOptimum } = next.find((one) => one.variety === variety)!;
        return { variety, environments, strips, testedSeedsPerM2, yieldOptimum, economicOptimum };
      }),
  }));
}
