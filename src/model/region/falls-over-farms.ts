/** Whether yield falls beyond a variety's need, over many farms: on all of them, or on none. */
import type { Priors } from "../../vocabulary/settings.ts";
import { oddVarietyShare } from "../beliefs/lean-on-region.ts";
import type { FarmLikelihood } from "./farm-likelihoods.ts";

/**
 * The chance that it never falls, by Bayes' rule over the farms; where a variety is unlike all others, both are as likely as
 * the priors state.
 *
 * @param farms  what each farm that grows the variety says of it
 */
export function neverFalls(
  farms: readonly Pick<FarmLikelihood, "never" | "falls">[],
  { noDeclineChance }: Pick<Priors, "noDeclineChance">,
): number {
  let logNever = Math.log(noDeclineChance);
  let logFalls = Math.log(1 - noDeclineChance);
  for (const { never, falls } of farms) {
    const odd = oddVarietyShare * (noDeclineChance * never + (1 - noDeclineChance) * falls) + 1e-300;
    logNever += Math.log((1 - oddVarietyShare) * never + odd);
    logFalls += Math.log((1 - oddVarietyShare) * falls + odd);
  }
  return 1 / (1 + Math.exp(logFalls - logNever));
}
