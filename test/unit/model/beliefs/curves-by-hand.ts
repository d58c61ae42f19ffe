/** Curves and states of a farm for grids that are laid by hand. */
import type { FarmState, Ray } from "../../../../src/model/beliefs/curve-grid.ts";

export const rayOf = (shape: number, loss: number, decline = 0, shoulder = 0, priors = [1, 1]): Ray => ({
  shape,
  loss,
  decline,
  shoulder,
  patch: 0,
  lossAt: 0,
  declineAt: 0,
  logPrior: Math.log(priors[0]!),
  logFlatPrior: Math.log(priors[1]!),
});

/** Spreads of seasons and of a field within one; all fields where the farm is, unless said. */
export const stateOf = (season: number, fieldInSeason: number, some: Partial<FarmState> = {}): FarmState => ({
  season,
  fieldInSeason,
  place: 0,
  shifts: new Map(),
  logPrior: 0,
  logFlatPrior: 0,
  ...some,
});
