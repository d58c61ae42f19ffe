/** An evenly spaced sample, for when there are more environments or varieties than the pooled model can use. */
import { someEnvironmentsTogether, someVarietiesPooled } from "../messages/pooling.ts";
import type { FittedVariety } from "../vocabulary/result.ts";
import { environmentId } from "../vocabulary/environments.ts";
import type { Finding, Trial } from "../vocabulary/trial.ts";

/** The part of a trial that the pooled model reads: the strips of the environments that are pooled. */
export type PooledTrial = Pick<Trial, "strips" | "environments">;

/** Beyond this many environments the pooled answer hardly changes; the limit bounds time and memory. */
const mostEnvironments = 250;

/**
 * Fits to weigh and pool over all seasons, and the strips behind them; above 250 environments, those of an evenly spaced
 * sample.
 *
 * @param trial  its environments sorted
 */
export function chooseEnvironments(
  fits: readonly FittedVariety[],
  { strips, environments }: PooledTrial,
): { chosen: readonly FittedVariety[]; trial: PooledTrial; findings: Finding[] } {
  const all = environments.length;
  if (all <= mostEnvironments) return { chosen: fits, trial: { strips, environments }, findings: [] };
  const ids = new Set(evenly(environments, mostEnvironments).map(({ id }) => id));
  return {
    chosen: fits.filter(({ environment }) => ids.has(environment)),
    trial: { strips: strips.filter((strip) => ids.has(environmentId(strip))), environments },
    findings: [someEnvironmentsTogether(mostEnvironments, all)],
  };
}

/** The work of the pooled model grows with the third power of the varieties. */
const mostVarieties = 40;

/** Fits to pool; above 40 varieties, those of an evenly spaced sample. */
export function chooseVarieties(fits: readonly FittedVariety[]): {
  chosen: readonly FittedVariety[];
  findings: Finding[];
} {
  const varieties = [...new Set(fits.map(({ variety }) => variety))].sort();
  if (varieties.length <= mostVarieties) return { chosen: fits, findings: [] };
  const kept = new Set(evenly(varieties, mostVarieties));
  return {
    chosen: fits.filter(({ variety }) => kept.has(variety)),
    findings: [someVarietiesPooled(mostVarieties, varieties.length)],
  };
}

/** This many of the values, at even steps. */
export function evenly<Value>(values: readonly Value[], count: number): Value[] {
  const reached = (i: number): number => Math.floor((i * count) / values.length);
  return values.filter((_, i) => reached(i + 1) > reached(i));
}
