/**
 * Varieties lean on each other: their needs lie about a common centre, and they share the unrest of the seasons.
 *
 * Log needs of the varieties are normal about the centre with a common sd. Each pair of centre and sd, and each season
 * spread, is weighed by what it makes of all the varieties' strips; a variety then gets the mixture that the others speak
 * for, in place of the prior.
 */
import type { Priors } from "../../vocabulary/settings.ts";
import { logOn, type LogAxis } from "../../maths/log-axis.ts";
import { seasonSpreads } from "./curve-grid.ts";

/** Sds of log need between the varieties of a farm, weighed by a half-normal prior. */
const betweenSds = [0.03, 0.08, 0.15, 0.25, 0.4];

/** Likelihood of one variety: [spread][need] on an axis of its own, and of no response. */
export interface VarietyMarginal {
  needs: LogAxis;
  byNeed: Float64Array;
  noResponse: number;
}

/** Prior of (spread, need) for one variety on its own axis: from the priors alone, and after leaning. */
export interface Leaning {
  alone: Float64Array;
  leaned: Float64Array;
}

/** A spread of seasons with a centre and an sd of the varieties' needs. */
interface State {
  spread: number;
  /** Index of centre and sd. */
  about: number;
  logPrior: number;
}

/**
 * @param wholeNeeds      axis of all needs that are looked at; those of the varieties lie inside
 * @param needSeedsPerM2  where the need is first looked for
 * @returns one for each variety; each prior sums to 1 over the whole axis
 */
export function leanVarieties(
  marginals: readonly VarietyMarginal[],
  wholeNeeds: LogAxis,
  priors: Priors,
  needSeedsPerM2: number,
): Leaning[] {
  const centreSd = Math.sqrt(Math.max(priors.needSdLog ** 2 - priors.needBetweenSdLog ** 2, 0.05 ** 2));
  const spreadWeights = normalise(
    seasonSpreads.map((spread) => (priors.flat ? 1 : halfNormal(spread, priors.seasonSpread))),
  );
  const sdWeights = normalise(betweenSds.map((sd) => halfNormal(sd, priors.needBetweenSdLog)));
  const centres = placesOf(wholeNeeds);
  const centreWeights = normalise(
    centres.map((centre) => (priors.flat ? 1 : halfNormal(centre - Math.log(needSeedsPerM2), centreSd))),
  );
  const abouts = betweenSds.flatMap((sd) =>
    centres.map((centre) => ({
      sd,
      centre,
      perStep: 1 / (wholeNeeds.step * sum(centres.map((log) => halfNormal(log - centre, sd)))),
    })),
  );
  const states: State[] = abouts.flatMap((_, about) =>
    spreadWeights.map((weight, spread) => {
      const [b, c] = [Math.floor(about / centres.length), about % centres.length];
      return { spread, about, logPrior: Math.log(sdWeights[b]! * centreWeights[c]! * weight) };
    }),
  );
  const known = marginals.map((marginal) => {
    const needs = placesOf(marginal.needs);
    const priorsOfNeed = abouts.map(({ sd, centre, perStep }) =>
      Float64Array.from(needs, (log) => perStep * marginal.needs.step * halfNormal(log - centre, sd)),
    );
    return { priorsOfNeed, fit: fitOf(marginal, states, priorsOfNeed, priors.noResponseChance) };
  });
  const logPrior = Float64Array.from(states, (state) => state.logPrior);
  return known.map(({ priorsOfNeed }, v) => {
    const others = known.filter((_, w) => w !== v);
    const spokenFor = logPrior.map((log, i) => others.reduce((total, { fit }) => total + fit[i]!, log));
    return {
      alone: mixture(logPrior, states, priorsOfNeed),
      leaned: mixture(spokenFor, states, priorsOfNeed),
    };
  });
}

/** Logarithm of how well each state explains the strips of one variety. */
function fitOf(
  { byNeed, noResponse }: VarietyMarginal,
  states: readonly State[],
  priorsOfNeed: readonly Float64Array[],
  noResponseChance: number,
): Float64Array {
  return Float64Array.from(states, ({ spread, about }) => {
    const prior = priorsOfNeed[about]!;
    const at = spread * prior.length;
    let sum = 0;
    for (let j = 0; j < prior.length; j++) sum += byNeed[at + j]! * prior[j]!;
    return Math.log(sum * (1 - noResponseChance) + noResponse * noResponseChance);
  });
}

/** [spread][need], the priors of all states by their weights. */
function mixture(
  logWeights: Float64Array,
  states: readonly State[],
  priorsOfNeed: readonly Float64Array[],
): Float64Array {
  const most = logWeights.reduce((a, b) => Math.max(a, b), -Infinity);
  const needs = priorsOfNeed[0]!.length;
  const mixed = new Float64Array(seasonSpreads.length * needs);
  let total = 0;
  states.forEach(({ spread, about }, i) => {
    const weight = Math.exp(logWeights[i]! - most);
    if (weight < 1e-9) return;
    total += weight;
    const prior = priorsOfNeed[about]!;
    for (let j = 0; j < needs; j++) mixed[spread * needs + j]! += weight * prior[j]!;
  });
  return mixed.map((value) => value / total);
}

const placesOf = (axis: LogAxis): number[] => Array.from({ length: axis.count }, (_, j) => logOn(axis, j));

const halfNormal = (x: number, sd: number): number => Math.exp(-0.5 * (x / sd) ** 2);

const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);

function normalise(weights: readonly number[]): number[] {
  const total = sum(weights);
  return weights.map((weight) => weight / total);
}
