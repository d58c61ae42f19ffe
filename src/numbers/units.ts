/**
 * Farm units and the engine's units, both ways. Only `read`, `tell` and the command line convert.
 *
 * Exact by definition: 1 acre = 4046.8564224 m², 1 lb = 0.45359237 kg, 1 ft = 0.3048 m, 1 inch = 0.0254 m
 * (NIST Handbook 44, Appendix C).
 */
declare const unit: unique symbol;
/** A rate by seed: viable seeds/m². A plain number is none, nor is a weight. */
export type SeedsPerM2 = number & { readonly [unit]: "viable seeds/m2" };
/** A rate by weight of seed [kg/ha], which needs a lot to become seeds. */
export type SeedKgPerHa = number & { readonly [unit]: "kg of seed/ha" };
export const seedsPerM2 = (rate: number): SeedsPerM2 => rate as SeedsPerM2;
export const seedKgPerHa = (rate: number): SeedKgPerHa => rate as SeedKgPerHa;

export const squareMetresPerAcre = 4046.8564224;
export const squareMetresPerSquareFoot = 0.09290304;
export const acresPerHectare = 10_000 / squareMetresPerAcre;
export const kgPerPound = 0.45359237;
export const metresPerFoot = 0.3048;
export const metresPerInch = 0.0254;
export const litresPerBushel = 35.23907016688;

/** seeds/ac (or plants/ac) → per m². Example: 1,200,000 seeds/ac → 296.53 seeds/m². */
export const fromPerAcre = (perAcre: number): number => perAcre / squareMetresPerAcre;
export const toPerAcre = (perM2: number): number => perM2 * squareMetresPerAcre;

/** Per square foot → per m². Example: 30 plants/ft² → 322.9 plants/m². */
export const fromPerSquareFoot = (perFt2: number): number => perFt2 / squareMetresPerSquareFoot;
export const toPerSquareFoot = (perM2: number): number => perM2 * squareMetresPerSquareFoot;

/** lb/ac → kg/ha. Example: 100 lb/ac → 112.085 kg/ha. */
export const fromPoundsPerAcre = (poundsPerAcre: number): number =>
  poundsPerAcre * kgPerPound * acresPerHectare;
export const toPoundsPerAcre = (kgPerHa: number): number => kgPerHa / kgPerPound / acresPerHectare;

/** bu/ac → kg/ha. Example: 60 bu/ac of 60 lb → 4035.1 kg/ha. */
export const fromBushelsPerAcre = (bushelsPerAcre: number, poundsPerBushel: number): number =>
  fromPoundsPerAcre(bushelsPerAcre * poundsPerBushel);
export const toBushelsPerAcre = (kgPerHa: number, poundsPerBushel: number): number =>
  toPoundsPerAcre(kgPerHa) / poundsPerBushel;

/** Money per acre → per hectare. Example: $2/ac → $4.942/ha. */
export const fromMoneyPerAcre = (perAcre: number): number => perAcre * acresPerHectare;
export const toMoneyPerAcre = (perHa: number): number => perHa / acresPerHectare;

/** Price per bushel → price per kg. Example: $6/bu of 60 lb → $0.22046/kg. */
export const fromPricePerBushel = (perBushel: number, poundsPerBushel: number): number =>
  perBushel / (poundsPerBushel * kgPerPound);
export const toPricePerBushel = (perKg: number, poundsPerBushel: number): number =>
  perKg * poundsPerBushel * kgPerPound;

/** Price per kg → price per pound. Example: $0.70548/kg → $0.32/lb. */
export const toPricePerPound = (perKg: number): number => perKg * kgPerPound;

/** Test weight, lb/bu → kg/hl. Example: 60 lb/bu → 77.23 kg/hl. */
export const fromPoundsPerBushel = (poundsPerBushel: number): number =>
  (poundsPerBushel * kgPerPound * 100) / litresPerBushel;

/** seeds/lb ↔ seeds/kg; thousand-kernel weight [g] ↔ seeds/kg. Example: 35 g → 28,571 seeds/kg. */
export const fromSeedsPerPound = (seedsPerPound: number): number => seedsPerPound / kgPerPound;
export const toSeedsPerPound = (seedsPerKg: number): number => seedsPerKg * kgPerPound;
export const fromThousandKernelWeight = (grams: number): number => 1_000_000 / grams;
export const toThousandKernelWeight = (seedsPerKg: number): number => 1_000_000 / seedsPerKg;

/**
 * Grain at harvest moisture → the same grain at market moisture.
 *
 * Dry matter stays: wet × (100 − harvest %) ÷ (100 − market %). Example: 10,000 lb of corn at 20% → 9,467.5 lb at 15.5%.
 * Source: Mulvaney & Devkota 2020, UF/IFAS SS-AGR-443 (AG442).
 */
export const atMarketMoisture = (weight: number, harvestPct: number, marketPct: number): number =>
  (weight * (100 - harvestPct)) / (100 - marketPct);

/**
 * Weight of seed sown → viable seeds, and back.
 *
 * `viableSeedsPerKg` is of the seed as it comes from the bag: seeds/kg × germination × purity.
 * Example: 100 kg/ha of seed with 28,000 viable seeds/kg → 280 viable seeds/m².
 */
export const fromSeedWeight = (kgPerHa: number, viableSeedsPerKg: number): number =>
  (kgPerHa * viableSeedsPerKg) / 10_000;
export const toSeedWeight = (viableSeedsPerM2: number, viableSeedsPerKg: number): number =>
  (viableSeedsPerM2 * 10_000) / viableSeedsPerKg;
