/** The story: check → model → decide → plan → Result. */
import { checkTrial } from "./check/index.ts";
import { decide } from "./decide/decide.ts";
import { followLearning } from "./decide/learning.ts";
import { believeCurves } from "./model/beliefs/believable-curves.ts";
import { placeCells } from "./model/beliefs/field-trend.ts";
import { believeSoFar } from "./model/beliefs/seasons-so-far.ts";
import { chooseEnvironments, chooseVarieties } from "./model/choose-environments.ts";
import { modelObservations } from "./model/observed/observations.ts";
import { poolSeasons } from "./model/pooled/pool-seasons.ts";
import { fitSeasons } from "./model/seasons/fit-seasons.ts";
import { adviseStrips } from "./plan/advise-strips.ts";
import type { Observations, Result } from "./vocabulary/result.ts";
import type { Settings, UnitChoice } from "./vocabulary/settings.ts";
import type { Trial } from "./vocabulary/trial.ts";
import { writeResult } from "./write-result.ts";

/** What long work is at, in the order of the story. */
export type AnalysisStep = "check" | "seasons" | "observed" | "beliefs" | "pooled" | "decide" | "plan";

/** Told each step as it begins. */
export type Begin = (step: AnalysisStep) => void;

/** Everything that follows from the strips. `analyze-beside.ts` goes the same steps, two of them in a second thread. */
export function analyze(
  asRead: Trial,
  settings: Settings,
  units: UnitChoice,
  begin: Begin = () => undefined,
): Result {
  const decided = decideRates(asRead, settings, units, begin);
  return conclude(decided, believeSoFar(decided.placed, settings), settings, units, begin);
}

/** Next season's rates alone: what a trial is planned from, and what a simulated one is asked. */
export function findRates(
  asRead: Trial,
  settings: Settings,
  units: UnitChoice,
): Pick<Result, "beliefs" | "next" | keyof Observations> {
  const { seen, beliefs, decided } = decideRates(asRead, settings, units, () => undefined);
  return { ...seen.observations, beliefs, next: decided.next };
}

/** Steps 1 to 3, with all that they found on the way. */
function decideRates(asRead: Trial, settings: Settings, units: UnitChoice, begin: Begin) {
  const believed = believe(lookAtSeasons(asRead, settings, units, begin), settings, begin);
  // 2d. All seasons in one mixed model, beside it: whether varieties differ, and pooled curves to hold the advice against.
  begin("pooled");
  const pooling = poolSeasons(believed.choice.trial, believed.toPool.chosen, settings);
  return decideOn(believed, pooling, settings, begin);
}

export function lookAtSeasons(asRead: Trial, settings: Settings, units: UnitChoice, begin: Begin) {
  // 1. Check: impossible strips are left out, the rest is said.
  begin("check");
  const trial = checkTrial(asRead, settings, units);
  // 2. Model: no price is in it. The rate that is advised comes from what is believed (2c) alone.
  // 2a. Each variety in each environment on its own: the seasons that a reader knows, side by side.
  begin("seasons");
  const seasons = fitSeasons(trial, settings);
  const choice = chooseEnvironments(seasons.fits, trial);
  const placed = placeCells(choice.chosen, choice.trial.strips);
  return { trial, seasons, choice, placed, toPool: chooseVarieties(choice.chosen) };
}

export function believe(looked: ReturnType<typeof lookAtSeasons>, settings: Settings, begin: Begin) {
  // 2b. Stand, heads, lodging and protein against the rate.
  begin("observed");
  const seen = modelObservations(looked.trial.strips, settings);
  // 2c. What to believe of each variety's curve after all of its seasons.
  begin("beliefs");
  return { ...looked, seen, beliefs: believeCurves(looked.placed, settings) };
}

type Believed = ReturnType<typeof believe>;
type Pooling = ReturnType<typeof poolSeasons>;

export function decideOn(believed: Believed, pooling: Pooling, settings: Settings, begin: Begin) {
  // 3. Decide: all that follows from a price.
  begin("decide");
  const { trial, seasons, seen, beliefs } = believed;
  const { pooled } = pooling;
  const modelled = {
    fits: seasons.fits,
    beliefs,
    pooled,
    environments: trial.environments,
    ...seen.observations,
  };
  return { ...believed, pooling, modelled, decided: decide(modelled, settings) };
}

export function conclude(
  found: ReturnType<typeof decideOn>,
  before: ReturnType<typeof believeSoFar>,
  settings: Settings,
  units: UnitChoice,
  begin: Begin,
): Result {
  // What was believed season by season, with the prices of today.
  const learning = followLearning(before.soFar, found.modelled, found.decided, settings);
  // 4. Plan: which variety needs strips next.
  begin("plan");
  const { modelled, decided } = found;
  const stripAdvice = adviseStrips({ ...modelled, next: decided.next }, settings);
  return writeResult({ ...found, before, learning, stripAdvice, settings, units });
}
