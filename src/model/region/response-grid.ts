/** How a variety may answer to the rate over the farms of a region, and what is believed of it before any strip. */
import { axisBetween, logOn, placesOn, type LogAxis } from "../../maths/log-axis.ts";
import { bell, normalise } from "../../maths/normal-weights.ts";
import type { Priors } from "../../vocabulary/settings.ts";
import { riseShapes } from "../forms/believable-curve.ts";

/** A shape of rise that all farms share, with the loss on a middling farm and the sd of the loss between farms. */
export interface Response {
  rise: number;
  logLoss: number;
  lossOnFarmSdLog: number;
  /** Weight before any strip, among those that respond. */
  prior: number;
  /** Weights of the losses on a farm, by place of the axis that farms are weighed on. */
  lossesOnFarm: readonly number[];
}

export interface ResponseGrid {
  responses: readonly Response[];
  noResponseChance: number;
}

/** Sds in log by which the loss of a variety may differ between farms, and how much each is believed: our choice. */
const lossOnFarmSds = [
  { sd: 0.1, weight: 0.35 },
  { sd: 0.3, weight: 0.4 },
  { sd: 0.7, weight: 0.25 },
];
/** The stated spread of losses is of farms and varieties together; varieties differ by no less than this. */
const leastSd = 0.3;
/** So many times as many places as farms are weighed on: a loss is known better from many farms than from one. */
const closer = 2;
/** Steps by which a loss on a farm is followed between two places of the axis. */
const finer = 8;

/** @param losses  axis of the losses that farms are weighed on */
export function responseGrid(
  losses: LogAxis,
  {
    lossMedian,
    lossSdLog,
    noResponseChance,
    flat,
  }: Pick<Priors, "lossMedian" | "lossSdLog" | "noResponseChance" | "flat">,
): ResponseGrid {
  const highest = logOn(losses, losses.count - 1);
  const axis = axisBetween(Math.exp(losses.from), Math.exp(highest), closer * (losses.count - 1) + 1);
  const ofLosses = lossOnFarmSds.flatMap(({ sd, weight }) => {
    const sdOfVarieties = Math.sqrt(Math.max(lossSdLog ** 2 - sd ** 2, leastSd ** 2));
    const places = placesOn(axis);
    const prior = normalise(
      places.map((log) => (flat ? 1 : bell(log - Math.log(lossMedian), sdOfVarieties))),
    );
    return places.map((logLoss, l) => ({
      logLoss,
      lossOnFarmSdLog: sd,
      prior: weight * prior[l]!,
      lossesOnFarm: lossesAbout(logLoss, sd, losses),
    }));
  });
  return {
    responses: riseShapes.flatMap(({ share }, rise) =>
      ofLosses.map((one) => ({ ...one, rise, prior: share * one.prior })),
    ),
    noResponseChance,
  };
}

/** A normal distribution of log losses as weights of the places of an axis; what lies between two is shared by both. */
function lossesAbout(logLoss: number, sd: number, losses: LogAxis): number[] {
  const weights = placesOn(losses).map(() => 0);
  const last = losses.count - 1;
  for (let fine = 0; fine <= finer * last; fine++) {
    const weight = bell(logOn(losses, fine / finer) - logLoss, sd);
    const at = Math.min(Math.floor(fine / finer), last - 1);
    const part = fine / finer - at;
    weights[at]! += (1 - part) * weight;
    weights[at + 1]! += part * weight;
  }
  return normalise(weights);
}
