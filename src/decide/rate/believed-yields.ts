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

const ofFarm = new WeakMap<Belief, BelievedYields>();
const ofFields = new WeakMap<Belief, BelievedYields[]>();

/** On average over the fields of the farm. */
export const believedYields = (belief: Belief): BelievedYields =>
  kept(ofFarm, belief, () => tabulate(belief, (shifts) => shifts));

/** On each field by itself, in the order of `belief.fields`. */
export const fieldYields = (belief: Belief): BelievedYields[] =>
  kept(ofFields, belief, () =>
    belief.fields.map((_, field) => tabulate(belief, (shifts) => [shifts[field]!])),
  );

function kept<Value>(known: WeakMap<Belief, Value>, belief: Belief, make: () => Value): Value {
  let value = known.get(belief);
  if (value === undefined) known.set(belief, (value = make()));
  return value;
}

/** @param shown the shifts of the fields that are looked at, of those of the farm */
function tabulate(belief: Belief, shown: (shifts: readonly number[]) => readonly number[]): BelievedYields {
  const { ratesSeedsPerM2: rates, stripsAtRates, meanYieldKgPerHa: mean, curves, fieldShifts } = belief;
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
