/**
 * What the trade fixes for each crop: the pounds of a bushel and the moisture grain is sold at.
 *
 * Pounds per bushel: Iowa Code §210.10 (barley, corn), common practice (wheat), Univ. of Missouri G4020 (oats, soybean);
 * canola and flax common practice, no source. Market moisture: Ohio State county trials 2008–09 (wheat), UF/IFAS AG442 (corn),
 * Ohio State and Missouri tables (soybean); the others common practice, no source. `usualSeedsPerM2` is the middle of common
 * extension advice (about 1.2 million viable seeds/ac for small grains; common practice, no source, for the rest) and serves only as
 * a weak prior and as the start of a first trial.
 */
export interface Crop {
  name: string;
  poundsPerBushel: number;
  marketMoisturePct: number;
  usualSeedsPerM2: number;
}

export const crops = {
  wheat: { name: "wheat", poundsPerBushel: 60, marketMoisturePct: 13.5, usualSeedsPerM2: 300 },
  durum: { name: "durum", poundsPerBushel: 60, marketMoisturePct: 13.5, usualSeedsPerM2: 310 },
  barley: { name: "barley", poundsPerBushel: 48, marketMoisturePct: 14.5, usualSeedsPerM2: 280 },
  oats: { name: "oats", poundsPerBushel: 32, marketMoisturePct: 14, usualSeedsPerM2: 280 },
  rye: { name: "rye", poundsPerBushel: 56, marketMoisturePct: 14, usualSeedsPerM2: 250 },
  soybean: { name: "soybean", poundsPerBushel: 60, marketMoisturePct: 13, usualSeedsPerM2: 37 },
  corn: { name: "corn", poundsPerBushel: 56, marketMoisturePct: 15.5, usualSeedsPerM2: 8 },
  canola: { name: "canola", poundsPerBushel: 50, marketMoisturePct: 8.5, usualSeedsPerM2: 100 },
  flax: { name: "flax", poundsPerBushel: 56, marketMoisturePct: 9, usualSeedsPerM2: 700 },
} as const satisfies Record<string, Crop>;

export type CropName = keyof typeof crops;
