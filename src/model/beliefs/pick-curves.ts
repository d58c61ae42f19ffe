/** A few hundred curves that stand for the whole grid, so that prices can be read from them at once. */
import { logOn } from "../../maths/log-axis.ts";
import type { BelievableCurve } from "../../vocabulary/result.ts";
import type { CurveGrid } from "./curve-grid.ts";
import type { GridLikelihood } from "./grid-likelihood.ts";
import type { SharedResponse } from "./share-response.ts";
import { logPriorOf, wholeWeight, type Gathered } from "./weigh-curves.ts";

const curvesKept = 300;

/**
 * Curves at even steps of the weights summed along the need: systematic sampling, nothing drawn at random.
 *
 * @param weights   what is believed beforehand of state and need, [state][need]
 * @param response  under which the likelihood was gathered
 */
export function pickCurves(
  { rays }: GridLikelihood,
  gathered: Gathered,
  weights: Float64Array,
  { noResponseChance, timesPrior }: SharedResponse,
  grid: CurveGrid,
): BelievableCurve[] {
  const needs = grid.needs.count;
  const { factor, noResponse } = wholeWeight(gathered, { weights, noResponseChance });
  const factors = rays.map(
    ({ ray, log }) =>
      factor *
      timesPrior(grid.rays[ray]!) *
      Math.exp(log + logPriorOf(grid, ray, gathered.flat) - gathered.logScale),
  );
  const byPlace = overStates(rays, factors, weights, needs);
  const picked: BelievableCurve[] = [];
  let sum = 0;
  const picks = (weight: number): number => {
    const before = Math.round(sum * curvesKept);
    sum += weight;
    return Math.round(sum * curvesKept) - before;
  };
  const level = picks(noResponse);
  const none = { shape: 0, needSeedsPerM2: Math.exp(grid.needs.from), loss: 0, decline: 0, shoulder: 0 };
  if (level > 0) picked.push({ weight: level, ...none, seasonSpread: 0, place: 0 });
  byPlace.forEach((placeWeight, place) => {
    if (Math.round((sum + placeWeight) * curvesKept) === Math.round(sum * curvesKept)) {
      sum += placeWeight;
      return;
    }
    const [i, j] = [place % rays.length, Math.floor(place / rays.length)];
    const { ray, values } = rays[i]!;
    const { shape, loss, decline, shoulder } = grid.rays[ray]!;
    const needSeedsPerM2 = Math.exp(logOn(grid.needs, j));
    grid.states.forEach(({ season, fieldInSeason, place: fields }, t) => {
      const c = t * needs + j;
      const times = picks(factors[i]! * weights[c]! * values[c]!);
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
    });
  });
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
  for (const [i, { values }] of rays.entries())
    for (let j = 0; j < needs; j++) {
      let sum = 0;
      for (let c = j; c < values.length; c += needs) sum += factors[i]! * weights[c]! * values[c]!;
      byPlace[j * rays.length + i] = sum;
    }
  return byPlace;
}
