/** Yields of a belief's kept curves. They depend on no price, so they are worked out once for each belief. */
import { averageOverSeasons } from "../../model/forms/believable-curve.ts";
import type { BelievableCurve, Belief, FieldStrength } from "../../vocabulary/result.ts";
import { remembered } from "../../maths/remembered.ts";
import { evenNormal } from "../../maths/even-normal.ts";
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

/** On average over the fields of the farm. */
export const believedYields = remembered((belief: Belief): BelievedYields =>
  yieldsAt(belief, belief.meanYieldKgPerHa, sharesOf(belief).ofFarm),
);

/** Of more fields, each with a table for every curve, none is kept for the next price: they would fill the memory. */
const mostFieldsKept = 20;

const fieldsKnown = remembered<Belief, Map<number, { level: number; yields: FieldYields }>>(() => new Map());

/**
 * On one field by itself.
 *
 * @param field  its place in `belief.fields`
 * @param level  its mean yield [kg/ha]
 */
export function fieldYields(belief: Belief, field: number, level: number): FieldYields {
  const known = fieldsKnown(belief);
  const before = known.get(field);
  if (before?.level === level) return before.yields;
  const ofField = yieldsAt(belief, level, sharesOnField(belief, field));
  const yields = { ...ofField, meanKgPerHa: meanOf(ofField) };
  if (belief.fields.length <= mostFieldsKept) known.set(field, { level, yields });
  return yields;
}

function meanOf({ weights, byCurve }: BelievedYields): Float64Array {
  const mean = new Float64Array(byCurve.length / weights.length);
  weights.forEach((weight, c) => {
    for (let x = 0; x < mean.length; x++) mean[x]! += weight * byCurve[c * mean.length + x]!;
  });
  return mean;
}

/** As shares of the mean yield. */
interface Shares {
  /** How far the kept curves are above their level at the strips, [curve][rate of the table]. */
  ofFarm: Float64Array;
  /** Of each curve at the strips, below its own top. */
  levels: Float64Array;
}

const sharesOf = remembered((belief: Belief): Shares => {
  const { ratesSeedsPerM2: rates, stripsAtRates, curves } = belief;
  const tested = stripsAtRates.map((one) => one.rateSeedsPerM2);
  const strips = stripsAtRates.reduce((sum, one) => sum + one.strips, 0);
  const averages = curves.map((curve) => averageOverSeasons(curve, rates, shiftsOf(belief, curve)));
  const levels = Float64Array.from(curves, (curve, c) => {
    // A variety without strips is taken to yield at the farm's level over the rates that the region tested.
    if (strips === 0) return averages[c]!.reduce((sum, share) => sum + share, 0) / rates.length;
    const shares = averageOverSeasons(curve, tested, shiftsOf(belief, curve));
    return stripsAtRates.reduce((sum, one, k) => sum + (one.strips * shares[k]!) / strips, 0);
  });
  return { ofFarm: aboveLevels(averages, levels), levels };
});

function sharesOnField(belief: Belief, field: number): Float64Array {
  const { curves, ratesSeedsPerM2: rates, fieldStrengths } = belief;
  const shares = aboveLevels(
    curves.map((curve) => averageOverSeasons(curve, rates, [shiftsOf(belief, curve)[field]!])),
    sharesOf(belief).levels,
  );
  const strength = fieldStrengths[field];
  return strength === undefined ? shares : answering(shares, strength, rates.length);
}

/** As strongly as yield answers on a field: of all that may be, each curve is given one, and all together lie evenly. */
function answering(shares: Float64Array, { middle, sdLog }: FieldStrength, rates: number): Float64Array {
  for (let at = 0, curve = 1; at < shares.length; at += rates, curve++) {
    const strength = middle * Math.exp(sdLog * evenNormal(curve));
    for (let x = at; x < at + rates; x++) shares[x]! *= strength;
  }
  return shares;
}

const aboveLevels = (ofCurves: readonly Float64Array[], levels: Float64Array): Float64Array =>
  joined(ofCurves.map((shares, c) => shares.map((share) => share - levels[c]!)));

/** Of the log need, on each field. */
const shiftsOf = ({ fieldShifts }: Belief, { place }: BelievableCurve): readonly number[] =>
  fieldShifts[place] ?? [0];

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
