/** The story of `analyze.ts` for a machine that does two things at once: two of its steps are done by other hands meanwhile. */
import { believe, conclude, decideOn, lookAtSeasons, type Begin } from "./analyze.ts";
import { believeSoFar } from "./model/beliefs/seasons-so-far.ts";
import { poolSeasons } from "./model/pooled/pool-seasons.ts";
import type { Result } from "./vocabulary/result.ts";
import type { Settings, UnitChoice } from "./vocabulary/settings.ts";
import type { Trial } from "./vocabulary/trial.ts";

/** What the rest of the story need not wait for, done here. */
export const ownHands = { poolSeasons, believeSoFar } as const;

type Work = typeof ownHands;

/** Who else does that, as the functions of the same names do it. */
export type Hands = {
  [Name in keyof Work]: (...asked: Parameters<Work[Name]>) => Promise<ReturnType<Work[Name]>>;
};

/** The same as `analyze`, with part of the work done elsewhere meanwhile. */
export async function analyzeBeside(
  hands: Hands,
  asRead: Trial,
  settings: Settings,
  units: UnitChoice,
  begin: Begin = () => undefined,
): Promise<Result> {
  const looked = lookAtSeasons(asRead, settings, units, begin);
  const pooling = hands.poolSeasons(looked.trial, looked.toPool.chosen, settings);
  const before = hands.believeSoFar(looked.placed, settings);
  const believed = believe(looked, settings, begin);
  begin("pooled");
  const found = decideOn(believed, await pooling, settings, begin);
  return conclude(found, await before, settings, units, begin);
}
