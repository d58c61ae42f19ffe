/** What was known of each variety's best rate after each season, at today's prices. */
import type { Learning } from "../vocabulary/pooled-result.ts";
import type { Belief, NextRate } from "../vocabulary/result.ts";
import type { Settings } from "../vocabulary/settings.ts";
import { speakingLodgings } from "../vocabulary/speaking-lodging.ts";
import { chooseOfVariety, type Decided, type Modelled } from "./decide.ts";

/**
 * The same decision from the strips up to each season; after the last it is next season's.
 *
 * @param soFar    what was believed after each season but the last
 * @param decided  what is decided now
 */
export function followLearning(
  soFar: readonly { season: number; beliefs: readonly Belief[] }[],
  modelled: Modelled,
  decided: Pick<Decided, "fits" | "next">,
  settings: Settings,
): Learning[] {
  const lodgings = speakingLodgings(modelled.lodgingModels);
  const steps = soFar.map(({ season, beliefs }) => {
    const fits = decided.fits.filter((fit) => fit.season <= season);
    const ground = { protein: modelled.protein, lodgings, fits, pooled: [] };
    return {
      season,
      beliefs,
      choices: beliefs.map((belief) => chooseOfVariety(belief, ground, settings).choice),
    };
  });
  const last = decided.fits.reduce((latest, { season }) => Math.max(latest, season), 0);
  const now = { season: last, beliefs: modelled.beliefs, choices: decided.next };
  return [...steps, now].map(({ season, beliefs, choices }) => ({
    season,
    varieties: beliefs
      .filter(({ strips }) => strips > 0)
      .map((belief) =>
        learnt(
          belief,
          choices.find(({ variety }) => variety === belief.variety)!,
        ),
      ),
  }));
}

const learnt = (
  { variety, environments, strips, testedSeedsPerM2 }: Belief,
  { yieldOptimum, economicOptimum }: Pick<NextRate, "yieldOptimum" | "economicOptimum">,
): Learning["varieties"][number] => ({
  variety,
  environments,
  strips,
  testedSeedsPerM2,
  yieldOptimum,
  economicOptimum,
});
