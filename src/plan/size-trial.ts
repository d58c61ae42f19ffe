/** How many blocks and rates: every sensible size of trial, what it would find and cost, and which one to plant. */
import { mean } from "simple-statistics";
import { leastSignificantDifference } from "../model/seasons/least-significant-difference.ts";
import type { Settings } from "../vocabulary/settings.ts";
import type { LayoutKind, PairTest, PlanOption, PlanRequest } from "../vocabulary/strip-plan.ts";
import { askedRates, plainRates, type Candidate } from "./candidate.ts";
import { blocksThatFit, stripLength, type StripRoom } from "./lay-out-strips.ts";
import { expectedNet } from "./outlook.ts";
import { pairPower } from "./power.ts";
import { weighStrips } from "./strips-pay.ts";
import { simulateTrials } from "./simulate-trials.ts";

/** Share of its simulated trials that a variety compares the sizes of a trial by, where varieties are few. */
const roughPart = 0.4;
/**
 * With more varieties than this, each gets fewer trials: sizes are compared by a mean or an area sum over varieties,
 * for which this many full shares are enough.
 */
const fullShares = 12;

/** 4 blocks are what on-farm guides ask for (PNW STEEP 1994); 5 rates determine a curve and allow a check of its form (algebra: a quadratic takes up 3). */
export const usualSize = { blocks: 4, rates: 5 };
const blockCounts = [2, 3, 4, 5, 6, 7, 8];
export const rateCounts: readonly [number, ...number[]] = [3, 4, 5, 6, 7];
/**
 * Less than this is proposed only if no more fits. With two blocks one spoilt strip leaves nothing to compare; three
 * rates fit a quadratic without a check on it (algebra: it has three terms).
 */
export const fewest = { blocks: 3, rates: 4 };

/**
 * Every size of trial between the smallest and the largest sensible one, with what it would find and cost.
 *
 * Rates are evenly spaced here: which rates they are matters far less than how many strips there are.
 */
export function weighOptions(
  request: PlanRequest,
  room: StripRoom,
  planted: readonly Candidate[],
  settings: Settings,
): PlanOption[] {
  const asked = askedRates(request);
  const blocksToTry = [...new Set([...blockCounts, ...(request.blocks === null ? [] : [request.blocks])])];
  const options: PlanOption[] = [];
  for (const count of asked === null ? rateCounts : [asked]) {
    const rates = planted.map((candidate) => plainRates(request, candidate, count));
    if (!rates.every((at) => at !== null)) continue;
    for (const blocks of blocksToTry.sort((a, b) => a - b)) {
      options.push(weighOption(request, room, planted, rates, blocks, settings));
    }
  }
  return options;
}

function weighOption(
  request: PlanRequest,
  room: StripRoom,
  planted: readonly Candidate[],
  rates: readonly number[][],
  blocks: number,
  settings: Settings,
): PlanOption {
  const ratesPerVariety = rates[0]!.length;
  const stripsInBlock = planted.length * ratesPerVariety;
  const stripLengthM = stripLength(request.ground, room, stripsInBlock, blocks);
  const stripAreaHa = (Math.max(request.ground.shortestStripM, stripLengthM) * room.stripWidthM) / 10_000;
  const parts = roughParts(planted);
  const finds = planted.map(({ known, bench, errorSdKgPerHa }, variety) => {
    const at = rates[variety]!;
    const net = expectedNet(bench.outlook);
    const lostPerHa = at.reduce((sum, g) => sum + net[bench.bestNow]! - net[g]!, 0);
    return {
      ...simulateTrials(bench, { at, blocks, errorSdKgPerHa }, parts[variety]),
      areaHa: known.lot?.areaHa ?? null,
      lost: lostPerHa * blocks * stripAreaHa,
    };
  });
  const strips = stripsInBlock * blocks;
  const seen = finds.map((found) => found.chanceToSeeGain).filter((chance) => chance !== null);
  const areasKnown = finds.every((found) => found.areaHa !== null);
  const worthAndCost = (): Pick<PlanOption, "value" | "cost" | "pays"> => {
    const cost = strips * request.costPerStrip + finds.reduce((sum, found) => sum + found.lost, 0);
    const areaHa = areasKnown ? finds.reduce((sum, found) => sum + found.areaHa!, 0) : null;
    const worth = finds.reduce((sum, found) => sum + found.valuePerHa * (found.areaHa ?? 1), 0);
    const perHa = areaHa === null ? worth : worth / areaHa;
    return { cost, ...weighStrips(perHa, areaHa, cost, request.seasonsUsed) };
  };
  return {
    blocks,
    ratesPerVariety,
    strips,
    fits: blocksThatFit(room, stripsInBlock) >= blocks,
    intervalWidthSeedsPerM2: mean(finds.map((found) => found.intervalWidthSeedsPerM2)),
    chanceToSeeGain: seen.length === 0 ? null : mean(seen),
    valuePerHa: mean(finds.map((found) => found.valuePerHa)),
    ...worthAndCost(),
    test: testPairs(request, planted, settings, blocks, ratesPerVariety),
  };
}

/** Share of the simulated trials that each variety is given: the more, the more of the area is its own. */
export function roughParts(planted: readonly Candidate[]): number[] {
  const areas = planted.map(({ known }) => known.lot?.areaHa ?? 0);
  const total = areas.reduce((sum, area) => sum + area, 0);
  return areas.map((area) => {
    const share = Math.max(1 / planted.length, total > 0 ? area / total : 0);
    return roughPart * Math.min(1, fullShares * share);
  });
}

/** Two rate means of one variety in this trial alone, in the layout's analysis of variance. */
function testPairs(
  request: PlanRequest,
  planted: readonly Candidate[],
  settings: Settings,
  blocks: number,
  rates: number,
): PairTest {
  const variance = planted.reduce((sum, { errorSdKgPerHa: sd }) => sum + sd * sd, 0) / planted.length;
  const errorSdKgPerHa = Math.sqrt(variance);
  const errorDf = errorDegreesOfFreedom(request.layout, planted.length, rates, blocks);
  const lsdKgPerHa =
    errorDf < 1 ? null : leastSignificantDifference((2 * variance) / blocks, errorDf, settings.testLevel);
  const asked = request.gainPerHa / settings.grainPricePerKg;
  return {
    errorSdKgPerHa,
    errorDf,
    lsdKgPerHa,
    lsdPerHa: lsdKgPerHa === null ? null : lsdKgPerHa * settings.grainPricePerKg,
    power: pairPower(asked, errorSdKgPerHa, blocks, errorDf, settings.testLevel),
  };
}

/** Error degrees of freedom for rates: randomized blocks, split plot with rates inside, split plot with rates outside. */
export function errorDegreesOfFreedom(
  layout: LayoutKind,
  varieties: number,
  rates: number,
  blocks: number,
): number {
  switch (layout) {
    case "blocks":
      return (blocks - 1) * (varieties * rates - 1);
    case "varieties-in-strips":
      return varieties * (blocks - 1) * (rates - 1);
    case "rates-in-strips":
      return (blocks - 1) * (rates - 1);
  }
}

/**
 * The size to plant: what was asked for, otherwise the one with the most value above its cost.
 *
 * Without areas there is no total to compare with the cost; then the usual size, or if that does not fit, the one with
 * most value per hectare within the strips allowed.
 */
export function chooseOption(
  request: PlanRequest,
  options: readonly PlanOption[],
  varieties: number,
): PlanOption | null {
  const asked = request.blocks !== null && askedRates(request) !== null;
  const usual = usualSize.blocks * usualSize.rates * varieties;
  const most = request.mostStrips ?? (asked ? Infinity : usual);
  const allowed = options.filter(
    (option) =>
      option.strips <= most &&
      (asked || option.fits) &&
      (request.blocks === null || option.blocks === request.blocks),
  );
  const enough = allowed.filter(
    (option) => option.blocks >= fewest.blocks && option.ratesPerVariety >= fewest.rates,
  );
  const isUsual = (option: PlanOption): boolean =>
    option.blocks === usualSize.blocks && option.ratesPerVariety === usualSize.rates;
  const worth = (option: PlanOption): number =>
    option.value !== null
      ? option.value - option.cost
      : request.mostStrips === null && isUsual(option)
        ? Infinity
        : option.valuePerHa;
  return (enough.length > 0 ? enough : allowed).reduce<PlanOption | null>(
    (best, option) => (best === null || worth(option) > worth(best) ? option : best),
    null,
  );
}
