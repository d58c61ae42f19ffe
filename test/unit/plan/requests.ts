/** A request to plan from, for the planner's tests. */
import { unknownLot, type Lot } from "../../../src/vocabulary/settings.ts";
import type { Ground, PlanRequest } from "../../../src/vocabulary/strip-plan.ts";

export const feet = (value: number): number => value * 0.3048;

export const quarterMile: Ground = {
  fieldLengthM: feet(1200),
  fieldWidthM: feet(1320),
  drillWidthM: feet(40),
  harvestWidthM: feet(30),
  edgeM: feet(1),
  alleyM: feet(40),
  shortestStripM: feet(300),
  borderStrips: 1,
};

export const request = (changes: Partial<PlanRequest> = {}): PlanRequest => ({
  farm: "",
  field: "East",
  season: 2027,
  varieties: [],
  ground: quarterMile,
  layout: "varieties-in-strips",
  blocks: null,
  ratesPerVariety: null,
  ratesSeedsPerM2: null,
  lowestRateSeedsPerM2: null,
  highestRateSeedsPerM2: null,
  mostStrips: null,
  expectedYieldKgPerHa: null,
  gainPerHa: 25,
  costPerStrip: 20,
  seasonsUsed: 3,
  ...changes,
});

/** A lot that is sown at 300 seeds/m² today. */
export const lotAt300 = (variety: string, areaHa: number | null): Lot => ({
  ...unknownLot(variety),
  rateNowSeedsPerM2: 300,
  seedsPerKg: 30_000,
  germination: 0.95,
  purity: 0.99,
  pricePerKg: 0.6,
  areaHa,
});
