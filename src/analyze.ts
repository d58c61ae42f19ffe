/** The story: check → model → decide → Result. */
import type { Result } from "./result.ts";
import type { Settings, UnitChoice } from "./settings.ts";
import type { Trial } from "./trial.ts";
import { engineVersion } from "./version.ts";

export function analyze(trial: Trial, settings: Settings, units: UnitChoice): Result {
  return {
    schema: "stripcurve-result-1",
    engineVersion,
    units,
    settings,
    rows: { read: trial.rowsRead, used: trial.strips.length, leftOut: trial.rowsLeftOut },
    findings: trial.findings,
    varieties: [...new Set(trial.strips.map((strip) => strip.variety))].sort(),
    environments: trial.environments,
    fits: [],
    strips: [],
    beliefs: [],
    stand: [],
    lodging: [],
    next: [],
    curves: [],
  };
}
