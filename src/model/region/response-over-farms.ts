/**
 * How strongly a variety answers to the rate over many farms: loss = the variety's, times what is the farm's own.
 *
 * Farms speak one after another through the likelihood of each loss, need and all else integrated out farm by farm. What a
 * farm says is spread by how unlike farms may be, so that none of them decides alone.
 */
import { placesOn, type LogAxis } from "../../maths/log-axis.ts";
import { bell, normalise } from "../../maths/normal-weights.ts";
import type { Priors } from "../../vocabulary/settings.ts";
import type { RegionVariety } from "../../vocabulary/region.ts";
import { lossOnFarmSdLog, oddShare } from "../beliefs/lean-on-region.ts";
import type { FarmLikelihood } from "./farm-likelihoods.ts";

export type ResponseOverFarms = Pick<RegionVariety, "lossMedian" | "lossSdLog" | "noResponseChance">;

/**
 * @param farms   what each farm that grows the variety says of it
 * @param losses  axis of the losses
 */
export function responseOverFarms(
  farms: readonly FarmLikelihood[],
  losses: LogAxis,
  priors: Pick<Priors, "lossMedian" | "lossSdLog" | "noResponseChance">,
): ResponseOverFarms {
  const places = placesOn(losses);
  const onFarm = places.map((log) => normalise(places.map((other) => bell(other - log, lossOnFarmSdLog))));
  const prior = normalise(places.map((log) => bell(log - Math.log(priors.lossMedian), priors.lossSdLog)));
  const logs = prior.map(Math.log);
  let logNone = Math.log(priors.noResponseChance);
  for (const farm of farms) {
    const usual = prior.reduce((sum, weight, l) => sum + weight * farm.losses[l]!, 0);
    const spread = onFarm.map((kernel) =>
      kernel.reduce((sum, weight, l) => sum + weight * farm.losses[l]!, 0),
    );
    const odd = (1 - priors.noResponseChance) * usual + priors.noResponseChance * farm.noResponse;
    const heard = (likelihood: number): number =>
      Math.log((1 - oddShare) * likelihood + oddShare * odd + 1e-300);
    spread.forEach((likelihood, l) => (logs[l]! += heard(likelihood)));
    logNone += heard(farm.noResponse);
  }
  const most = Math.max(logNone, ...logs);
  const weights = logs.map((log) => (1 - priors.noResponseChance) * Math.exp(log - most));
  const respond = weights.reduce((sum, weight) => sum + weight, 0);
  const none = Math.exp(logNone - most);
  const mean = weights.reduce((sum, weight, l) => sum + weight * places[l]!, 0) / respond;
  const variance = weights.reduce((sum, weight, l) => sum + weight * (places[l]! - mean) ** 2, 0) / respond;
  return {
    lossMedian: Math.exp(mean),
    lossSdLog: Math.sqrt(variance + losses.step ** 2 / 12),
    noResponseChance: none / (none + respond),
  };
}
