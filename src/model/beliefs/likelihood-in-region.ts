/** A farm's strips and its region's say of need and response together, in one likelihood. */
import { logOn, type LogAxis } from "../../maths/log-axis.ts";
import { weightedRows } from "../../maths/sums.ts";
import { bell } from "../../maths/normal-weights.ts";
import type { Priors } from "../../vocabulary/settings.ts";
import type { CurveGrid, Ray } from "./curve-grid.ts";
import type { GridLikelihood } from "./grid-likelihood.ts";
import { responseOdds, type PartOnFarm, type ResponseAtNeed } from "./lean-on-region.ts";

/**
 * What strips leave of each curve, times how much likelier the region makes it at its need than the priors of the grid do.
 *
 * The region knows need and response together: with a slow rise its strips speak for another need than with a sudden stop.
 *
 * @param own  priors that the grid was laid with
 */
export function likelihoodInRegion(
  likelihood: GridLikelihood,
  grid: CurveGrid,
  parts: readonly PartOnFarm[],
  own: Priors,
): GridLikelihood {
  const responses = [...new Set(parts.map(({ response }) => response))];
  const shares = sharesAtNeeds(parts, responses, grid.needs);
  const odds = responses.map((response) => responseOdds(response, own));
  const known = new Map<string, Float64Array>();
  const timesOf = (ray: Ray): Float64Array => {
    const key = `${ray.shape} ${ray.loss} ${ray.decline === 0}`;
    const times =
      known.get(key) ??
      weightedRows(
        shares,
        odds.map((of) => of(ray)),
      );
    known.set(key, times);
    return times;
  };
  const needs = grid.needs.count;
  return {
    ...likelihood,
    rays: likelihood.rays.map((one) => {
      const times = timesOf(one.ray);
      return { ...one, values: one.values.map((value, c) => value * times[c % needs]!) };
    }),
  };
}

/** Below it a need is believed by nobody. */
const leastDensity = 1e-300;

/** How much of what is believed of each need goes with each response, [response][need]. */
function sharesAtNeeds(
  parts: readonly PartOnFarm[],
  responses: readonly ResponseAtNeed[],
  needs: LogAxis,
): Float64Array[] {
  const all = new Float64Array(needs.count);
  const rows = responses.map(() => new Float64Array(needs.count));
  for (const { weight, logNeed, sd, response } of parts) {
    const row = rows[responses.indexOf(response)]!;
    for (let j = 0; j < all.length; j++) {
      const density = (weight / sd) * bell(logOn(needs, j) - logNeed, sd);
      row[j]! += density;
      all[j]! += density;
    }
  }
  return rows.map((row) => row.map((density, j) => density / Math.max(all[j]!, leastDensity)));
}
