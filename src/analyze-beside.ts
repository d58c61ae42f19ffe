/** The story of `analyze.ts` for a machine that does two things at once: two of its steps run in a second thread. */
import { believe, conclude, decideOn, lookAtSeasons, type Begin } from "./analyze.ts";
import { believeSoFar } from "./model/beliefs/seasons-so-far.ts";
import { poolSeasons } from "./model/pooled/pool-seasons.ts";
import type { Result } from "./vocabulary/result.ts";
import type { Settings, UnitChoice } from "./vocabulary/settings.ts";
import type { Trial } from "./vocabulary/trial.ts";

/** The steps that the rest of the story need not wait for, in this thread. */
export const stepsApart = { poolSeasons, believeSoFar } as const;

type Work = typeof stepsApart;

/** The same steps in another thread. */
export type StepsApart = {
  [Name in keyof Work]: (...asked: Parameters<Work[Name]>) => Promise<ReturnType<Work[Name]>>;
};

/** The same as `analyze`, with two steps in a second thread. */
export async function analyzeBeside(
  steps: StepsApart,
  asRead: Trial,
  settings: Settings,
  units: UnitChoice,
  begin: Begin = () => undefined,
): Promise<Result> {
  const looked = lookAtSeasons(asRead, settings, units, begin);
  const pooling = steps.poolSeasons(looked.choice.trial, looked.toPool.chosen, settings);
  const before = steps.believeSoFar(looked.placed, settings);
  const believed = believe(looked, settings, begin);
  begin("pooled");
  const found = decideOn(believed, await pooling, settings, begin);
  return conclude(found, await before, settings, units, begin);
}
