/**
 * Which response curves are believable after the strips, and the yield they lead one to expect.
 *
 * Nothing is drawn at random and no curve wins: every curve of a grid is weighed by how well it explains the strips of
 * all environments, each environment with a season of its own. Prices play no part. The priors are our own choices,
 * stated in `settings.ts`; deciding by expected value over what is believed is Bayes decision theory (Berger 1985,
 * Statistical Decision Theory and Bayesian Analysis, 2nd ed., ch. 4, FROM MEMORY).
 */
import { crops } from "../crops.ts";
import type { BelievableCurve, Belief, MovedPrior } from "../result.ts";
import type { Priors, Settings } from "../settings.ts";
import { curveGrid, type CurveGrid } from "./curve-grid.ts";
import { averageOverSeasons, fall, riseShapes, shoulders } from "./forms/believable-curve.ts";
import { gridLikelihood, normalKernel, type GridLikelihood } from "./grid-likelihood.ts";
import { leanVarieties } from "./lean-varieties.ts";
import { rateEvidence, type CellsOfVariety, type RateEvidence } from "./rate-evidence.ts";
import { errorBeliefs, usualErrorShare } from "./strip-error.ts";

/** Rates at which expected curves are tabulated, and curves that stand for the grid. */
const tabulated = 121;
const curvesKept = 300;
/** Yields of the tested rates that differ by no more than this share of the mean are no response. */
const levelWithin = 0.01;
/** How far the prior need is moved to show what it matters. */
const movedNeed = 0.8;

/**
 * What is believed of each variety, sorted by variety.
 *
 * @param cells  one entry per variety and environment, as in `fits`
 */
export function believeCurves(cells: readonly CellsOfVariety[], settings: Settings): Belief[] {
  const evidence = cells.map(rateEvidence).filter((one) => one !== null);
  const varieties = [...new Set(evidence.map((one) => one.variety))].sort();
  if (varieties.length === 0) return [];
  const { priors } = settings;
  const errors = errorBeliefs(evidence);
  const needs = priorNeed(evidence, settings);
  const grid = curveGrid(priors, needs.around);
  const own = varieties.map((variety) => evidence.flatMap((one, i) => (one.variety === variety ? [i] : [])));
  const likelihoods = own.map((at) =>
    gridLikelihood(
      at.map((i) => evidence[i]!),
      at.map((i) => errors[i]!),
      grid,
    ),
  );
  const weigh = (changed: Priors, need: number): { alone: Posterior[]; leaned: Posterior[] } => {
    const marginals = likelihoods.map((one) => marginalOf(one, grid, changed));
    const { alone, leaned } = leanVarieties(marginals, grid, changed, need);
    return {
      alone: likelihoods.map((one) => posterior(one, grid, changed, alone)),
      leaned: likelihoods.map((one, v) => posterior(one, grid, changed, leaned[v]!)),
    };
  };
  const { alone, leaned } = weigh(priors, needs.prior);
  const moved: { prior: MovedPrior["prior"]; posteriors: Posterior[] }[] = [
    { prior: "flat", posteriors: weigh({ ...priors, flat: true }, needs.prior).leaned },
    { prior: "alone", posteriors: alone },
    { prior: "need-lower", posteriors: weigh(priors, needs.prior * movedNeed).leaned },
    { prior: "need-higher", posteriors: weigh(priors, needs.prior / movedNeed).leaned },
  ];
  const errorShare = usualErrorShare(evidence);
  return varieties.map((variety, v) => {
    const mine = own[v]!.map((i) => evidence[i]!);
    const table = rateTable(mine);
    const expect = (belief: Posterior): number[] =>
      throughMean(expectedShares(belief, grid, table.rates), table);
    const curves = pickCurves(leaned[v]!, grid);
    return {
      variety,
      meanYieldKgPerHa: table.meanYield,
      testedSeedsPerM2: [table.rates[0]!, table.rates[table.rates.length - 1]!],
      testedRates: table.strips.length,
      environments: mine.length,
      strips: mine.reduce((sum, one) => sum + one.strips, 0),
      priorNeedSeedsPerM2: needs.prior,
      errorShare,
      ratesSeedsPerM2: table.rates,
      expectedKgPerHa: expect(leaned[v]!),
      movedPriors: moved.map(({ prior, posteriors }) => ({ prior, expectedKgPerHa: expect(posteriors[v]!) })),
      curves,
      stripsAtRates: table.strips,
      noResponseChance: chanceOfLevel(curves, table),
      leaning: movedBy(alone[v]!, leaned[v]!, grid),
    };
  });
}

/** Where the need is first looked for: the setting, else midway between the crop's usual rate and the middle of those tested. */
function priorNeed(
  evidence: readonly RateEvidence[],
  settings: Settings,
): { prior: number; around: [number, number] } {
  const lowest = Math.min(...evidence.map((one) => one.rates[0]!));
  const highest = Math.max(...evidence.map((one) => one.rates[one.rates.length - 1]!));
  const middle = Math.sqrt(lowest * highest);
  const prior = settings.priors.needSeedsPerM2 ?? Math.sqrt(crops[settings.crop].usualSeedsPerM2 * middle);
  return { prior, around: [Math.min(prior, middle), Math.max(prior, middle)] };
}

/** Weights of one variety's cells, summing with `noResponse` to 1: [kept ray][spread][need]. */
interface Posterior {
  rays: Int32Array;
  weights: Float64Array;
  noResponse: number;
}

const rayPrior = (grid: CurveGrid, ray: number, priors: Priors): number =>
  Math.exp(priors.flat ? grid.rays[ray]!.logFlatPrior : grid.rays[ray]!.logPrior);

function marginalOf(
  { rays, likelihood, noResponse }: GridLikelihood,
  grid: CurveGrid,
  priors: Priors,
): { byNeed: Float64Array; noResponse: number } {
  const block = grid.spreads.length * grid.logNeeds.length;
  const byNeed = new Float64Array(block);
  rays.forEach((ray, i) => {
    const prior = rayPrior(grid, ray, priors);
    for (let c = 0; c < block; c++) byNeed[c]! += prior * likelihood[i * block + c]!;
  });
  return { byNeed, noResponse };
}

function posterior(
  { rays, likelihood, noResponse }: GridLikelihood,
  grid: CurveGrid,
  priors: Priors,
  needPrior: Float64Array,
): Posterior {
  const block = needPrior.length;
  const weights = new Float64Array(likelihood.length);
  let total = 0;
  rays.forEach((ray, i) => {
    const prior = rayPrior(grid, ray, priors) * (1 - priors.noResponseChance);
    for (let c = 0; c < block; c++) {
      const weight = prior * needPrior[c]! * likelihood[i * block + c]!;
      weights[i * block + c] = weight;
      total += weight;
    }
  });
  const none = priors.noResponseChance * noResponse;
  total += none;
  for (let c = 0; c < weights.length; c++) weights[c]! /= total;
  return { rays, weights, noResponse: none / total };
}

/** The expected curve as shares of the mean yield: the weights gathered by shape and need, spread over coming seasons. */
function expectedShares(
  { rays, weights }: Posterior,
  grid: CurveGrid,
  rates: readonly number[],
): Float64Array {
  const needs = grid.logNeeds.length;
  const kernels = grid.spreads.map((spread) => normalKernel(spread, grid.needStep));
  const pad = Math.max(...kernels.map((kernel) => kernel.length - 1));
  const length = needs + 2 * pad;
  const risen = riseShapes.map(() => new Float64Array(length));
  const fallen = shoulders.map(() => new Float64Array(length));
  rays.forEach((ray, i) => {
    const { shape, loss, decline, shoulder } = grid.rays[ray]!;
    const down = decline === 0 ? null : fallen[shoulders.indexOf(shoulder)]!;
    kernels.forEach((kernel, t) => {
      for (let j = 0; j < needs; j++) {
        const weight = weights[(i * kernels.length + t) * needs + j]!;
        if (weight < 1e-12) continue;
        for (let d = 1 - kernel.length; d < kernel.length; d++) {
          const share = weight * kernel[Math.abs(d)]!;
          risen[shape]![pad + j + d]! += share * loss;
          if (down !== null) down[pad + j + d]! += share * decline;
        }
      }
    });
  });
  const expected = new Float64Array(rates.length);
  for (let c = 0; c < length; c++) {
    const need = Math.exp(grid.logNeeds[0]! + (c - pad) * grid.needStep);
    for (let x = 0; x < rates.length; x++) {
      const u = rates[x]! / need;
      let sum = 0;
      for (let s = 0; s < risen.length; s++)
        if (risen[s]![c] !== 0) sum += risen[s]![c]! * riseShapes[s]!.rise(u);
      for (let h = 0; h < fallen.length; h++)
        if (fallen[h]![c] !== 0) sum += fallen[h]![c]! * fall(u, shoulders[h]!);
      expected[x]! += sum;
    }
  }
  return expected;
}

interface RateTable {
  rates: number[];
  strips: { rateSeedsPerM2: number; strips: number }[];
  meanYield: number;
}

function rateTable(mine: readonly RateEvidence[]): RateTable {
  const counts = new Map<number, number>();
  let [yields, strips] = [0, 0];
  for (const one of mine) {
    one.rates.forEach((rate, k) => counts.set(rate, (counts.get(rate) ?? 0) + one.counts[k]!));
    yields += one.strips * one.meanYieldKgPerHa;
    strips += one.strips;
  }
  const tested = [...counts.keys()].sort((a, b) => a - b);
  const [lowest, highest] = [tested[0]!, tested[tested.length - 1]!];
  const step = (highest - lowest) / (tabulated - 1);
  return {
    rates: Array.from({ length: tabulated }, (_, i) => (i === tabulated - 1 ? highest : lowest + i * step)),
    strips: tested.map((rate) => ({ rateSeedsPerM2: rate, strips: counts.get(rate)! })),
    meanYield: yields / strips,
  };
}

/** Shares → kg/ha, so that the mean over the strips is their mean yield. */
function throughMean(shares: Float64Array, { rates, strips, meanYield }: RateTable): number[] {
  const step = rates[1]! - rates[0]!;
  let [sum, count] = [0, 0];
  for (const { rateSeedsPerM2, strips: n } of strips) {
    const at = Math.min((rateSeedsPerM2 - rates[0]!) / step, rates.length - 1.000001);
    const i = Math.floor(at);
    sum += n * (shares[i]! + (at - i) * (shares[i + 1]! - shares[i]!));
    count += n;
  }
  return Array.from(shares, (share) => meanYield * (1 + share - sum / count));
}

/** Weight of the curves that hardly differ between the tested rates. */
function chanceOfLevel(curves: readonly BelievableCurve[], { strips }: RateTable): number {
  const tested = strips.map((one) => one.rateSeedsPerM2);
  return curves.reduce((sum, curve) => {
    const yields = averageOverSeasons(curve, tested);
    return Math.max(...yields) - Math.min(...yields) <= levelWithin ? sum + curve.weight : sum;
  }, 0);
}

/** Curves at even steps of the weights summed along the need: a small stand-in for the whole grid. */
function pickCurves({ rays, weights, noResponse }: Posterior, grid: CurveGrid): BelievableCurve[] {
  const needs = grid.logNeeds.length;
  const spreads = grid.spreads.length;
  const curves: BelievableCurve[] = [];
  let [sum, next] = [noResponse, 0.5];
  const take = (curve: Omit<BelievableCurve, "weight">): void => {
    let times = 0;
    while (next < curvesKept && next < sum * curvesKept) {
      times++;
      next++;
    }
    if (times > 0) curves.push({ weight: times / curvesKept, ...curve });
  };
  const none = { shape: 0, needSeedsPerM2: Math.exp(grid.logNeeds[0]!), loss: 0, decline: 0, shoulder: 0 };
  take({ ...none, seasonSpread: 0 });
  for (let j = 0; j < needs; j++) {
    for (let i = 0; i < rays.length; i++) {
      for (let t = 0; t < spreads; t++) {
        const weight = weights[(i * spreads + t) * needs + j]!;
        if (weight === 0) continue;
        sum += weight;
        if (sum * curvesKept <= next) continue;
        const { shape, loss, decline, shoulder } = grid.rays[rays[i]!]!;
        take({
          ...{ shape, needSeedsPerM2: Math.exp(grid.logNeeds[j]!), loss, decline, shoulder },
          seasonSpread: grid.spreads[t]!,
        });
      }
    }
  }
  const kept = curves.reduce((total, curve) => total + curve.weight, 0);
  return curves.map((curve) => ({ ...curve, weight: curve.weight / kept }));
}

/** Half the sum of absolute differences between two beliefs of the need. */
function movedBy(alone: Posterior, leaned: Posterior, grid: CurveGrid): number {
  const needs = grid.logNeeds.length;
  const byNeed = ({ weights }: Posterior): Float64Array => {
    const sums = new Float64Array(needs);
    for (let c = 0; c < weights.length; c++) sums[c % needs]! += weights[c]!;
    return sums;
  };
  const [a, b] = [byNeed(alone), byNeed(leaned)];
  return a.reduce((sum, value, j) => sum + Math.abs(value - b[j]!) / 2, 0);
}
