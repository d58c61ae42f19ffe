/**
 * What a seeding rate means in the drill, exactly: weight, seeds per length of row, catch test, stand, order.
 *
 * A rate is always viable (pure live) seeds per m². Everything here is arithmetic without rounding and runs both ways;
 * only `tell` rounds. Reference check: test/reference/sowing.
 */
import type { SoldAmount, Sowing } from "../../vocabulary/result.ts";
import type { Lot, Settings } from "../../vocabulary/settings.ts";
import { catchLengths } from "../../vocabulary/seed-card.ts";
import { fromSeedWeight, toSeedWeight } from "../../numbers/units.ts";

/** What a bag of seed holds. Germination and purity are shares, 0 to 1. */
export interface SeedInBag {
  seedsPerKg: number;
  germination: number;
  purity: number;
}

/**
 * Viable seeds in a kilogram of seed as bought: seeds/kg × germination × purity.
 *
 * @example viableSeedsPerKg({ seedsPerKg: 30_000, germination: 0.95, purity: 0.99 }) // 28,215
 * Source: South Dakota State Univ. Extension, spring-wheat seeding-rate trials 2010–13 (2014), pure live seed.
 */
export const viableSeedsPerKg = (seed: SeedInBag): number => seed.seedsPerKg * seed.germination * seed.purity;

/**
 * Seeds that must leave the drill for the viable ones among them: rate ÷ (germination × purity) [seeds/m²].
 *
 * Impurities count as seeds, because the seeds/kg of a bag is counted with them.
 *
 * @example seedsSown(290, { germination: 0.95, purity: 0.99 }) // 308.35
 * Source: South Dakota State Univ. Extension 2014: 1.2 million viable → 1.3 million (1,275,917) sown per acre.
 */
export const seedsSown = (rateSeedsPerM2: number, seed: Pick<SeedInBag, "germination" | "purity">): number =>
  rateSeedsPerM2 / (seed.germination * seed.purity);

/** The reverse: the viable ones among the seeds that leave the drill [seeds/m²]. */
export const viableOfSown = (
  seedsSownPerM2: number,
  seed: Pick<SeedInBag, "germination" | "purity">,
): number => seedsSownPerM2 * seed.germination * seed.purity;

/**
 * Weight of this seed for a rate [kg/ha].
 *
 * @example kgPerHaOfRate(300, { seedsPerKg: 25_000, germination: 1, purity: 1 }) // 120
 * Common practice, no printed source; the arithmetic is checked by hand in test/reference/sowing.
 */
export const kgPerHaOfRate = (rateSeedsPerM2: number, seed: SeedInBag): number =>
  toSeedWeight(rateSeedsPerM2, viableSeedsPerKg(seed));

/** The reverse: the rate that a weight of this seed gives [viable seeds/m²]. */
export const rateOfKgPerHa = (kgPerHa: number, seed: SeedInBag): number =>
  fromSeedWeight(kgPerHa, viableSeedsPerKg(seed));

/**
 * Rate that gives a stand: plants/m² ÷ (1 − stand loss) [viable seeds/m²]. More loss always asks for more seed.
 *
 * @param standLoss share of viable seeds that give no plant, 0 ≤ loss < 1
 * @example rateOfStand(255, 0.15) // 300
 * Common practice, no printed source.
 */
export const rateOfStand = (plantsPerM2: number, standLoss: number): number => plantsPerM2 / (1 - standLoss);

/** The reverse: plants/m² that a rate gives. */
export const standOfRate = (rateSeedsPerM2: number, standLoss: number): number =>
  rateSeedsPerM2 * (1 - standLoss);

/**
 * Things per m² ↔ things per metre of row: seeds in the furrow, plants in the row.
 *
 * @example perMetreOfRow(300, 0.19) // 57
 */
export const perMetreOfRow = (perM2: number, rowSpacingM: number): number => perM2 * rowSpacingM;

/** The reverse: things per metre of row → per m². */
export const perM2OfRow = (perMetre: number, rowSpacingM: number): number => perMetre / rowSpacingM;

/**
 * Length of row that covers an area [m]: 1/1000 acre for a stand count, 1 ft² beside a ruler.
 *
 * @example rowLengthOfArea(1, 0.2) // 5
 */
export const rowLengthOfArea = (areaM2: number, rowSpacingM: number): number => areaM2 / rowSpacingM;

/**
 * Weight that one row catches over a length [g]: what the scale should show when the drill is set right.
 *
 * @example catchGrams(100, 0.2, 30) // 60
 * Source: Univ. of Kentucky catch table (factors 0.78 to 1.04 over 150 ft), reproduced exactly.
 */
export const catchGrams = (kgPerHa: number, rowSpacingM: number, lengthM: number): number =>
  (kgPerHa / 10) * rowSpacingM * lengthM;

/** The reverse: weight per area from a caught weight of one row [g] over a length [kg/ha]. */
export const kgPerHaOfCatch = (gramsPerRow: number, rowSpacingM: number, lengthM: number): number =>
  (gramsPerRow * 10) / (rowSpacingM * lengthM);

/**
 * Turns of a drive wheel for a length of run, when the drill stands still: length ÷ (π × diameter).
 *
 * Source: Univ. of Maryland Extension 2019.
 */
export const wheelTurns = (lengthM: number, wheelDiameterM: number): number =>
  lengthM / (Math.PI * wheelDiameterM);

/**
 * Ground inside a hoop [m²], exact π.
 *
 * @example hoopArea(0.762) // 0.456, the 30-inch hoop of 4.91 ft²
 * Source: Purdue Univ., Corn & Soybean Field Guide 2010, pp. 108–109 (hoop factors; printed with π = 3.14).
 */
export const hoopArea = (diameterM: number): number => Math.PI * (diameterM / 2) ** 2;

/** Plants counted inside a hoop → plants/m². */
export const standOfHoop = (plants: number, diameterM: number): number => plants / hoopArea(diameterM);

/** The reverse: plants that a hoop should hold at a stand [plants/m²]. */
export const hoopCountOfStand = (plantsPerM2: number, diameterM: number): number =>
  plantsPerM2 * hoopArea(diameterM);

/** Plants counted along a length of one row → plants/m². */
export const standOfRow = (plants: number, lengthM: number, rowSpacingM: number): number =>
  plants / (lengthM * rowSpacingM);

/** The reverse: plants along a length of one row at a stand [plants/m²]. */
export const rowCountOfStand = (plantsPerM2: number, lengthM: number, rowSpacingM: number): number =>
  plantsPerM2 * lengthM * rowSpacingM;

/** Seed for an area [kg]. */
export const orderKg = (kgPerHa: number, areaHa: number): number => kgPerHa * areaHa;

/**
 * Seed per area, and for the lot's area, in the units that the lot is sold in.
 *
 * @example 100 kg/ha in bags of 22.68 kg (50 lb) → 4.41 bags/ha
 */
export function soldAmount(
  { soldIn, areaHa }: Pick<Lot, "soldIn" | "areaHa">,
  kgPerHa: number | null,
  seedsSownPerM2: number,
): SoldAmount | null {
  if (soldIn === null) return null;
  const { kg, thousandSeeds } = soldIn;
  const perHa = thousandSeeds === null ? kgPerHa && kgPerHa / kg! : (seedsSownPerM2 * 10) / thousandSeeds;
  return perHa === null ? null : { unit: soldIn, perHa, order: areaHa && perHa * areaHa };
}

/** A row of 100 ft, the common length of a catch test. */
export const catchTestLengthM = catchLengths.us;

/** Everything the drill needs for one rate of one lot; null while the lot's seeds/kg is unknown. */
export function sowLot(
  rateSeedsPerM2: number,
  lot: Lot,
  settings: Pick<Settings, "rowSpacingM">,
): Sowing | null {
  if (lot.seedsPerKg === null) return null;
  const seed = { seedsPerKg: lot.seedsPerKg, germination: lot.germination, purity: lot.purity };
  const kgPerHa = kgPerHaOfRate(rateSeedsPerM2, seed);
  const seedsSownPerM2 = seedsSown(rateSeedsPerM2, seed);
  return {
    rateSeedsPerM2,
    seedsPerKg: seed.seedsPerKg,
    seedsSownPerM2,
    kgPerHa,
    seedsPerMetreOfRow: perMetreOfRow(seedsSownPerM2, settings.rowSpacingM),
    catchGrams: catchGrams(kgPerHa, settings.rowSpacingM, catchTestLengthM),
    orderKg: lot.areaHa === null ? null : orderKg(kgPerHa, lot.areaHa),
    sold: soldAmount(lot, kgPerHa, seedsSownPerM2),
  };
}
