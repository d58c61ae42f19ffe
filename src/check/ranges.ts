/**
 * What each quantity of a strip can be, and what it usually is, by crop.
 *
 * Yields: the upper end of `possible` lies above the highest yields ever claimed for the crop in competitions (wheat
 * 17.96 t/ha and barley 16.2, harvest of 2022, grain trade press of January 2023; corn 616 bu/ac in 2019, farm press,
 * about 623 since; soybean about 218; no source for these two), the upper end of
 * `usual` at what the best fields give (common practice). Seeds per kg: wheat 9,000 to 26,374 seeds/lb (Univ. of
 * Georgia Extension 2013; SDSU Extension 2014); the other crops, widened, common practice, no source. Moisture, protein, test weight:
 * common practice. Prices of grain and seed: our choice, wide enough for organic grain, dear hybrids and bad years. Ranges
 * of strips only raise a hand: a doubtful value stays in, an impossible one is left out and listed.
 */
import { crops, type CropName } from "../vocabulary/crops.ts";
import { mostDaysLate } from "../vocabulary/seed-card.ts";

export type Range = readonly [lowest: number, highest: number];

export interface CropRanges {
  yieldKgPerHa: { possible: Range; usual: Range };
  seedsPerKgUsual: Range;
  testWeightKgPerHlUsual: Range;
  proteinPctUsual: Range;
  moisturePctUsual: Range;
  /** Money per kg, in dollars, euros or pounds. */
  grainPerKg: { possible: Range; usual: Range };
  /** The same for seed as bought. */
  seedPerKg: { possible: Range; usual: Range };
}

const cereal = {
  proteinPctUsual: [6, 22],
  moisturePctUsual: [6, 25],
  grainPerKg: { possible: [0.02, 2.5], usual: [0.06, 0.9] },
  seedPerKg: { possible: [0.02, 25], usual: [0.12, 4] },
} as const;

const yields = (possible: number, usual: number): CropRanges["yieldKgPerHa"] => ({
  possible: [0, possible],
  usual: [usual / 25, usual],
});

export const cropRanges: Record<CropName, CropRanges> = {
  wheat: {
    ...cereal,
    yieldKgPerHa: yields(20_000, 14_000),
    seedsPerKgUsual: [19_800, 58_200],
    testWeightKgPerHlUsual: [62, 88],
  },
  durum: {
    ...cereal,
    yieldKgPerHa: yields(20_000, 12_000),
    seedsPerKgUsual: [15_000, 45_000],
    testWeightKgPerHlUsual: [62, 88],
  },
  barley: {
    ...cereal,
    yieldKgPerHa: yields(20_000, 12_000),
    seedsPerKgUsual: [17_500, 48_500],
    testWeightKgPerHlUsual: [48, 80],
  },
  oats: {
    ...cereal,
    yieldKgPerHa: yields(16_000, 10_000),
    seedsPerKgUsual: [22_000, 60_000],
    testWeightKgPerHlUsual: [36, 66],
  },
  rye: {
    ...cereal,
    yieldKgPerHa: yields(18_000, 12_000),
    seedsPerKgUsual: [22_000, 66_000],
    testWeightKgPerHlUsual: [58, 84],
  },
  soybean: {
    yieldKgPerHa: yields(17_000, 7_000),
    seedsPerKgUsual: [3_500, 12_000],
    testWeightKgPerHlUsual: [60, 82],
    proteinPctUsual: [25, 52],
    moisturePctUsual: [5, 25],
    grainPerKg: { possible: [0.05, 4], usual: [0.15, 1.3] },
    seedPerKg: { possible: [0.05, 60], usual: [0.5, 8] },
  },
  corn: {
    yieldKgPerHa: yields(45_000, 21_000),
    seedsPerKgUsual: [2_000, 7_000],
    testWeightKgPerHlUsual: [55, 85],
    proteinPctUsual: [4, 16],
    moisturePctUsual: [8, 40],
    grainPerKg: { possible: [0.02, 2.5], usual: [0.05, 0.8] },
    seedPerKg: { possible: [0.1, 150], usual: [1, 30] },
  },
  canola: {
    yieldKgPerHa: yields(10_000, 6_000),
    seedsPerKgUsual: [130_000, 450_000],
    testWeightKgPerHlUsual: [55, 75],
    proteinPctUsual: [14, 35],
    moisturePctUsual: [4, 20],
    grainPerKg: { possible: [0.05, 5], usual: [0.2, 1.6] },
    seedPerKg: { possible: [0.1, 300], usual: [1, 60] },
  },
  flax: {
    yieldKgPerHa: yields(8_000, 4_000),
    seedsPerKgUsual: [120_000, 300_000],
    testWeightKgPerHlUsual: [55, 78],
    proteinPctUsual: [14, 35],
    moisturePctUsual: [4, 20],
    grainPerKg: { possible: [0.05, 8], usual: [0.2, 2.5] },
    seedPerKg: { possible: [0.03, 40], usual: [0.3, 6] },
  },
};

/** Rates as multiples of the crop's usual one: no drill sows outside `possible`, few trials outside `usual` (common practice). */
export const rateMultiples = { possible: [0.01, 12], usual: [0.2, 4] } as const satisfies Record<
  string,
  Range
>;

/** The same for a rate that is sown today: growers stray less than trials do (common practice). */
export const rateNowMultiples = { possible: [0.05, 6], usual: [0.3, 2.5] } as const satisfies Record<
  string,
  Range
>;

/** A drill's smallest step, as a multiple of the crop's usual rate (common practice). */
export const rateStepMultiples: Range = [0.000_05, 1];

/** Seeds per kg that a lot can have: twice and half of what lots usually have. */
export const seedsPerKgPossible = (crop: CropName): Range => {
  const [lowest, highest] = cropRanges[crop].seedsPerKgUsual;
  return [lowest / 2, highest * 2];
};

/** Money per thousand seeds that goes with money per kg, lightest seed to heaviest. */
export const perThousandSeeds = (crop: CropName, [lowest, highest]: Range): Range => {
  const [heavy, light] = cropRanges[crop].seedsPerKgUsual;
  return [(1000 * lowest) / light, (1000 * highest) / heavy];
};

/** Money whose prices have the size of the ranges above. */
export const comparableMoney: ReadonlySet<string> = new Set([
  "$",
  "€",
  "£",
  "US$",
  "C$",
  "A$",
  "USD",
  "EUR",
  "GBP",
  "CAD",
  "AUD",
  "CHF",
]);

/** What a trial may be planned with (common practice): lengths in metres, money per hectare or per strip. */
export const planRanges = {
  fieldLengthM: [10, 20_000],
  fieldWidthM: [1, 20_000],
  machineWidthM: [0.3, 60],
  edgeM: [0, 30],
  alleyM: [0, 1_000],
  shortestStripM: [1, 5_000],
  borders: [0, 50],
  strips: [2, 2_000],
  blocks: [1, 100],
  rates: [2, 100],
  // From a dollar an acre.
  gainPerHa: [2.47, 5_000],
  stripCost: [0, 20_000],
  seasonsUsed: [1, 50],
} as const satisfies Record<string, Range>;

/** What a seed card may be asked with (common practice). */
export const seedCardRanges = {
  seedKgPerHa: [0.2, 1_500],
  seedsPerMetre: [0.2, 1_000],
  caughtGrams: [0.1, 100_000],
  catchLengthM: [0.3, 3_000],
  wheelDiameterM: [0.1, 5],
  daysLate: [0, mostDaysLate],
  plants: [0, 100_000],
  rowLengthM: [0.1, 500],
  hoopDiameterM: [0.1, 10],
} as const satisfies Record<string, Range>;

/** The same for every crop (common practice). */
export const sharedRanges = {
  moisturePct: { possible: [1, 60] },
  standPlantsPerM2: { possible: [0, 5_000] },
  headsPerM2: { possible: [0, 5_000], usual: [0, 1_500] },
  groundCoverPct: { possible: [0, 100], usual: [0, 100] },
  proteinPct: { possible: [0.5, 70] },
  testWeightKgPerHl: { possible: [15, 110] },
  seedsPerKg: { possible: [100, 5_000_000] },
  germinationPct: { possible: [20, 100], usual: [70, 100] },
  purityPct: { possible: [40, 100], usual: [90, 100] },
  lotAreaHa: { possible: [0.001, 1_000_000], usual: [0.1, 20_000] },
  // From narrow drills to corn in rows 60 in apart; usual up to 40 in.
  rowSpacingM: { possible: [0.02, 1.6], usual: [0.05, 1.02] },
  waterMm: { possible: [0, 12_000], usual: [30, 2_500] },
  season: { possible: [1800, 2200], usual: [1950, 2100] },
  lodgingShare: { possible: [0, 1], usual: [0, 1] },
} as const;

/**
 * Plants per viable seed that a stand count usually gives. Stand losses of 5.1 to 46.6% were measured over three
 * seasons of one regional survey; the bounds leave room beyond them.
 */
export const plantsPerSeedUsual: Range = [0.3, 1.15];

export const within = (value: number, [lowest, highest]: Range): boolean =>
  value >= lowest && value <= highest;

/** Slips of the pen: a digit or three too many or too few. */
const slips = [0.1, 10, 0.01, 100, 0.001, 1_000, 1e-6, 1e6];

/** A usual value that an impossible one may be meant to be; null where no slip leads to one. */
export function mayBeMeant(value: number, usual: Range): number | null {
  const slip = slips.find((factor) => within(value * factor, usual));
  return slip === undefined ? null : value * slip;
}

/** A range of multiples of the crop's usual rate as viable seeds/m². */
export const multiples = ([lowest, highest]: Range, crop: CropName): Range => [
  lowest * crops[crop].usualSeedsPerM2,
  highest * crops[crop].usualSeedsPerM2,
];
