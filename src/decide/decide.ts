/** What a price changes: every choice that follows from the fitted curves. `analyze` and the page call this one function. */
import type { Curve, FittedVariety, LodgingByRate, Observations, VarietyFit } from "../result.ts";
import type { Settings } from "../settings.ts";
import { readObservations } from "./read-observations.ts";
import { addOptima } from "./season-optima.ts";

/** What the model says before any price. */
export interface Modelled extends Observations {
  fits: readonly FittedVariety[];
}

/** What prices make of it. */
export interface Decided {
  fits: VarietyFit[];
  lodging: LodgingByRate[];
  curves: Curve[];
}

export function decide(modelled: Modelled, settings: Settings): Decided {
  return {
    fits: addOptima(modelled.fits, settings),
    ...readObservations(modelled, settings),
  };
}
