/** The network of the fits in real units, so that the crop's usual rate means something. */
import type { Trial } from "../../../src/vocabulary/trial.ts";
import { fromBushelsPerAcre, fromPerAcre } from "../../../src/numbers/units.ts";
import { makeNetwork } from "../fits/network.ts";

/** 60 environments × 8 varieties × 6 rates × 4 blocks are 11,520 strips; rates in seeds/m², yields in kg/ha. */
export function networkInUnits(strips: number): Trial {
  const trial = makeNetwork(strips);
  return {
    ...trial,
    strips: trial.strips.map((strip) => ({
      ...strip,
      rateSeedsPerM2: fromPerAcre(strip.rateSeedsPerM2 * 1e6),
      yieldKgPerHa: fromBushelsPerAcre(strip.yieldKgPerHa, 60),
    })),
  };
}
