/** What was found on the way, written down as one result. */
import { doubtOptima, type Decided } from "./decide/decide.ts";
import { sortFindings } from "./messages/finding.ts";
import { tellTrends, type placeCells } from "./model/beliefs/field-trend.ts";
import type { SeasonFits } from "./model/seasons/fit-seasons.ts";
import type { PooledSeasons } from "./model/pooled/pool-seasons.ts";
import { engineVersion } from "./version.ts";
import type { Observations, Result } from "./vocabulary/result.ts";
import type { Finding, Trial } from "./vocabulary/trial.ts";

interface Said {
  findings: readonly Finding[];
}

interface Found extends Pick<Result, "beliefs" | "learning" | "stripAdvice" | "settings" | "units"> {
  trial: Trial;
  seasons: SeasonFits;
  choice: Said;
  placed: ReturnType<typeof placeCells>;
  toPool: Said;
  seen: Said & { observations: Observations };
  pooling: PooledSeasons;
  decided: Decided;
  before: Said;
}

export function writeResult(found: Found): Result {
  const { trial, seasons, seen, choice, placed, toPool, decided, settings } = found;
  const { findings: poolFindings, ...pooling } = found.pooling;
  return {
    schema: "stripcurve-result-1",
    engineVersion,
    units: found.units,
    settings,
    rows: { read: trial.rowsRead, used: trial.strips.length, leftOut: trial.rowsLeftOut },
    findings: sortFindings([
      ...trial.findings,
      ...seasons.findings,
      ...seen.findings,
      ...choice.findings,
      ...tellTrends(placed),
      ...found.before.findings,
      ...toPool.findings,
      ...poolFindings,
      ...doubtOptima(decided.fits, seasons.strips, settings),
    ]),
    varieties: [...new Set(trial.strips.map((strip) => strip.variety))].sort(),
    environments: trial.environments,
    fits: decided.fits,
    strips: seasons.strips,
    beliefs: found.beliefs,
    ...pooling,
    pooled: decided.pooled,
    seasons: decided.seasons,
    learning: found.learning,
    ...seen.observations,
    lodging: decided.lodging,
    next: decided.next,
    stripAdvice: found.stripAdvice,
    curves: decided.curves,
  };
}
