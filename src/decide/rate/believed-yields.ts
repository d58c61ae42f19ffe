/** What the kept curves of a belief yield: no price is in it, so it is worked out once for each belief. */
import { averageOverSeasons } from "../../model/forms/believable-curve.ts";
import type { Belief } from "../../vocabulary/result.ts";
import { bestRates, weightedInterval } from "./curve-table.ts";

export interface BelievedYields {
  weights: Float64Array;
  /** Averaged over coming seasons, each curve through the mean of the strips [kg/ha], [curve][rate of the table]. */
  byCurve: Float64Array;
  /** Rate of highest yield under each curve [seeds/m²]. */
  mostGrain: Float64Array;
  /** By level and rate, as `bandAt` was asked. */
  bands: Map<number, Ends[]>;
}

interface Ends {
  lower: number;
  upper: number;
}

/** On one field, at its own level of yield. */
export interface FieldYields extends BelievedYields {
  /** Of the curves together, at each rate of the table. */
  meanKgPerHa: Float64Array;
}

const ofFarm = new WeakMap<Belief, BelievedYields>();
const ofFields = new WeakMap<Belief, { levels: readonly number[]; yields: FieldYields[] }>();

/** On average over the fields of the farm. */
export const believedYields = (belief: Belief): BelievedYields => {
  let known = ofFarm.get(belief);
  if (known === undefined) ofFarm.set(belief, (known = tabulate(belief, (shifts) => shifts)));
  return known;
};

/**
 * On each field by itself, in the order of `belief.fields`.
 *
 * @param levels  mean yield of each field [kg/ha]
 */
export function fieldYields(belief: Belief, levels: readonly number[]): FieldYields[] {
  const known = ofFields.get(belief);
  if (known !== undefined && known.levels.every((level, f) => level === levels[f])) return known.yields;
  const yields = belief.fields.map((_, field): FieldYields => {
    const ofField = tabulate(belief, (shifts) => [shifts[field]!], levels[field]);
    return { ...ofField, meanKgPerHa: meanOf(ofField) };
  });
  ofFields.set(belief, { levels, yields });
  return yields;
}

function meanOf({ weights, byCurve }: BelievedYields): Float64Array {
  const mean = new Float64Array(byCurve.length / weights.length);
  weights.forEach((weight, c) => {
    for (let x = 0; x < mean.length; x++) mean[x]! += weight * byCurve[c * mean.length + x]!;
  });
  return mean;
}

/**
 * @param shown  the shifts of the fields that are looked at, of those of the farm
 * @param mean   yield that the curves run at [kg/ha]
 */
function tabulate(
  belief: Belief,
  shown: (shifts: readonly number[]) => readonly number[],
  mean = belief.meanYieldKgPerHa,
): BelievedYields {
  const { ratesSeedsPerM2: rates, stripsAtRates, curves, fieldShifts } = belief;
  const tested = stripsAtRates.map((one) => one.rateSeedsPerM2);
  const strips = stripsAtRates.reduce((sum, one) => sum + one.strips, 0);
  const byCurve = new Float64Array(curves.length * rates.length);
  curves.forEach((curve, c) => {
    const fields = fieldShifts[curve.place];
    const shares = averageOverSeasons(curve, rates, fields === undefined ? undefined : shown(fields));
    const atTested = averageOverSeasons(curve, tested, fields);
    // Without strips of its own a variety runs at the farm's level over the rates that the region tested.
    const level =
      strips === 0
        ? averageOverSeasons(curve, rates, fields).reduce((sum, share) => sum + share, 0) / rates.length
        : stripsAtRates.reduce((sum, one, k) => sum + (one.strips * atTested[k]!) / strips, 0);
    shares.forEach((share, x) => {
      byCurve[c * rates.length + x] = mean * (1 + share - level);
    });
  });
  return {
    weights: Float64Array.from(curves, (curve) => curve.weight),
    byCurve,
    mostGrain: bestRates(rates, byCurve),
    bands: new Map(),
  };
}

/** Between which yields the middle `level` of the curves lie at one rate of the table [kg/ha]. */
export function bandAt({ weights, byCurve, bands }: BelievedYields, x: number, level: number): Ends {
  let band = bands.get(level);
  if (band === undefined) bands.set(level, (band = []));
  const rates = byCurve.length / weights.length;
  return (band[x] ??= weightedInterval(
    weights.map((_, c) => byCurve[c * rates + x]!),
    weights,
    level,
  ));
}
