/** What is lost by the advice that strips of a simulated harvest lead to, against the best rate of the known truth. */
import { analyzeFarm } from "../../../src/farm/analyze-farm.ts";
import { readFarm } from "../../../src/farm/read-farm.ts";
import type { SimulatedStrip } from "../../simulate-harvest.ts";

const seedsPerAcre = 4046.8564224;
const poundsPerBushel = 60;
/** $6 a bushel and $20 a million seeds. */
const grainPerKg = 6 / (poundsPerBushel * 0.45359237);
const seedPerMillionAndHa = 20 * (10_000 / seedsPerAcre);

/** Bent line of `simulatedStrips`, less the variety's own height [money/ha]. */
const profit = (millionPerAcre: number): number =>
  grainPerKg * -900 * (millionPerAcre - 1.4) ** 2 - seedPerMillionAndHa * millionPerAcre;
const best = 1.4 - seedPerMillionAndHa / (grainPerKg * 1_800);

/**
 * Money lost per hectare, on the mean of the varieties, where each is sown at the rate that the analysis names.
 *
 * @param yieldKgPerHa of each strip; null where there is none
 */
export async function lossPerHa(
  strips: readonly SimulatedStrip[],
  yieldKgPerHa: readonly (number | null)[],
  blockStrips: number,
): Promise<number> {
  const rows = strips.flatMap(({ variety, rate }, s) =>
    yieldKgPerHa[s] === null
      ? []
      : [`2026,${Math.floor(s / blockStrips) + 1},${s + 1},${variety},${rate},${yieldKgPerHa[s]}`],
  );
  const text = ["season,block,position,variety,rate (seeds/ac),yield (kg/ha)", ...rows].join("\n");
  const farm = await readFarm([{ name: "strips.csv", bytes: new TextEncoder().encode(text) }]);
  const { next } = analyzeFarm(farm);
  // Without a rate to name, a grower keeps the usual one: the middle of those tested.
  const losses = next.map(({ rateNextSeedsPerM2 }) => {
    const rate = rateNextSeedsPerM2 === null ? 1.25 : (rateNextSeedsPerM2 * seedsPerAcre) / 1e6;
    return profit(best) - profit(rate);
  });
  return losses.reduce((sum, loss) => sum + loss, 0) / losses.length;
}
