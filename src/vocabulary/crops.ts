/**
 * What the trade fixes for each crop: the pounds of a bushel and the moisture grain is sold at.
 *
 * Pounds per bushel: Iowa Code §210.10 (barley, corn), common practice (wheat), Univ. of Missouri G4020 (oats, soybean);
 * canola and flax common practice, no source. Market moisture: Ohio State county trials 2008–09 (wheat), UF/IFAS AG442 (corn),
 * Ohio State and Missouri tables (soybean); the others common practice, no source. `usualSeedsPerM2` is the middle of common
 * extension advice (about 1.2 million viable seeds/ac for small grains; common practice, no source, for the rest) and serves only as
 * a weak prior and as the start of a first trial. `tillers`: one plant makes several stems, fewer when seeded late.
 * `prices` are assumed where nobody gives any, and said to be; without them, those of small grains. Corn: Univ. of Illinois,
 * Nafziger, farm press; the others common practice, no source. So is `standLoss`; without it, that of small grains.
 * Half the seeds of canola: Prairie oilseed growers' bulletin, 2010; the others common practice, no source.
 */
export interface Crop {
  name: string;
  poundsPerBushel: number;
  marketMoisturePct: number;
  usualSeedsPerM2: number;
  tillers: boolean;
  /** Between rows [m], where it is not that of small grains. Common practice: corn stands in rows of 30 in, or 75 cm. */
  rowSpacingM?: { us: number; metric: number };
  prices?: { grainPerBushel: number; grainPerKg: number; perThousandSeeds: number };
  standLoss?: StandLoss;
}

/** Shares of viable seeds that give no plant: assumed where nobody counts, and from least to most without a doubt. */
export interface StandLoss {
  assumed: number;
  usual: readonly [least: number, most: number];
}

export const crops = {
  wheat: { name: "wheat", poundsPerBushel: 60, marketMoisturePct: 13.5, usualSeedsPerM2: 300, tillers: true },
  durum: { name: "durum", poundsPerBushel: 60, marketMoisturePct: 13.5, usualSeedsPerM2: 310, tillers: true },
  barley: {
    name: "barley",
    poundsPerBushel: 48,
    marketMoisturePct: 14.5,
    usualSeedsPerM2: 280,
    tillers: true,
  },
  oats: { name: "oats", poundsPerBushel: 32, marketMoisturePct: 14, usualSeedsPerM2: 280, tillers: true },
  rye: { name: "rye", poundsPerBushel: 56, marketMoisturePct: 14, usualSeedsPerM2: 250, tillers: true },
  soybean: {
    name: "soybean",
    poundsPerBushel: 60,
    marketMoisturePct: 13,
    usualSeedsPerM2: 37,
    tillers: false,
    prices: { grainPerBushel: 11, grainPerKg: 0.4, perThousandSeeds: 0.43 },
  },
  corn: {
    name: "corn",
    poundsPerBushel: 56,
    marketMoisturePct: 15.5,
    usualSeedsPerM2: 8,
    tillers: false,
    rowSpacingM: { us: 0.762, metric: 0.75 },
    prices: { grainPerBushel: 4.5, grainPerKg: 0.18, perThousandSeeds: 3.75 },
    standLoss: { assumed: 0.05, usual: [0, 0.25] },
  },
  canola: {
    name: "canola",
    poundsPerBushel: 50,
    marketMoisturePct: 8.5,
    usualSeedsPerM2: 100,
    tillers: false,
    prices: { grainPerBushel: 11, grainPerKg: 0.48, perThousandSeeds: 0.15 },
    standLoss: { assumed: 0.5, usual: [0.2, 0.8] },
  },
  flax: {
    name: "flax",
    poundsPerBushel: 56,
    marketMoisturePct: 9,
    usualSeedsPerM2: 700,
    tillers: false,
    prices: { grainPerBushel: 12, grainPerKg: 0.47, perThousandSeeds: 0.006 },
  },
} as const satisfies Record<string, Crop>;

export type CropName = keyof typeof crops;

/** In a good seedbed 10 to 20% (common practice, no source); losses of 5.1 to 46.6% were measured on farms. */
const smallGrainStandLoss: StandLoss = { assumed: 0.15, usual: [0.05, 0.47] };

export const standLossOf = (crop: CropName): StandLoss =>
  (crops[crop] as Crop).standLoss ?? smallGrainStandLoss;
