/** An even choice where there are more environments than an answer about all of them can use. */
import { someEnvironmentsTogether } from "../messages/pooling.ts";
import type { FittedVariety } from "../vocabulary/result.ts";
import type { Environment, Finding } from "../vocabulary/trial.ts";

/** Further environments hardly change what is said of all together; time and memory are bounded by this many. */
const mostEnvironments = 250;

/**
 * The fits that what is said of all seasons together rests on: of very many environments an even choice.
 *
 * @param environments  of the trial, sorted
 */
export function chooseEnvironments(
  fits: readonly FittedVariety[],
  environments: readonly Environment[],
): { chosen: readonly FittedVariety[]; findings: Finding[] } {
  const all = environments.length;
  if (all <= mostEnvironments) return { chosen: fits, findings: [] };
  const reached = (i: number): number => Math.floor((i * mostEnvironments) / all);
  const ids = new Set(environments.flatMap(({ id }, i) => (reached(i + 1) > reached(i) ? [id] : [])));
  return {
    chosen: fits.filter(({ environment }) => ids.has(environment)),
    findings: [someEnvironmentsTogether(mostEnvironments, all)],
  };
}
