/** What the strips of one variety in one environment say about the shape of its curve, as a few sums. */
import { fieldOf } from "../../vocabulary/environments.ts";
import { groupBy } from "../../maths/group-by.ts";
import { withFewerRates, type PlacedCell } from "./fewer-rates.ts";

/** Cells of one variety and environment, as `fits` holds them. */
export interface CellsOfVariety {
  variety: string;
  environment: string;
  season: number;
  ground?: string;
  cells: readonly PlacedCell[];
  /** Sum of squares of the strips around the means of their cells. */
  withinCellSs: number;
}

/**
 * Sums with the level of each block removed, yields as shares of the mean yield.
 *
 * For a curve f at the rates, the residual sum of squares is total − 2 Σ cross·f + Σ Σ f·weight·f.
 */
export interface RateEvidence {
  variety: string;
  environment: string;
  /** What names the environment besides its season. */
  field: string;
  season: number;
  meanYieldKgPerHa: number;
  strips: number;
  /** Distinct rates, ascending, length K. */
  rates: Float64Array;
  /** Strips at each of them, length K. */
  counts: Float64Array;
  /** K × K. */
  weight: Float64Array;
  cross: Float64Array;
  total: number;
  /** Strips less blocks. */
  degrees: number;
  /** The same sums with the positions across the field; null where one is not known. */
  across: AcrossField | null;
}

/** Positions with the mean of each block removed, summed over strips. */
export interface AcrossField {
  /** With each rate, length K. */
  withRates: Float64Array;
  withYields: number;
  square: number;
}

/**
 * The sums of one variety in one environment.
 *
 * If no block has two rates of the variety, blocks distinguish nothing and the environment counts as one block.
 *
 * @returns null with fewer than two rates
 */
export function rateEvidence({
  variety,
  environment,
  season,
  ground,
  cells,
  withinCellSs,
}: CellsOfVariety): RateEvidence | null {
  const rates = Float64Array.from(new Set(cells.map((cell) => cell.rateSeedsPerM2))).sort();
  if (rates.length < 2) return null;
  const strips = cells.reduce((sum, cell) => sum + cell.strips, 0);
  const mean = cells.reduce((sum, cell) => sum + cell.strips * cell.meanYieldKgPerHa, 0) / strips;
  if (!(mean > 0)) return null;
  const indexOf = new Map([...rates].map((rate, k) => [rate, k]));
  const blocks = blocksOf(cells);
  const K = rates.length;
  const evidence: RateEvidence = {
    variety,
    environment,
    field: fieldOf({ environment, season, ...(ground === undefined ? {} : { ground }) }),
    season,
    meanYieldKgPerHa: mean,
    strips,
    rates,
    counts: new Float64Array(K),
    weight: new Float64Array(K * K),
    cross: new Float64Array(K),
    total: withinCellSs / (mean * mean),
    degrees: strips - blocks.length,
    across: cells.every(({ position = null }) => position !== null)
      ? { withRates: new Float64Array(K), withYields: 0, square: 0 }
      : null,
  };
  for (const block of blocks) addBlock(evidence, block, indexOf);
  return evidence;
}

/** The sums of every variety and environment that has two rates, of no more than a few hundred different ones. */
export const ratesEvidence = (cells: readonly CellsOfVariety[]): RateEvidence[] =>
  withFewerRates(cells)
    .map(rateEvidence)
    .filter((one) => one !== null);

function blocksOf(cells: readonly PlacedCell[]): PlacedCell[][] {
  const all = groupBy(cells, (cell) => cell.block).map(([, block]) => block);
  const differs = all.some(([first, ...others]) =>
    others.some((cell) => cell.rateSeedsPerM2 !== first.rateSeedsPerM2),
  );
  return differs ? all : [all.flat()];
}

function addBlock(evidence: RateEvidence, block: PlacedCell[], indexOf: Map<number, number>): void {
  const { counts, weight, cross, across, meanYieldKgPerHa: mean } = evidence;
  const K = counts.length;
  const strips = block.reduce((sum, cell) => sum + cell.strips, 0);
  const level =
    block.reduce((sum, cell) => sum + cell.strips * (cell.meanYieldKgPerHa / mean - 1), 0) / strips;
  const middle = block.reduce((sum, cell) => sum + cell.strips * (cell.position ?? 0), 0) / strips;
  const inBlock = new Float64Array(K);
  for (const cell of block) {
    const k = indexOf.get(cell.rateSeedsPerM2)!;
    const y = cell.meanYieldKgPerHa / mean - 1 - level;
    inBlock[k]! += cell.strips;
    cross[k]! += cell.strips * y;
    evidence.total += cell.strips * y * y;
    if (across === null) continue;
    const x = cell.position! - middle;
    across.withRates[k]! += cell.strips * x;
    across.withYields += cell.strips * x * y;
    across.square += cell.strips * x * x;
  }
  for (let k = 0; k < K; k++) {
    counts[k]! += inBlock[k]!;
    weight[k * K + k]! += inBlock[k]!;
    if (inBlock[k] === 0) continue;
    for (let l = 0; l < K; l++) weight[k * K + l]! -= (inBlock[k]! * inBlock[l]!) / strips;
  }
}
