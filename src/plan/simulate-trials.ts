/**
 * What a trial is expected to find, by trying it on the believable curves: preposterior analysis.
 *
 * Each simulated trial takes one curve for the truth and one kind of season, draws the means of its rates, and weighs
 * all curves again by how well they explain them. The curves are the whole belief, so only the draws are approximate.
 * All designs of a variety meet the same truths and the same errors, so their differences need far fewer draws. This is
 * the expected value of sample information, after Raiffa and Schlaifer (1960s); the reference check works one by hand:
 * test/reference/optimal-designs/value-of-information.test.ts.
 */
import { drawNormal, shuffle, type Random } from "../maths/random.ts";
import { indexOfLargest, intervalInOrder, sortOrder } from "../maths/weighted-quantiles.ts";
import type { TrialFinds } from "../vocabulary/strip-plan.ts";
import { bestRates, expectedNet, type Outlook } from "./outlook.ts";

/** Chance from which a gain counts as seen. */
const sureness = 0.8;
/** Level of the interval whose width is shown. */
export const narrowingLevel = 0.8;
/** If curves with the asked gain have less weight than this, the chance to see it is not given. */
const rarest = 0.02;

/** A curve whose log likelihood is this far below the best has no weight left (e⁻⁴⁰). */
const hopeless = -40;

/** Truths, seasons and errors for simulated trials. */
export interface TrialDraws {
  curves: Uint32Array;
  seasons: Uint32Array;
  /** Standard normal, trials × longest. */
  errors: Float64Array;
  longest: number;
}

/**
 * Draws for `trials` simulated trials: truths spread over the weights by systematic sampling.
 *
 * @param longest most rates that a trial will have
 */
export function drawTrials(
  weights: Float64Array,
  seasonWeights: Float64Array,
  trials: number,
  longest: number,
  draw: Random,
): TrialDraws {
  return {
    curves: Uint32Array.from(shuffle(systematicSample(weights, trials, draw), draw)),
    seasons: Uint32Array.from(shuffle(systematicSample(seasonWeights, trials, draw), draw)),
    errors: Float64Array.from({ length: trials * longest }, () => drawNormal(draw)),
    longest,
  };
}

/** `count` indexes, each as often as its weight says to within one (systematic sampling; common practice, no source). */
export function systematicSample(weights: Float64Array, count: number, draw: Random): number[] {
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const picks: number[] = [];
  let index = 0;
  let sum = weights[0]!;
  for (let i = 0, start = draw(); i < count; i++) {
    const wanted = ((i + start) / count) * total;
    while (sum <= wanted && index < weights.length - 1) sum += weights[++index]!;
    picks.push(index);
  }
  return picks;
}

/** What all simulated trials of one variety share. */
export interface TrialBench {
  outlook: Outlook;
  /** Index of today's rate. */
  now: number;
  bestRate: Float64Array;
  order: Uint32Array;
  /** Index of the rate that earns most as known now. */
  bestNow: number;
  intervalNow: [number, number];
  valueOfKnowingAllPerHa: number;
  chanceOfGain: number;
  /** Chance that the rate that earns most as known now beats today's. */
  chanceToBeatNow: number;
  /**
   * Draws for searching rates, and separate draws for judging the found ones, so that luck does not look like merit.
   */
  search: TrialDraws;
  general: TrialDraws;
  /** Trials where some rate truly beats today's by the asked gain; null where that is too rare. */
  withGain: TrialDraws | null;
}

/**
 * Draws of truths and errors for trials of one variety, made once so that every design meets the same ones.
 *
 * @param now         index of today's rate in the outlook
 * @param gainPerHa   gain over today's rate that is worth finding [money/ha]
 * @param trials      how many are drawn for each purpose, and the most rates that one may have
 */
export function setUpBench(
  outlook: Outlook,
  now: number,
  gainPerHa: number,
  trials: { search: number; general: number; withGain: number; longest: number },
  draw: Random,
): TrialBench {
  const rates = outlook.ratesSeedsPerM2.length;
  const bestRate = bestRates(outlook);
  const order = sortOrder(bestRate);
  const net = expectedNet(outlook);
  const bestNow = indexOfLargest(net, ...outlook.tested);
  const gaining = new Float64Array(outlook.weights.length);
  let knowing = 0;
  for (const [k, weight] of outlook.weights.entries()) {
    const row = outlook.netPerHa.subarray(k * rates, (k + 1) * rates);
    const most = row[indexOfLargest(row)]!;
    knowing += weight * (most - row[bestNow]!);
    if (most - row[now]! >= gainPerHa) gaining[k] = weight;
  }
  const { lower, upper } = intervalInOrder(bestRate, order, outlook.weights, narrowingLevel);
  const chanceOfGain = gaining.reduce((sum, weight) => sum + weight, 0);
  const { seasonWeights } = outlook;
  return {
    outlook,
    now,
    chanceToBeatNow: chanceToBeat(outlook, bestNow, now, outlook.weights),
    bestRate,
    order,
    bestNow,
    intervalNow: [lower, upper],
    valueOfKnowingAllPerHa: knowing,
    chanceOfGain,
    search: drawTrials(outlook.weights, seasonWeights, trials.search, trials.longest, draw),
    general: drawTrials(outlook.weights, seasonWeights, trials.general, trials.longest, draw),
    withGain:
      chanceOfGain < rarest
        ? null
        : drawTrials(gaining, seasonWeights, trials.withGain, trials.longest, draw),
  };
}

/** A design on the bench: its rates as indexes in the outlook, one a strip of a block, and what its errors are. */
export interface TriedDesign {
  at: readonly number[];
  blocks: number;
  /** Sd of a strip among those it is compared with, in this layout [kg/ha]. */
  errorSdKgPerHa: number;
}

/**
 * What a trial is expected to find.
 *
 * @param part share of the bench's draws to use: fewer for a rough look
 */
export function simulateTrials(bench: TrialBench, design: TriedDesign, part = 1): TrialFinds {
  const { outlook, bestNow } = bench;
  const trials = Math.ceil(part * bench.general.curves.length);
  const gains = Math.ceil(part * (bench.withGain?.curves.length ?? 0));
  const net = new Float64Array(outlook.ratesSeedsPerM2.length);
  const [from, to] = testedWith(outlook.tested, design.at);
  let [value, squares, width, seen] = [0, 0, 0, 0];
  runTrials(bench, design, bench.general, trials, (posterior) => {
    expectedNet(outlook, posterior, net);
    const gained = net[indexOfLargest(net, from, to)]! - net[bestNow]!;
    value += gained;
    squares += gained * gained;
    width += widthOf(bench, posterior);
  });
  if (bench.withGain !== null) {
    runTrials(bench, design, bench.withGain, gains, (posterior) => {
      expectedNet(outlook, posterior, net);
      if (chanceToBeat(outlook, indexOfLargest(net, from, to), bench.now, posterior) >= sureness) seen++;
    });
  }
  const mean = value / trials;
  return {
    intervalWidthSeedsPerM2: width / trials,
    valuePerHa: mean,
    valueStandardErrorPerHa: Math.sqrt(Math.max(0, squares / trials - mean * mean) / trials),
    chanceToSeeGain: bench.withGain === null ? null : seen / gains,
  };
}

/** Expected width of the interval of the economic optimum alone [seeds/m²], by the draws for searching. */
export function expectedWidth(bench: TrialBench, design: TriedDesign): number {
  let width = 0;
  runTrials(bench, design, bench.search, bench.search.curves.length, (posterior) => {
    width += widthOf(bench, posterior);
  });
  return width / bench.search.curves.length;
}

function widthOf({ bestRate, order }: TrialBench, posterior: Float64Array): number {
  const { lower, upper } = intervalInOrder(bestRate, order, posterior, narrowingLevel);
  return upper - lower;
}

/** The rates that may be chosen after the trial, with its rates tested too. */
const testedWith = ([from, to]: [number, number], at: readonly number[]): [number, number] => [
  Math.min(from, ...at),
  Math.max(to, ...at),
];

/** Chance that one rate earns more than another, both by index. */
function chanceToBeat(outlook: Outlook, rate: number, other: number, weights: Float64Array): number {
  const count = outlook.ratesSeedsPerM2.length;
  let chance = 0;
  for (let k = 0; k < weights.length; k++) {
    if (outlook.netPerHa[k * count + rate]! > outlook.netPerHa[k * count + other]!) chance += weights[k]!;
  }
  return chance;
}

/** Yield of each curve and kind of season at the trial's rates, less its mean over them: the level is not known. */
function centredCurves(outlook: Outlook, at: readonly number[]): Float64Array {
  const rates = outlook.ratesSeedsPerM2.length;
  const count = outlook.weights.length * outlook.seasonWeights.length;
  const centred = new Float64Array(count * at.length);
  for (let c = 0; c < count; c++) {
    let mean = 0;
    for (const g of at) mean += outlook.yieldKgPerHa[c * rates + g]! / at.length;
    for (let j = 0; j < at.length; j++)
      centred[c * at.length + j] = outlook.yieldKgPerHa[c * rates + at[j]!]! - mean;
  }
  return centred;
}

/** Simulates trials one after another and yields the curves' weights after each; valid until the next. */
function runTrials(
  { outlook }: TrialBench,
  { at, blocks, errorSdKgPerHa }: TriedDesign,
  draws: TrialDraws,
  trials: number,
  take: (posterior: Float64Array) => void,
): void {
  const rates = at.length;
  const kinds = outlook.seasonWeights.length;
  const meanSd = errorSdKgPerHa / Math.sqrt(blocks);
  const scale = -0.5 / (meanSd * meanSd);
  const curves = centredCurves(outlook, at);
  const posterior = new Float64Array(outlook.weights.length);
  const fits = new Float64Array(posterior.length * kinds);
  const shown = new Float64Array(rates);
  for (let trial = 0; trial < trials; trial++) {
    const truth = (draws.curves[trial]! * kinds + draws.seasons[trial]!) * rates;
    const errors = draws.errors.subarray(trial * draws.longest, trial * draws.longest + rates);
    // The errors' own mean can stay: it adds the same to every centred curve.
    for (let j = 0; j < rates; j++) shown[j] = curves[truth + j]! + meanSd * errors[j]!;
    let best = -Infinity;
    for (let c = 0; c < fits.length; c++) {
      let squares = 0;
      for (let j = 0; j < rates; j++) {
        const miss = shown[j]! - curves[c * rates + j]!;
        squares += miss * miss;
      }
      fits[c] = scale * squares;
      if (fits[c]! > best) best = fits[c]!;
    }
    let total = 0;
    for (let k = 0; k < posterior.length; k++) {
      let likelihood = 0;
      for (let s = 0; s < kinds; s++) {
        const behind = fits[k * kinds + s]! - best;
        if (behind > hopeless) likelihood += outlook.seasonWeights[s]! * Math.exp(behind);
      }
      posterior[k] = outlook.weights[k]! * likelihood;
      total += posterior[k]!;
    }
    for (let k = 0; k < posterior.length; k++) posterior[k]! /= total;
    take(posterior);
  }
}
