/**
 * A straight trend of yield across a field, removed before curves are weighed.
 *
 * All varieties of an environment share its slope. What each variety's own strips say about it comes only from
 * comparing strips of one rate and block, so that no shape of curve is assumed; the others' strips then are normal
 * evidence of the slope for this one, which is integrated out (a regression coefficient with a normal prior: Lindley &
 * Smith 1972, Bayes Estimates for the Linear Model, J. R. Stat. Soc. B 34:1).
 */
import { fUpperTail } from "../../maths/distributions.ts";
import { dot } from "../../maths/dot.ts";
import { gather, groupBy } from "../../maths/group-by.ts";
import { symmetricEigen } from "../../maths/symmetric-eigen.ts";
import { trendTakenOff } from "../../messages/pooling.ts";
import { environmentId } from "../../vocabulary/environments.ts";
import type { Finding, Strip } from "../../vocabulary/trial.ts";
import { cellKey } from "../forms/rate-points.ts";
import { ratesEvidence, type CellsOfVariety, type RateEvidence } from "./rate-evidence.ts";

/** Fewest different positions in an environment that can show a trend. */
export const fewestPositions = 8;
/** A trend is removed if chance alone would show one as clear no more often than this. */
const level = 0.05;

/** Where rates and blocks explain all but this share of the positions, no slope can be separated from them. */
const toldApart = 1e-6;

/** Directions of rates with less than this share of the greatest weight are rounding error. */
const untold = 1e-12;

/** A slope across one environment [share of the mean yield per position]. */
interface FieldTrend {
  environment: string;
  slope: number;
}

/**
 * The same cells, with the mean position of their strips if every strip of the environment has one and there are
 * enough.
 */
export function placeCells(fits: readonly CellsOfVariety[], strips: readonly Strip[]): CellsOfVariety[] {
  if (strips.every(({ position }) => position === null)) return [...fits];
  const placed = new Map(
    [...gather(strips, environmentId)]
      .filter(
        ([, own]) =>
          own.every(({ position }) => position !== null) &&
          new Set(own.map(({ position }) => position)).size >= fewestPositions,
      )
      .map(([environment, own]) => [environment, gather(own, ({ variety }) => variety)]),
  );
  return fits.map((fit) => {
    const own = placed.get(fit.environment)?.get(fit.variety);
    if (own === undefined) return fit;
    const stripsOf = gather(own, cellKey);
    return {
      ...fit,
      cells: fit.cells.map((cell) => {
        const some = stripsOf.get(cellKey(cell));
        return some === undefined
          ? cell
          : { ...cell, position: some.reduce((sum, { position }) => sum + position!, 0) / some.length };
      }),
    };
  });
}

/** What one variety says about the slope when each of its rates has a free mean. */
interface SlopeInformation {
  square: number;
  withYields: number;
  /** Sum of squares around rates and blocks, and its degrees of freedom. */
  residual: number;
  degrees: number;
}

/** A finding for each trend that `believeCurves` removes: its size from one side of the field to the other. */
export function tellTrends(cells: readonly CellsOfVariety[]): Finding[] {
  return withoutTrends(ratesEvidence(cells)).trends.map(({ environment, slope }) => {
    let [first, last] = [Infinity, -Infinity];
    for (const one of cells)
      if (one.environment === environment)
        for (const { position } of one.cells)
          [first, last] = [Math.min(first, position!), Math.max(last, position!)];
    return trendTakenOff(environment, slope * (last - first));
  });
}

/**
 * The evidence with the trends of its environments integrated out, and what they were.
 *
 * Sums of an environment without a clear trend come back as they are.
 */
export function withoutTrends(evidence: readonly RateEvidence[]): {
  evidence: RateEvidence[];
  trends: FieldTrend[];
} {
  const trends: FieldTrend[] = [];
  const changed = new Map<RateEvidence, RateEvidence>();
  for (const [environment, own] of groupBy(evidence, (one) => one.environment)) {
    if (own.some(({ across }) => across === null)) continue;
    const known = own.map((one) => ({ one, ...slopeInformation(one) }));
    const sumOf = (of: (one: SlopeInformation) => number): number =>
      known.reduce((sum, one) => sum + of(one), 0);
    const [square, withYields] = [sumOf((one) => one.square), sumOf((one) => one.withYields)];
    const degrees = sumOf((one) => one.degrees) - 1;
    const spread = own.reduce((sum, { across }) => sum + across!.square, 0);
    if (degrees < 1 || !(square > toldApart * spread)) continue;
    const explained = withYields ** 2 / square;
    const left = sumOf((one) => one.residual) - explained;
    if (!(left > 0) || fUpperTail((explained * degrees) / left, 1, degrees) > level) continue;
    trends.push({ environment, slope: withYields / square });
    for (const { one, ...mine } of known) {
      const others = { square: square - mine.square, withYields: withYields - mine.withYields };
      changed.set(one, withoutSlope(one, own.length === 1 ? { square: 0, withYields: 0 } : others));
    }
  }
  return { evidence: evidence.map((one) => changed.get(one) ?? one), trends };
}

function slopeInformation({ rates, weight, cross, total, degrees, across }: RateEvidence): SlopeInformation {
  const K = rates.length;
  const { withRates, withYields, square } = across!;
  // Levels of blocks are free, so the weights leave at least one direction of rates open.
  const { values, vectors } = symmetricEigen(weight, K);
  const told = [...values.keys()].filter((k) => values[k]! > untold * values.at(-1)!);
  const along = (k: number, of: Float64Array): number => dot(vectors.subarray(k * K, (k + 1) * K), of);
  const product = (a: Float64Array, b: Float64Array): number =>
    told.reduce((sum, k) => sum + (along(k, a) * along(k, b)) / values[k]!, 0);
  return {
    square: square - product(withRates, withRates),
    withYields: withYields - product(withRates, cross),
    residual: total - product(cross, cross),
    degrees: degrees - told.length,
  };
}

/** Integrates out the slope of the field, about which the other varieties' strips say something too. */
function withoutSlope(one: RateEvidence, others: { square: number; withYields: number }): RateEvidence {
  const { weight, cross, total, degrees, across } = one;
  const { withRates, withYields, square } = across!;
  const slope = others.square > 0 ? others.withYields / others.square : 0;
  const all = square + others.square;
  const leftWithYields = withYields - slope * square;
  const K = cross.length;
  return {
    ...one,
    weight: weight.map((value, at) => value - (withRates[Math.floor(at / K)]! * withRates[at % K]!) / all),
    cross: cross.map((value, k) => value - withRates[k]! * (slope + leftWithYields / all)),
    total: total - 2 * slope * withYields + slope ** 2 * square - leftWithYields ** 2 / all,
    degrees: others.square > 0 ? degrees : degrees - 1,
  };
}
