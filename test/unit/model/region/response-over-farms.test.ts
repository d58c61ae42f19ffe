import { describe, expect, it } from "vitest";
import { logOn, type LogAxis } from "../../../../src/maths/log-axis.ts";
import { lossOnFarmSdLog, oddShare } from "../../../../src/model/beliefs/lean-on-region.ts";
import type { FarmLikelihood } from "../../../../src/model/region/farm-likelihoods.ts";
import { responseOverFarms } from "../../../../src/model/region/response-over-farms.ts";

const losses: LogAxis = { from: Math.log(0.005), step: 0.5, count: 8 };
const priors = { lossMedian: 0.06, lossSdLog: 1, noResponseChance: 0.1 };
const places = Array.from({ length: losses.count }, (_, l) => logOn(losses, l));
const farm = (middle: number, sd: number, noResponse: number): FarmLikelihood => ({
  variety: "V",
  values: new Float64Array(),
  losses: Float64Array.from(places, (log) => Math.exp(-0.5 * ((log - Math.log(middle)) / sd) ** 2)),
  noResponse,
});

/**
 * Every combination of a loss of the variety and of each farm, summed one by one: the model as it is written, with no
 * product of sums.
 */
function summedDirectly(farms: readonly FarmLikelihood[]): { mean: number; none: number } {
  const normal = (x: number, sd: number): number => Math.exp(-0.5 * (x / sd) ** 2);
  const share = (weights: number[]): number[] =>
    weights.map((one) => one / weights.reduce((a, b) => a + b, 0));
  const prior = share(places.map((log) => normal(log - Math.log(priors.lossMedian), priors.lossSdLog)));
  const onFarm = places.map((log) => share(places.map((other) => normal(other - log, lossOnFarmSdLog))));
  let [none, respond, mean] = [0, 0, 0];
  const walk = (loss: number | null, f: number, weight: number): void => {
    if (f === farms.length) {
      if (loss === null) none += weight;
      else {
        respond += weight;
        mean += weight * places[loss]!;
      }
      return;
    }
    const { losses: likelihood, noResponse } = farms[f]!;
    if (loss === null) walk(loss, f + 1, weight * (1 - oddShare) * noResponse);
    else
      places.forEach((_, own) =>
        walk(loss, f + 1, weight * (1 - oddShare) * onFarm[loss]![own]! * likelihood[own]!),
      );
    // A farm unlike all others draws its own from the prior.
    walk(loss, f + 1, weight * oddShare * priors.noResponseChance * noResponse);
    places.forEach((_, own) =>
      walk(loss, f + 1, weight * oddShare * (1 - priors.noResponseChance) * prior[own]! * likelihood[own]!),
    );
  };
  walk(null, 0, priors.noResponseChance);
  places.forEach((_, loss) => walk(loss, 0, (1 - priors.noResponseChance) * prior[loss]!));
  return { mean: mean / respond, none: none / (none + respond) };
}

describe("the response of a variety over many farms", () => {
  it("is what every combination of losses sums to", () => {
    const farms = [farm(0.1, 0.6, 0.2), farm(0.15, 0.8, 0.3), farm(0.02, 0.5, 0.7)];
    const { lossMedian, noResponseChance } = responseOverFarms(farms, losses, priors);
    const direct = summedDirectly(farms);
    expect(Math.log(lossMedian)).toBeCloseTo(direct.mean, 10);
    expect(noResponseChance).toBeCloseTo(direct.none, 10);
  });

  it("is better known from more farms, and is the prior from none", () => {
    const one = responseOverFarms([farm(0.1, 0.8, 0.1)], losses, priors);
    const many = responseOverFarms(Array(10).fill(farm(0.1, 0.8, 0.1)), losses, priors);
    expect(many.lossSdLog).toBeLessThan(0.7 * one.lossSdLog);
    expect(many.noResponseChance).toBeLessThan(one.noResponseChance / 10);
    expect(responseOverFarms([], losses, priors).noResponseChance).toBeCloseTo(0.1, 10);
  });
});
