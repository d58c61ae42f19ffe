/** What was believed after the first season, the second, and so on. */
import type { Belief } from "../../vocabulary/result.ts";
import type { Settings } from "../../vocabulary/settings.ts";
import type { Finding } from "../../vocabulary/trial.ts";
import { earlierSeasonsNotFollowed } from "../../messages/fitting.ts";
import type { CellsOfVariety } from "./rate-evidence.ts";
import { believeCurves } from "./believable-curves.ts";

/** The strips up to a season, and what only they leave believable. */
export interface SeasonsSoFar {
  season: number;
  beliefs: readonly Belief[];
}

/**
 * Beliefs are worked out again after each season, for no more varieties and environments than this over all seasons.
 */
const mostFollowed = 400;

/**
 * One entry for each season but the last, after which it is what is believed now.
 *
 * No likelihood of one step serves the next: the error variance of an environment uses the strips of the whole farm so
 * far, and the grid is laid around what these leave believable.
 *
 * @param fits  as given to `believeCurves`
 */
export function believeSoFar(
  fits: readonly CellsOfVariety[],
  settings: Settings,
): { soFar: SeasonsSoFar[]; findings: Finding[] } {
  const seasons = [...new Set(fits.map(({ season }) => season))].sort((a, b) => a - b);
  const steps = seasons.slice(0, -1).map((last) => ({
    season: last,
    fits: fits.filter(({ season }) => season <= last),
  }));
  const followed = steps.reduce((sum, step) => sum + step.fits.length, 0);
  if (followed > mostFollowed)
    return { soFar: [], findings: [earlierSeasonsNotFollowed(followed, mostFollowed)] };
  return {
    soFar: steps.map((step) => ({ season: step.season, beliefs: believeCurves(step.fits, settings, false) })),
    findings: [],
  };
}
