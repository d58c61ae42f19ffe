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
import { poolSeasons } from "./model/pooled/pool-seasons.ts";
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
  begin: (step: AnalysisStep) => void = () => undefined,
): Result {
  // 1 to 3: check, model, decide.
  const found = decideRates(asRead, settings, units, begin);
  const { trial, seasons, seen, choice, placed, beliefs, toPool, pooling, poolFindings, modelled, decided } =
    found;
  // What was believed season by season, with the prices of today.
  const { soFar, findings: soFarFindings } = believeSoFar(placed, settings);
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

/** Next season's rates alone: what a trial is planned from, and what a simulated one is asked. */
export function findRates(
  asRead: Trial,
  settings: Settings,
  units: UnitChoice,
): Pick<Result, "beliefs" | "next" | keyof Observations> {
  const { seen, beliefs, decided } = decideRates(asRead, settings, units);
  return { ...seen.observations, beliefs, next: decided.next };
}

/** Steps 1 to 3, with all that they found on the way. */
function decideRates(
  asRead: Trial,
  settings: Settings,
  units: UnitChoice,
  begin: (step: AnalysisStep) => void = () => undefined,
) {
  // 1. Check: impossible strips are left out, the rest is said.
  begin("check");
  const trial = checkTrial(asRead, settings, units);
  const { environments } = trial;

  // 2. Model: no price is in it. The rate that is advised comes from what is believed (2c) alone.
  // 2a. Each variety in each environment on its own: the seasons that a reader knows, side by side.
  begin("seasons");
  const seasons = fitSeasons(trial, settings);
  // 2b. Stand, heads, lodging and protein against the rate.
  begin("observed");
  const seen = modelObservations(trial.strips, settings.priors);
  // 2c. What to believe of each variety's curve after all of its seasons.
  begin("beliefs");
  const choice = chooseEnvironments(seasons.fits, environments);
  const placed = placeCells(choice.chosen, trial.strips);
  const beliefs = believeCurves(placed, settings);
  // 2d. All seasons in one mixed model, beside it: whether varieties differ, and pooled curves to hold the advice against.
  begin("pooled");
  const toPool = chooseVarieties(choice.chosen);
  const { pooled, findings: poolFindings, ...pooling } = poolSeasons(trial, toPool.chosen, settings);

  // 3. Decide: all that follows from a price.
  begin("decide");
  const modelled = { fits: seasons.fits, beliefs, pooled, environments, ...seen.observations };
  const decided = decide(modelled, settings);
  return { trial, seasons, seen, choice, placed, beliefs, toPool, pooling, poolFindings, modelled, decided };
}
