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
import { leanVarieties, type Leaning } from "./lean-varieties.ts";
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
  const usual = likelihoods.map((one) => gather(one, grid, false));
  const even = likelihoods.map((one) => gather(one, grid, true));
  const weigh = (gathered: readonly Gathered[], flat: boolean, need: number): Leaning =>
    leanVarieties(gathered, grid, { ...priors, flat }, need);
  const chosen = priors.flat ? even : usual;
  const leaning = weigh(chosen, priors.flat, needs.prior);
  const moved: { prior: MovedPrior["prior"]; gathered: Gathered[]; needPriors: Float64Array[] }[] = [
    { prior: "flat", gathered: even, needPriors: weigh(even, true, needs.prior).leaned },
    { prior: "alone", gathered: chosen, needPriors: varieties.map(() => leaning.alone) },
    {
      prior: "need-lower",
      gathered: chosen,
      needPriors: weigh(chosen, priors.flat, needs.prior * movedNeed).leaned,
    },
    {
      prior: "need-higher",
      gathered: chosen,
      needPriors: weigh(chosen, priors.flat, needs.prior / movedNeed).leaned,
    },
  ];
  const errorShare = usualErrorShare(evidence);
  return varieties.map((variety, v) => {
    const mine = own[v]!.map((i) => evidence[i]!);
    const table = rateTable(mine);
    const expect = (gathered: Gathered, needPrior: Float64Array): number[] =>
      throughMean(expectedShares(gathered, needPrior, grid, priors, table.rates), table);
    const curves = pickCurves(likelihoods[v]!, chosen[v]!, leaning.leaned[v]!, grid, priors);
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
      expectedKgPerHa: expect(chosen[v]!, leaning.leaned[v]!),
      movedPriors: moved.map(({ prior, gathered, needPriors }) => ({
        prior,
        expectedKgPerHa: expect(gathered[v]!, needPriors[v]!),
      })),
      curves,
      stripsAtRates: table.strips,
      noResponseChance: chanceOfLevel(curves, table),
      leaning: movedBy(chosen[v]!.byNeed, leaning.alone, leaning.leaned[v]!, grid),
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

/** Sums over the rays of prior × likelihood, [spread][need], before anything is believed of need and spread. */
interface Gathered {
  flat: boolean;
  /** Logarithm of what all sums were divided by. */
  logScale: number;
  byNeed: Float64Array;
  noResponse: number;
  /** The same sums times loss by shape, and times decline by shoulder. */
  losses: Float64Array[];
  declines: Float64Array[];
}

function gather({ rays, logNoResponse }: GridLikelihood, grid: CurveGrid, flat: boolean): Gathered {
  const block = grid.spreads.length * grid.logNeeds.length;
  const logs = rays.map(({ ray, log }) => log + logPriorOf(grid, ray, flat));
  const logScale = logs.reduce((most, log) => Math.max(most, log), logNoResponse);
  const gathered: Gathered = {
    flat,
    logScale,
    byNeed: new Float64Array(block),
    noResponse: Math.exp(logNoResponse - logScale),
    losses: riseShapes.map(() => new Float64Array(block)),
    declines: shoulders.map(() => new Float64Array(block)),
  };
  rays.forEach(({ ray, values }, i) => {
    const factor = Math.exp(logs[i]! - logScale);
    const { shape, loss, decline, shoulder } = grid.rays[ray]!;
    addTimes(gathered.byNeed, values, factor);
    addTimes(gathered.losses[shape]!, values, factor * loss);
    if (decline > 0) addTimes(gathered.declines[shoulders.indexOf(shoulder)]!, values, factor * decline);
  });
  return gathered;
}

const logPriorOf = (grid: CurveGrid, ray: number, flat: boolean): number =>
  flat ? grid.rays[ray]!.logFlatPrior : grid.rays[ray]!.logPrior;

function addTimes(into: Float64Array, values: Float64Array, factor: number): void {
  if (factor === 0) return;
  for (let c = 0; c < into.length; c++) into[c]! += factor * values[c]!;
}

/** All weight there is: of curves that respond, and of none. */
function totalWeight(
  { byNeed, noResponse }: Gathered,
  needPrior: Float64Array,
  priors: Priors,
): { respond: number; none: number; total: number } {
  const respond =
    (1 - priors.noResponseChance) * byNeed.reduce((sum, value, c) => sum + value * needPrior[c]!, 0);
  const none = priors.noResponseChance * noResponse;
  return { respond, none, total: respond + none };
}

/** The expected curve over coming seasons, as shares of the mean yield. */
function expectedShares(
  gathered: Gathered,
  needPrior: Float64Array,
  grid: CurveGrid,
  priors: Priors,
  rates: readonly number[],
): Float64Array {
  const { total } = totalWeight(gathered, needPrior, priors);
  const factor = (1 - priors.noResponseChance) / total;
  const expected = new Float64Array(rates.length);
  const add = (sums: Float64Array, curve: (u: number) => number): void => {
    const weights = sums.map((value, c) => value * needPrior[c]! * factor);
    const coming = spreadOverSeasons(weights, grid);
    coming.weights.forEach((weight, c) => {
      if (weight === 0) return;
      const need = Math.exp(grid.logNeeds[0]! + (coming.first + c) * grid.needStep);
      for (let x = 0; x < rates.length; x++) expected[x]! += weight * curve(rates[x]! / need);
    });
  };
  gathered.losses.forEach((sums, s) => add(sums, riseShapes[s]!.rise));
  gathered.declines.forEach((sums, h) => add(sums, (u) => fall(u, shoulders[h]!)));
  return expected;
}

/** Weights [spread][need] → by need of a coming season, on an axis that starts `first` steps from the grid's. */
function spreadOverSeasons(
  gathered: Float64Array,
  grid: CurveGrid,
): { weights: Float64Array; first: number } {
  const needs = grid.logNeeds.length;
  const kernels = grid.spreads.map((spread) => normalKernel(spread, grid.needStep));
  const pad = Math.max(...kernels.map((kernel) => kernel.length - 1));
  const weights = new Float64Array(needs + 2 * pad);
  kernels.forEach((kernel, t) => {
    for (let j = 0; j < needs; j++) {
      const weight = gathered[t * needs + j]!;
      for (let d = 1 - kernel.length; d < kernel.length; d++)
        weights[pad + j + d]! += weight * kernel[Math.abs(d)]!;
    }
  });
  return { weights, first: -pad };
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
function pickCurves(
  { rays }: GridLikelihood,
  gathered: Gathered,
  needPrior: Float64Array,
  grid: CurveGrid,
  priors: Priors,
): BelievableCurve[] {
  const needs = grid.logNeeds.length;
  const { none, total } = totalWeight(gathered, needPrior, priors);
  const factors = rays.map(
    ({ ray, log }) =>
      ((1 - priors.noResponseChance) / total) *
      Math.exp(log + logPriorOf(grid, ray, gathered.flat) - gathered.logScale),
  );
  const byPlace = new Float64Array(needs * rays.length);
  rays.forEach(({ values }, i) => {
    for (let c = 0; c < values.length; c++)
      byPlace[(c % needs) * rays.length + i]! += factors[i]! * needPrior[c]! * values[c]!;
  });
  const picked: BelievableCurve[] = [];
  let sum = 0;
  const picks = (weight: number): number => {
    const before = Math.round(sum * curvesKept);
    sum += weight;
    return Math.round(sum * curvesKept) - before;
  };
  const level = picks(none / total);
  if (level > 0) picked.push({ weight: level / curvesKept, ...levelCurve(Math.exp(grid.logNeeds[0]!)) });
  byPlace.forEach((placeWeight, place) => {
    if (Math.round((sum + placeWeight) * curvesKept) === Math.round(sum * curvesKept)) {
      sum += placeWeight;
      return;
    }
    const j = Math.floor(place / rays.length);
    const { ray, values } = rays[place % rays.length]!;
    const { shape, loss, decline, shoulder } = grid.rays[ray]!;
    grid.spreads.forEach((seasonSpread, t) => {
      const c = t * needs + j;
      const times = picks(factors[place % rays.length]! * needPrior[c]! * values[c]!);
      if (times === 0) return;
      picked.push({
        weight: times / curvesKept,
        ...{ shape, needSeedsPerM2: Math.exp(grid.logNeeds[j]!), loss, decline, shoulder, seasonSpread },
      });
    });
  });
  const kept = picked.reduce((all, { weight }) => all + weight, 0);
  return picked.map((curve) => ({ ...curve, weight: curve.weight / kept }));
}

const levelCurve = (needSeedsPerM2: number): Omit<BelievableCurve, "weight"> => ({
  ...{ shape: 0, needSeedsPerM2, loss: 0, decline: 0, shoulder: 0, seasonSpread: 0 },
});

/** Half the sum of absolute differences between what is believed of the need alone and after leaning. */
function movedBy(byNeed: Float64Array, alone: Float64Array, leaned: Float64Array, grid: CurveGrid): number {
  const needs = grid.logNeeds.length;
  const ofNeed = (prior: Float64Array): Float64Array => {
    const sums = new Float64Array(needs);
    byNeed.forEach((value, c) => (sums[c % needs]! += value * prior[c]!));
    const total = sums.reduce((a, b) => a + b, 0);
    return sums.map((value) => value / total);
  };
  const [a, b] = [ofNeed(alone), ofNeed(leaned)];
  return a.reduce((sum, value, j) => sum + Math.abs(value - b[j]!) / 2, 0);
}
