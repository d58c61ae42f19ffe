/** The harvest of one field of the demo farm as drill and combine would have logged it: points that lead to its strips. */
import { simulateHarvest } from "../test/simulate-harvest.ts";
import { demoSeed, growDemoFarm } from "./farm.ts";

/** Of wheat, 60 lb/bu. */
export const kgPerHaOfBushel = (60 * 0.45359237 * 10_000) / 4046.8564224;

/** Name → text, in the folder `points`. */
export function demoPoints(): Record<string, string> {
  const grown = growDemoFarm()
    .filter(({ season, field }) => season === 2026 && field === "North")
    .sort((a, b) => a.position - b.position);
  const mean =
    grown.reduce((sum, strip) => sum + (strip.yield ?? 0), 0) /
    grown.filter((strip) => strip.yield !== null).length;
  // What was not weighed was cut by the combine all the same.
  const wanted = grown.map((strip) => (strip.yield ?? mean) * kgPerHaOfBushel);
  const wish = { lengthM: 180, everyS: 2, seededEveryM: 6, bare: true, trendShare: 0.04 };
  const made = (yields: number[]): ReturnType<typeof simulateHarvest> =>
    simulateHarvest({
      ...wish,
      seed: demoSeed,
      strips: grown.map(({ variety, rate }, s) => ({ variety, rate: rate * 1e6, yieldKgPerHa: yields[s]! })),
    });
  // The trend of the field is in the strips' yields already: what the points add of it comes off again.
  const once = made(wanted).groundMeans;
  const { yieldCsv, seededCsv } = made(wanted.map((kgPerHa, s) => 2 * kgPerHa - once[s]!));
  return { "points/harvest-north-2026.csv": yieldCsv, "points/seeded-north-2026.csv": seededCsv };
}
