/** The story: check → model → decide → plan → Result. */
import { sortFindings } from "./messages/finding.ts";
import { checkTrial } from "./check/index.ts";
import { decide, doubtOptima } from "./decide/decide.ts";
import { followLearning } from "./decide/learning.ts";
import { believeCurves } from "./model/beliefs/believable-curves.ts";
import { placeCells, tellTrends } from "./model/beliefs/field-trend.ts";
import { believeSoFar } from "./model/beliefs/seasons-so-far.ts";
import { chooseEnvironments, chooseVarieties } from "./model/choose-environments.ts";
import { fitSeasons } from "./model/seasons/fit-seasons.ts";
import { modelObservations } from "./model/observed/observations.ts";
import { adviseStrips } from "./plan/advise-strips.ts";
import { poolSeasons, type PooledSeasons } from "./model/pooled/pool-seasons.ts";
import type { Observations, Result } from "./vocabulary/result.ts";
import type { Settings, UnitChoice } from "./vocabulary/settings.ts";
import type { Trial } from "./vocabulary/trial.ts";
import { engineVersion } from "./version.ts";

/** What long work is at, in the order of the story. */
export type AnalysisStep = "check" | "seasons" | "observed" | "beliefs" | "pooled" | "decide" | "plan";

/**
 * Everything that follows from the strips.
 *
 * @param begin  told each step as it begins
 */
export function analyze(
  asRead: Trial,
  settings: Settings,
  units: UnitChoice,
  begin: Begin = () => undefined,
): Result {
  // 1 to 3: check, model, decide.
  const decided = decideRates(asRead, settings, units, begin);
  // What was believed season by season, with the prices of today. 4. Plan: which variety needs strips next.
  return conclude(decided, believeSoFar(decided.placed, settings), settings, units, begin);
}

/** Who does what the rest of the story need not wait for, as the functions of the same names do it. */
export interface Hands {
  poolSeasons(...asked: Parameters<typeof poolSeasons>): Promise<PooledSeasons>;
  believeSoFar(...asked: Parameters<typeof believeSoFar>): Promise<ReturnType<typeof believeSoFar>>;
}

/** What other hands do, done here. */
export const ownHands = { poolSeasons, believeSoFar } as const;

/** The same as `analyze`, with part of the work in other hands meanwhile. */
export async function analyzeBeside(
  hands: Hands,
  asRead: Trial,
  settings: Settings,
  units: UnitChoice,
  begin: Begin = () => undefined,
): Promise<Result> {
  const looked = lookAtSeasons(asRead, settings, units, begin);
  const pooled = hands.poolSeasons(looked.trial, looked.toPool.chosen, settings);
  const soFar = hands.believeSoFar(looked.placed, settings);
  const believed = believe(looked, settings, begin);
  begin("pooled");
  const decided = decideOn(believed, await pooled, settings, begin);
  return conclude(decided, await soFar, settings, units, begin);
}

type Begin = (step: AnalysisStep) => void;

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
  const pooled = poolSeasons(believed.trial, believed.toPool.chosen, settings);
  return decideOn(believed, pooled, settings, begin);
}

function lookAtSeasons(asRead: Trial, settings: Settings, units: UnitChoice, begin: Begin) {
  // 1. Check: impossible strips are left out, the rest is said.
  begin("check");
  const trial = checkTrial(asRead, settings, units);

  // 2. Model: no price is in it. The rate that is advised comes from what is believed (2c) alone.
  // 2a. Each variety in each environment on its own: the seasons that a reader knows, side by side.
  begin("seasons");
  const seasons = fitSeasons(trial, settings);
  const choice = chooseEnvironments(seasons.fits, trial.environments);
  return {
    trial,
    seasons,
    choice,
    placed: placeCells(choice.chosen, trial.strips),
    toPool: chooseVarieties(choice.chosen),
  };
}

function believe(looked: ReturnType<typeof lookAtSeasons>, settings: Settings, begin: Begin) {
  // 2b. Stand, heads, lodging and protein against the rate.
  begin("observed");
  const seen = modelObservations(looked.trial.strips, settings.priors);
  // 2c. What to believe of each variety's curve after all of its seasons.
  begin("beliefs");
  return { ...looked, seen, beliefs: believeCurves(looked.placed, settings) };
}

function decideOn(
  believed: ReturnType<typeof believe>,
  { pooled, findings: poolFindings, ...pooling }: PooledSeasons,
  settings: Settings,
  begin: Begin,
) {
  // 3. Decide: all that follows from a price.
  begin("decide");
  const { trial, seasons, seen, beliefs } = believed;
  const modelled = {
    fits: seasons.fits,
    beliefs,
    pooled,
    environments: trial.environments,
    ...seen.observations,
  };
  return { ...believed, modelled, pooling, poolFindings, decided: decide(modelled, settings) };
}

function conclude(
  rates: ReturnType<typeof decideOn>,
  { soFar, findings: soFarFindings }: ReturnType<typeof believeSoFar>,
  settings: Settings,
  units: UnitChoice,
  begin: Begin,
): Result {
  const { trial, seasons, seen, choice, placed, toPool } = rates;
  const { beliefs, pooling, poolFindings, modelled, decided } = rates;
  const learning = followLearning(soFar, modelled, decided, settings);

  // 4. Plan: which variety needs strips next.
  begin("plan");
  const stripAdvice = adviseStrips({ beliefs, next: decided.next, ...seen.observations }, settings);

  return {
    schema: "stripcurve-result-1",
    engineVersion,
    units,
    settings,
    rows: { read: trial.rowsRead, used: trial.strips.length, leftOut: trial.rowsLeftOut },
    findings: sortFindings([
      ...trial.findings,
      ...seasons.findings,
      ...seen.findings,
      ...choice.findings,
      ...tellTrends(placed),
      ...soFarFindings,
      ...toPool.findings,
      ...poolFindings,
      ...doubtOptima(decided.fits, seasons.strips, settings),
    ]),
    varieties: [...new Set(trial.strips.map((strip) => strip.variety))].sort(),
    environments: trial.environments,
    fits: decided.fits,
    strips: seasons.strips,
    beliefs,
    pooled: decided.pooled,
    ...pooling,
    seasons: decided.seasons,
    learning,
    ...seen.observations,
    lodging: decided.lodging,
    next: decided.next,
    stripAdvice,
    curves: decided.curves,
  };
}
