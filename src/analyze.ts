/** The story: check → model → decide → Result. */
import { checkTrial } from "./check/index.ts";
import { sortFindings } from "./check/findings/finding.ts";
import { decide } from "./decide/decide.ts";
import { fitSeasons } from "./model/fit-seasons.ts";
import { modelObservations } from "./model/observations.ts";
import type { Result } from "./result.ts";
import type { Settings, UnitChoice } from "./settings.ts";
import type { Trial } from "./trial.ts";
import { engineVersion } from "./version.ts";

export function analyze(asRead: Trial, settings: Settings, units: UnitChoice): Result {
  // 1. Check: impossible strips are left out, the rest is said.
  const trial = checkTrial(asRead, settings, units);

  // 2. Model
  // 2a. Each variety in each environment on its own.
  const seasons = fitSeasons(trial, settings);
  // 2b. Stand, heads, lodging and protein against the rate.
  const seen = modelObservations(trial.strips);

  // 3. Decide: all that follows from a price.
  const decided = decide({ fits: seasons.fits, ...seen.observations }, settings);

  return {
    schema: "stripcurve-result-1",
    engineVersion,
    units,
    settings,
    rows: { read: trial.rowsRead, used: trial.strips.length, leftOut: trial.rowsLeftOut },
    findings: sortFindings([...trial.findings, ...seasons.findings, ...seen.findings]),
    varieties: [...new Set(trial.strips.map((strip) => strip.variety))].sort(),
    environments: trial.environments,
    fits: decided.fits,
    strips: seasons.strips,
    beliefs: [],
    ...seen.observations,
    lodging: decided.lodging,
    next: [],
    curves: decided.curves,
  };
}
