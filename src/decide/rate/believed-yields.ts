/** Yields of a belief's kept curves. They depend on no price, so they are worked out once for each belief. */
import { averageOverSeasons } from "../../model/forms/believable-curve.ts";
import type { Belief } from "../../vocabulary/result.ts";
import { remembered } from "../../maths/remembered.ts";
import { joined } from "../../maths/joined.ts";
import { weightedInterval } from "../../maths/weighted-quantiles.ts";
import { bestRates, largestOfStretches } from "./curve-table.ts";

export interface BelievedYields {
  weights: Float64Array;
  /** Averaged over coming seasons, each curve through the mean of the strips [kg/ha], [curve][rate of the table]. */
  byCurve: Float64Array;
  /** Highest yield on each stretch of rates [kg/ha], [curve][stretch]. */
  tops: Float64Array;
  /** Rate of highest yield under each curve [seeds/m²]. */
  mostGrain: Float64Array;
  /** By level and rate, as asked of `bandAt`. */
  bands: Map<number, Ends[]>;
}

interface Ends {
  lower: number;
  upper: number;
}

/** On one field, at its own level of yield. */
export interface FieldYields extends BelievedYields {
  /** For all curves together, at each rate of the table. */
  meanKgPerHa: Float64Array;
}

const fieldsKnown = new WeakMap<Belief, { levels: readonly number[]; yields: FieldYields[] }>();

/** On average over the fields of the farm. */
export const believedYields = remembered((belief: Belief): BelievedYields =>
  yieldsAt(belief, belief.meanYieldKgPerHa, sharesOf(belief).ofFarm),
);

/**
 * On each field by itself, in the order of `belief.fields`.
 *
 * @param levels  mean yield of each field [kg/ha]
 */
export function fieldYields(belief: Belief, levels: readonly number[]): FieldYields[] {
  const known = fieldsKnown.get(belief);
  if (known !== undefined && known.levels.every((level, f) => level === levels[f])) return known.yields;
  const yields = sharesOf(belief).ofFields.map((shares, field): FieldYields => {
    const ofField = yieldsAt(belief, levels[field]!, shares);
    return { ...ofField, meanKgPerHa: meanOf(ofField) };
  });
  fieldsKnown.set(belief, { levels, yields });
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
 * How far the kept curves are above their level at the strips, as shares of the mean yield, [curve][rate of the table].
 */
interface Shares {
  ofFarm: Float64Array;
  ofFields: readonly Float64Array[];
}

const sharesOf = remembered((belief: Belief): Shares => {
  const { ratesSeedsPerM2: rates, stripsAtRates, curves, fields, fieldShifts } = belief;
  const tested = stripsAtRates.map((one) => one.rateSeedsPerM2);
  const strips = stripsAtRates.reduce((sum, one) => sum + one.strips, 0);
  const ofFields = fields.map(() => new Float64Array(curves.length * rates.length));
  const ofFarm = new Float64Array(curves.length * rates.length);
  curves.forEach((curve, c) => {
    const shifts = fieldShifts[curve.place] ?? [0];
    const byField = shifts.map((shift) => averageOverSeasons(curve, rates, [shift]));
    const average = averageOf(byField);
    // A variety without strips is taken to yield at the farm's level over the rates that the region tested.
    const level =
      strips === 0
        ? average.reduce((sum, share) => sum + share, 0) / rates.length
        : averageOverSeasons(curve, tested, shifts).reduce(
            (sum, share, k) => sum + (stripsAtRates[k]!.strips * share) / strips,
            0,
          );
    const aboveLevel = (shares: Float64Array, into: Float64Array): void => {
      for (let x = 0, at = c * rates.length; x < shares.length; x++) into[at++] = shares[x]! - level;
    };
    aboveLevel(average, ofFarm);
    ofFields.forEach((into, f) => aboveLevel(byField[f]!, into));
  });
  return { ofFarm, ofFields };
});

function averageOf(rows: readonly Float64Array[]): Float64Array {
  const average = new Float64Array(rows[0]!.length);
  for (const row of rows) for (let x = 0; x < row.length; x++) average[x]! += row[x]! / rows.length;
  return average;
}

/** @param mean mean yield of the curves [kg/ha] */
function yieldsAt(belief: Belief, mean: number, shares: Float64Array): BelievedYields {
  const byCurve = new Float64Array(shares.length);
  for (let i = 0; i < shares.length; i++) byCurve[i] = mean * (1 + shares[i]!);
  const rates = belief.ratesSeedsPerM2.length;
  return {
    weights: Float64Array.from(belief.curves, (curve) => curve.weight),
    byCurve,
    tops: joined(belief.curves.map((_, c) => largestOfStretches(byCurve, c * rates, rates))),
    mostGrain: bestRates(belief.ratesSeedsPerM2, byCurve),
    bands: new Map(),
  };
}

/** The yields that enclose the middle `level` of the curves at one rate of the table [kg/ha]. */
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
