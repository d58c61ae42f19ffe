/**
 * Varieties lean on each other: their needs lie about a common centre, and they share the unrest of the seasons.
 *
 * Log needs of the varieties are normal about the centre with a common sd. Each pair of centre and sd, and each season
 * spread, is weighed by what it makes of all the varieties' strips; a variety then gets the mixture that the others speak
 * for, in place of the prior.
 */
import type { Priors } from "../settings.ts";
import type { CurveGrid } from "./curve-grid.ts";

/** Sds of log need between the varieties of a farm, weighed by a half-normal prior. */
const betweenSds = [0.03, 0.08, 0.15, 0.25, 0.4];

/** Likelihood of one variety: [spread][need], and of no response. */
export interface VarietyMarginal {
  byNeed: Float64Array;
  noResponse: number;
}

/** Prior of (spread, need) for each variety, each summing to 1: from the priors alone, and after leaning. */
export interface Leaning {
  alone: Float64Array;
  leaned: Float64Array[];
}

/**
 * @param needSeedsPerM2 where the need is first looked for
 */
export function leanVarieties(
  marginals: readonly VarietyMarginal[],
  grid: CurveGrid,
  priors: Priors,
  needSeedsPerM2: number,
): Leaning {
  const { logNeeds, spreads } = grid;
  const needs = logNeeds.length;
  const centreSd = Math.sqrt(Math.max(priors.needSdLog ** 2 - priors.needBetweenSdLog ** 2, 0.05 ** 2));
  const spreadWeights = normalise(spreads.map((s) => (priors.flat ? 1 : halfNormal(s, priors.seasonSpread))));
  const sdWeights = normalise(betweenSds.map((sd) => halfNormal(sd, priors.needBetweenSdLog)));
  const centreWeights = normalise(
    Array.from(logNeeds, (log) => (priors.flat ? 1 : halfNormal(log - Math.log(needSeedsPerM2), centreSd))),
  );
  const states: { spread: number; prior: number; about: Float64Array }[] = [];
  betweenSds.forEach((sd, b) => {
    logNeeds.forEach((centre, c) => {
      const about = Float64Array.from(normalise(Array.from(logNeeds, (log) => halfNormal(log - centre, sd))));
      spreads.forEach((_, spread) => {
        states.push({ spread, about, prior: sdWeights[b]! * centreWeights[c]! * spreadWeights[spread]! });
      });
    });
  });
  const fits = marginals.map(({ byNeed, noResponse }) =>
    Float64Array.from(states, ({ spread, about }) => {
      let sum = 0;
      for (let j = 0; j < needs; j++) sum += byNeed[spread * needs + j]! * about[j]!;
      return Math.log(sum * (1 - priors.noResponseChance) + noResponse * priors.noResponseChance);
    }),
  );
  const mixture = (logWeights: Float64Array): Float64Array => {
    const most = logWeights.reduce((a, b) => Math.max(a, b), -Infinity);
    const prior = new Float64Array(spreads.length * needs);
    let total = 0;
    states.forEach(({ spread, about }, i) => {
      const weight = Math.exp(logWeights[i]! - most);
      if (weight < 1e-9) return;
      total += weight;
      for (let j = 0; j < needs; j++) prior[spread * needs + j]! += weight * about[j]!;
    });
    return prior.map((value) => value / total);
  };
  const logPrior = Float64Array.from(states, ({ prior }) => Math.log(prior));
  return {
    alone: mixture(logPrior),
    leaned: marginals.map((_, v) =>
      mixture(logPrior.map((log, i) => fits.reduce((sum, fit, w) => (w === v ? sum : sum + fit[i]!), log))),
    ),
  };
}

const halfNormal = (x: number, sd: number): number => Math.exp(-0.5 * (x / sd) ** 2);

function normalise(weights: readonly number[]): number[] {
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  return weights.map((weight) => weight / total);
}
