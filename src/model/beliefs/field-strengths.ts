/**
 * How strongly yield answers to the rate on each field, year after year, against the farm.
 *
 * The strength in an environment is the slope of its yields on the yields that are expected there, by least squares. What
 * lasts of it on a field is told apart from what came with a season as it is for needs (`fields-and-seasons.ts`).
 */
import { dot } from "../../maths/dot.ts";
import { kept } from "../../maths/kept.ts";
import { averageOverSeasons } from "../forms/believable-curve.ts";
import type { Belief, FieldStrength } from "../../vocabulary/result.ts";
import type { Priors } from "../../vocabulary/settings.ts";
import type { VarietyEvidence } from "./field-places.ts";
import { fieldsUnderSds, type SeenThere } from "./fields-and-seasons.ts";
import type { RateEvidence } from "./rate-evidence.ts";

/** Sds of the strength that are weighed; the least that lasts is so small that fields are alike. */
const unlike = [0, 0.1, 0.2, 0.3, 0.45, 0.65];
const lasting = [0.02, 0.1, 0.2, 0.3, 0.45, 0.65];
/** Yields that are expected to differ by less than this tell no slope: sum of squares of shares of the mean. */
const level = 1e-9;
/** Weight of a set of sds that adds nothing to see. */
const negligible = 1e-9;
/** Yield answers on every field at least so strongly: a curve is not turned upside down. */
const leastStrength = 0.1;

/** What is believed of one variety, and its strips. */
export interface BelievedVariety extends VarietyEvidence {
  belief: Pick<Belief, "fields" | "fieldShifts" | "curves">;
}

/** @returns one for each field of the beliefs; none where fields are not distinguished, or no variety's yields are expected to differ */
export function fieldStrengths(varieties: readonly BelievedVariety[], priors: Priors): FieldStrength[] {
  const fields = varieties[0]?.belief.fields ?? [];
  const seen = fields.length === 0 ? [] : varieties.flatMap(strengthsSeen);
  if (seen.length === 0) return [];
  const { strengthSpread: scale } = priors;
  const under = fieldsUnderSds(
    seen,
    fields,
    { own: unlike, common: unlike, lasting },
    { own: scale, common: scale, lasting: scale },
  ).flatMap(({ weight, aboveMean }) => (weight < negligible ? [] : [{ weight, above: aboveMean() }]));
  return fields.map((_, f) => {
    const here = under.map(({ weight, above }) => ({ weight, ...above[f]! }));
    const mean = here.reduce((sum, one) => sum + one.weight * one.mean, 0);
    const variance = here.reduce((sum, one) => sum + one.weight * (one.variance + (one.mean - mean) ** 2), 0);
    return logNormal(Math.max(leastStrength, 1 + mean), variance);
  });
}

/** The log-normal distribution of this mean and variance. */
function logNormal(mean: number, variance: number): FieldStrength {
  const logVariance = Math.log(1 + variance / mean ** 2);
  return { middle: mean * Math.exp(-logVariance / 2), sdLog: Math.sqrt(logVariance) };
}

/** How much the strength of a variety in each environment is above 1, by its strips there alone. */
function strengthsSeen({ belief, mine }: BelievedVariety): SeenThere[] {
  const places = new Map(belief.fields.map((field, f) => [field, f]));
  const known = new Map<string, Float64Array>();
  return mine.flatMap((one) => {
    const { environment, field, season, rates, error } = one;
    // Years of a field mostly have the same rates.
    const expected = kept(known, `${field} ${rates.join()}`, () =>
      expectedOn(belief, places.get(field)!, rates),
    );
    const square = squareOf(expected, one);
    if (square < level) return [];
    const slope = dot(expected, one.cross) / square;
    const left = Math.max(0, one.total - slope * slope * square);
    const variance = (error.ss + left) / (error.degrees + one.degrees);
    return [{ environment, field, season, shift: slope - 1, variance: variance / square }];
  });
}

/** Of all believed curves together, on one field, as shares of the mean yield. */
function expectedOn(
  { curves, fieldShifts }: BelievedVariety["belief"],
  field: number,
  rates: Float64Array,
): Float64Array {
  const expected = new Float64Array(rates.length);
  for (const curve of curves) {
    const shares = averageOverSeasons(curve, rates, [fieldShifts[curve.place]![field]!]);
    for (let k = 0; k < expected.length; k++) expected[k]! += curve.weight * shares[k]!;
  }
  return expected;
}

/** Σ Σ share · weight · share. */
function squareOf(shares: Float64Array, { weight }: RateEvidence): number {
  let sum = 0;
  for (let k = 0; k < shares.length; k++)
    for (let l = 0; l < shares.length; l++) sum += shares[k]! * weight[k * shares.length + l]! * shares[l]!;
  return sum;
}
