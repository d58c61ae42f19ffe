/** Stand, heads and lodging under the settings: tables and curves for every variety. */
import { extent } from "simple-statistics";
import type { Curve, LodgingByRate, Observations } from "../vocabulary/result.ts";
import { speakingLodgings } from "../vocabulary/speaking-lodging.ts";
import type { Settings } from "../vocabulary/settings.ts";
import { drawLodging, tabulateLodging } from "./rate/lodging-ceiling.ts";
import { drawStand } from "./drill/stand-bridge.ts";

/**
 * What was seen beside the yield, as tables and curves: lodging, stand and heads against the rate.
 *
 * @returns lodging by tested rate as shares, and curves over the tested rates [plants or heads/m², shares]
 */
export function readObservations(
  seen: Observations & { fits: readonly { variety: string; ratesSeedsPerM2: number[] }[] },
  settings: Settings,
): { lodging: LodgingByRate[]; curves: Curve[] } {
  const lodgings = speakingLodgings(seen.lodgingModels);
  const counted = seen.stand.filter(({ environment }) => environment === null);
  return {
    lodging: lodgings.flatMap((lodging) => tabulateLodging(lodging, settings.lodgingLimit)),
    curves: [
      ...lodgings.flatMap((lodging) => drawLodging(lodging, settings.lodgingLimit)),
      ...counted.map(({ variety }) => drawStand(variety, testedRates(variety, seen.fits), seen, settings)),
      ...seen.tillering.map(drawHeads),
    ],
  };
}

function testedRates(
  variety: string,
  fits: readonly { variety: string; ratesSeedsPerM2: number[] }[],
): [number, number] {
  const rates = fits.filter((fit) => fit.variety === variety).flatMap((fit) => fit.ratesSeedsPerM2);
  return rates.length === 0 ? [Infinity, -Infinity] : extent(rates);
}

/** Heads as they were counted: the mean at each tested rate. */
const drawHeads = ({ variety, rates }: Observations["tillering"][number]): Curve => ({
  kind: "heads",
  variety,
  environment: null,
  points: rates.map(({ rateSeedsPerM2, headsPerM2 }) => ({
    rateSeedsPerM2,
    value: headsPerM2,
    lower: null,
    upper: null,
  })),
});
