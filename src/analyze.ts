/** The story: check → model → decide → Result. */
import { checkTrial } from "./check/index.ts";
import type { Result } from "./result.ts";
import type { Settings, UnitChoice } from "./settings.ts";
import type { Trial } from "./trial.ts";
import { engineVersion } from "./version.ts";

export function analyze(asRead: Trial, settings: Settings, units: UnitChoice): Result {
  // 1. Check: impossible strips are left out, the rest is said.
  const trial = checkTrial(asRead, settings, units);

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
