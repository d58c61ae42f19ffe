/**
 * Which responses of a variety its farms leave believable, so that few of them need to be compared in full.
 *
 * Farms are taken as independent draws about the variety's need: what the varieties of one farm have in common is left to
 * `between-farms.ts`.
 */
import type { LogAxis } from "../../maths/log-axis.ts";
import { normalKernel, smoothedAt } from "../../maths/normal-kernel.ts";
import { sumOf } from "../../maths/sums.ts";
import type { ResponseLikelihood } from "./farm-likelihoods.ts";
import type { Response, ResponseGrid } from "./response-grid.ts";

/** Farms that are looked at: more of them would only leave fewer responses. */
const mostFarms = 60;
/** Sd of log need between farms while responses are picked. */
const betweenFarms = 0.14;
/** Share of farms that are unlike all others while responses are picked. */
const oddShare = 0.15;
/** Weight of the responses that may be left out together, and the most that are kept. */
const negligible = 0.02;
const mostKept = 16;

/**
 * Those that hold nearly all weight, in the order of the grid; where these are too many, some of them at even steps of the
 * summed weight, each with the prior that makes it stand for its neighbours as well (systematic sampling).
 *
 * @param farms     what each farm that grows the variety says of it
 * @param logPrior  of the need, by place of the axis
 */
export function believableResponses(
  farms: readonly ResponseLikelihood[],
  needs: LogAxis,
  grid: ResponseGrid,
  logPrior: Float64Array,
): Response[] {
  const weighed = weighResponses(farms.slice(0, mostFarms), needs, grid, logPrior);
  const heaviest = [...weighed].sort((a, b) => b.weight - a.weight).slice(0, mostKept);
  const left = 1 - heaviest.reduce((sum, { weight }) => sum + weight, 0);
  if (left < negligible) {
    const kept = new Set(heaviest.map(({ response }) => response));
    return grid.responses.filter((response) => kept.has(response));
  }
  let sum = 0;
  return weighed.flatMap(({ response, weight }) => {
    const before = Math.round(sum * mostKept);
    sum += weight;
    const times = Math.round(sum * mostKept) - before;
    return times === 0 ? [] : [{ ...response, prior: (response.prior * times) / (mostKept * weight) }];
  });
}

function weighResponses(
  farms: readonly ResponseLikelihood[],
  needs: LogAxis,
  { responses, noResponseChance }: ResponseGrid,
  logPrior: Float64Array,
): { response: Response; weight: number }[] {
  const J = needs.count;
  const half = normalKernel(betweenFarms, needs.step);
  const priorOfNeed = logPrior.map(Math.exp);
  const priorSum = sumOf(priorOfNeed);
  const weighed = responses.map((response) => ({ response, log: Float64Array.from(logPrior) }));
  for (const farm of farms) {
    const smoothed = new Float64Array(farm.values.length);
    for (let first = 0; first < smoothed.length; first += J) {
      const values = farm.values.subarray(first, first + J);
      for (let j = 0; j < J; j++) smoothed[first + j] = smoothedAt(values, j, half);
    }
    const explained = weighed.map(({ response, log }) => ({
      prior: response.prior,
      values: addOverLosses(new Float64Array(J), smoothed, response, 1),
      log,
    }));
    const respond = explained.reduce(
      (sum, { prior, values }) => sum + prior * sumOf(values.map((value, j) => value * priorOfNeed[j]!)),
      0,
    );
    const odd =
      oddShare *
      (((1 - noResponseChance) * respond) / priorSum + noResponseChance * farm.noResponse + 1e-300);
    for (const { values, log } of explained)
      for (let j = 0; j < J; j++) log[j]! += Math.log((1 - oddShare) * values[j]! + odd);
  }
  const most = weighed.reduce((all, { log }) => log.reduce((a, b) => Math.max(a, b), all), -Infinity);
  const weights = weighed.map(({ response, log }) => ({
    response,
    weight: response.prior * sumOf(log.map((value) => Math.exp(value - most))),
  }));
  const total = weights.reduce((sum, { weight }) => sum + weight, 0);
  return weights.map(({ response, weight }) => ({ response, weight: weight / total }));
}

/**
 * Adds the likelihood of each need where rise and loss are as one response has them on its farms.
 *
 * @param values  [rise][loss][need]
 */
export function addOverLosses(
  sums: Float64Array,
  values: ArrayLike<number>,
  { rise, lossesOnFarm }: Pick<Response, "rise" | "lossesOnFarm">,
  times: number,
): Float64Array {
  const J = sums.length;
  for (let l = 0; l < lossesOnFarm.length; l++) {
    const weight = times * lossesOnFarm[l]!;
    const first = (rise * lossesOnFarm.length + l) * J;
    for (let j = 0; j < J; j++) sums[j]! += weight * values[first + j]!;
  }
  return sums;
}
