/** A few hundred curves that represent the whole grid, so that answers at any price can be read from them at once. */
import { logOn } from "../../maths/log-axis.ts";
import type { BelievableCurve } from "../../vocabulary/result.ts";
import type { CurveGrid, Ray } from "./curve-grid.ts";
import type { GridLikelihood } from "./grid-likelihood.ts";
import type { SharedResponse } from "./share-response.ts";
import { logPriorOf, wholeWeight, type Gathered } from "./weigh-curves.ts";

const curvesKept = 300;

/**
 * Curves at even steps of the weights summed along the need: systematic sampling, nothing drawn at random.
 *
 * @param weights   prior of state and need, [state][need]
 * @param response  under which the likelihood was gathered
 */
export function pickCurves(
  { rays }: GridLikelihood,
  gathered: Gathered,
  weights: Float64Array,
  { noResponseChance, timesPrior }: SharedResponse<Ray>,
  grid: CurveGrid,
): BelievableCurve[] {
  const needs = grid.needs.count;
  const { factor, noResponse } = wholeWeight(gathered, { weights, noResponseChance });
  const factors = rays.map(
    ({ ray, log }) =>
      factor * timesPrior(ray) * Math.exp(log + logPriorOf(ray, gathered.flat) - gathered.logScale),
  );
  const byPlace = overStates(rays, factors, weights, needs);
  const picked: BelievableCurve[] = [];
  // Loops without functions that share the sum: each addition would leave a number to be collected.
  let sum = noResponse;
  const level = Math.round(sum * curvesKept);
  const none = { shape: 0, needSeedsPerM2: Math.exp(grid.needs.from), loss: 0, decline: 0, shoulder: 0 };
  if (level > 0) picked.push({ weight: level, ...none, seasonSpread: 0, place: 0 });
  for (let place = 0; place < byPlace.length; place++) {
    const placeWeight = byPlace[place]!;
    if (Math.round((sum + placeWeight) * curvesKept) === Math.round(sum * curvesKept)) {
      sum += placeWeight;
      continue;
    }
    const i = place % rays.length;
    const j = Math.floor(place / rays.length);
    const { ray, values } = rays[i]!;
    const { shape, loss, decline, shoulder } = ray;
    const needSeedsPerM2 = Math.exp(logOn(grid.needs, j));
    for (const [t, { season, fieldInSeason, place: fields }] of grid.states.entries()) {
      const c = t * needs + j;
      const before = Math.round(sum * curvesKept);
      sum += factors[i]! * weights[c]! * values[c]!;
      const times = Math.round(sum * curvesKept) - before;
      if (times > 0)
        picked.push({
          weight: times,
          shape,
          needSeedsPerM2,
          loss,
          decline,
          shoulder,
          seasonSpread: Math.hypot(season, fieldInSeason),
          place: fields,
        });
    }
  }
  const kept = picked.reduce((all, { weight }) => all + weight, 0);
  return picked.map((curve) => ({ ...curve, weight: curve.weight / kept }));
}

/** Weight of each ray at each need, [need][ray], all states of the farm together. */
function overStates(
  rays: GridLikelihood["rays"],
  factors: readonly number[],
  weights: Float64Array,
  needs: number,
): Float64Array {
  const byPlace = new Float64Array(needs * rays.length);
  for (const [i, { values }] of rays.entries()) {
    const factor = factors[i]!;
    for (let j = 0; j < needs; j++) {
      let sum = 0;
      for (let c = j; c < values.length; c += needs) sum += factor * weights[c]! * values[c]!;
      byPlace[j * rays.length + i] = sum;
    }
  }
  return byPlace;
}
