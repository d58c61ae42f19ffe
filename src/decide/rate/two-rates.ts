/**
 * Strips at two rates, side by side: what one rate earned over the other, paired within site-years.
 *
 * Two rates show no curve, and nothing between or beyond them. They do show which of the two did better: each site-year
 * gives one difference, and the differences are a sample of the seasons to come. How far they scatter contains what the
 * strips scatter by themselves; where it comes out smaller than that by luck, the scatter between blocks counts.
 */
import { tCdf } from "../../maths/distributions.ts";
import type { FittedVariety, RateCell, TwoRates } from "../../vocabulary/result.ts";
import type { Settings } from "../../vocabulary/settings.ts";
import { seedCostPerHa } from "./seed-cost.ts";

export interface PairedDifference {
  count: number;
  mean: number;
  /** Of the mean; null with one difference. */
  standardError: number | null;
}

/**
 * Mean of paired differences with its standard error, for t with count − 1 df.
 *
 * @param differences one or more
 * Source: Student (1908), Biometrika 6:1. Reference check: test/unit/decide/rate/two-rates.test.ts.
 */
export function meanDifference(differences: readonly number[]): PairedDifference {
  const count = differences.length;
  const mean = differences.reduce((sum, one) => sum + one, 0) / count;
  const squares = differences.reduce((sum, one) => sum + (one - mean) ** 2, 0);
  return { count, mean, standardError: count > 1 ? Math.sqrt(squares / (count - 1) / count) : null };
}

/** Before anything is withheld. */
export type ComparedRates = TwoRates & { gainPerHa: number };

/**
 * The higher rate against the lower; null unless exactly two rates were tested, at least once side by side.
 *
 * Blocks that hold both rates are compared if there are any, otherwise the means of the site-year.
 *
 * @param fits  of one variety
 */
export function compareTwoRates(
  fits: readonly Pick<FittedVariety, "cells">[],
  seedPricePerThousand: number,
  { grainPricePerKg }: Pick<Settings, "grainPricePerKg">,
): ComparedRates | null {
  const two = onlyTwoRates(fits);
  if (two === null) return null;
  const [lower, higher] = two;
  const compared = fits.flatMap(({ cells }) => differenceOf(cells, lower, higher) ?? []);
  if (compared.length === 0) return null;
  const differences = compared.map((one) => one.mean);
  const { count, mean, standardError: between } = meanDifference(differences);
  const standardError = between === null ? null : Math.max(between, errorOfBlocks(compared));
  const seedPerHa = seedCostPerHa(higher - lower, seedPricePerThousand);
  const gainPerHa = mean * grainPricePerKg - seedPerHa;
  const error = standardError === null ? null : standardError * grainPricePerKg;
  return {
    lowerSeedsPerM2: lower,
    higherSeedsPerM2: higher,
    environments: count,
    environmentsHigherYieldedMore: differences.filter((one) => one > 0).length,
    differenceKgPerHa: mean,
    standardErrorKgPerHa: standardError,
    gainPerHa,
    chanceHigherPays:
      error === null ? null : error === 0 ? Number(gainPerHa > 0) : tCdf(gainPerHa / error, count - 1),
  };
}

/** The two rates tested, the lower one first; null where there are more, or fewer. */
function onlyTwoRates(fits: readonly Pick<FittedVariety, "cells">[]): [number, number] | null {
  const rates = new Set<number>();
  for (const { cells } of fits)
    for (const { rateSeedsPerM2 } of cells) if (rates.add(rateSeedsPerM2).size > 2) return null;
  const [one, other] = rates;
  return one === undefined || other === undefined ? null : [Math.min(one, other), Math.max(one, other)];
}

/** The difference of a site-year, with what it rests on. */
interface SiteYearDifference {
  mean: number;
  /** Differences in blocks; 0 where no block holds both rates. */
  blocks: number;
  /** Sum of squares of these about their mean. */
  squares: number;
}

function differenceOf(cells: readonly RateCell[], lower: number, higher: number): SiteYearDifference | null {
  const at = (rate: number): RateCell[] => cells.filter((cell) => cell.rateSeedsPerM2 === rate);
  const [low, high] = [at(lower), at(higher)];
  const inBlocks = high.flatMap((cell) => {
    const beside = low.find(({ block }) => block === cell.block);
    return beside === undefined ? [] : [cell.meanYieldKgPerHa - beside.meanYieldKgPerHa];
  });
  if (inBlocks.length > 0) {
    const { count, mean } = meanDifference(inBlocks);
    return { mean, blocks: count, squares: inBlocks.reduce((sum, one) => sum + (one - mean) ** 2, 0) };
  }
  return low.length === 0 || high.length === 0
    ? null
    : { mean: meanOf(high) - meanOf(low), blocks: 0, squares: 0 };
}

/** Standard error that the mean of the site-years has by the scatter between blocks alone; 0 where no block is repeated. */
function errorOfBlocks(compared: readonly SiteYearDifference[]): number {
  const inBlocks = compared.filter(({ blocks }) => blocks > 0);
  const df = inBlocks.reduce((sum, { blocks }) => sum + blocks - 1, 0);
  if (df === 0) return 0;
  const variance = inBlocks.reduce((sum, { squares }) => sum + squares, 0) / df;
  return Math.sqrt(inBlocks.reduce((sum, { blocks }) => sum + variance / blocks, 0)) / compared.length;
}

const meanOf = (cells: readonly RateCell[]): number =>
  cells.reduce((sum, cell) => sum + cell.strips * cell.meanYieldKgPerHa, 0) /
  cells.reduce((sum, cell) => sum + cell.strips, 0);
