/** The rate of highest yield and the most profitable rate on a fitted form, each with an interval or the reason for none. */
import { tQuantile } from "../../maths/distributions.ts";
import { fiellerSet } from "../../maths/fieller.ts";
import type { GroupedPoints } from "../../maths/grouped-points.ts";
import { remembered } from "../../maths/remembered.ts";
import type { FittedForm, Optimum, OptimumReason } from "../../vocabulary/result.ts";
import { formNamed } from "../../model/forms/index.ts";
import { bestRate } from "./best-rate.ts";
import { hingeOf, parabolaOf } from "./fit-points.ts";
import { plateauEnds, type Ends } from "./plateau-interval.ts";

/**
 * Where the last seed just pays, and how sure that is.
 *
 * Quadratic with Fieller's interval, plateau forms with profile likelihood. Only tested rates count: a top outside them
 * is `at-edge`, and an end of an interval outside them is null.
 *
 * @param fit     the form, fitted to `points`
 * @param points  from `ratePoints(cells, withinCellSs)` of the same fit
 * @param ratio   price of a seed ÷ price of grain [kg/ha per seed/m²], see `priceRatio`; 0 asks for the most yield
 * @param level   of the interval, for example 0.95
 * Source: Bachmaier (2009), Statistical Papers 50:649–660, for Fieller's interval of an economic optimum.
 * Reference check: test/reference/rate-response, test/reference/economic-optimum
 */
export function findOptimum(fit: FittedForm, points: GroupedPoints, ratio: number, level: number): Optimum {
  const best = bestRate(fit, points.lowest, points.highest, ratio);
  if (best.kind !== "inside") return best;
  const rate = best.rateSeedsPerM2;
  if (fit.residualDf < 1) return { kind: "found", rateSeedsPerM2: rate, ...noEnds, reason: "error-unknown" };
  const ends = endsOf(fit, points, rate, ratio, tQuantile((1 + level) / 2, fit.residualDf));
  return foundBetween(rate, ends, points.lowest, points.highest);
}

type Fitted = Pick<FittedForm, "coefficients">;

/** Kept for all forms of one curve together; form by form, a large trial would have more than are kept. */
const yieldOptima = remembered(
  (): Map<number, Optimum[]> => new Map(),
  (forms: readonly Fitted[]) => forms[0]?.coefficients ?? forms,
);

/** The rate of highest yield of each form: it depends on no price, so it is searched once for each curve and level. */
export function onceForYield<Form extends Fitted>(
  forms: readonly Form[],
  level: number,
  find: (form: Form) => Optimum,
): Optimum[] {
  const known = yieldOptima(forms);
  const optima = known.get(level) ?? forms.map(find);
  known.set(level, optima);
  return optima;
}

/** An optimum inside the tested rates with those ends of its interval that are inside them too. */
export function foundBetween(rate: number, ends: Ends, lowest: number, highest: number): Optimum {
  const tested = (end: number | null): number | null =>
    end !== null && end >= lowest && end <= highest ? end : null;
  const [lower, upper] = [tested(ends.lower), tested(ends.upper)];
  return { kind: "found", rateSeedsPerM2: rate, lower, upper, reason: reasonOf(lower, upper) };
}

export const noEnds: Ends = { lower: null, upper: null };

function reasonOf(lower: number | null, upper: number | null): OptimumReason {
  if (lower === null) return upper === null ? "no-ends" : "no-lower-end";
  return upper === null ? "no-upper-end" : "interval";
}

/** @param t  two-sided quantile for the level */
function endsOf(fit: FittedForm, points: GroupedPoints, rate: number, ratio: number, t: number): Ends {
  const variance = fit.rss / fit.residualDf;
  const degree = formNamed(fit.form).hingeDegree;
  if (degree === null) {
    const parabola = parabolaOf(points);
    if (parabola === null) return noEnds;
    const set = fiellerSet(parabola, variance, t, ratio);
    return set.kind === "between" ? set : noEnds;
  }
  const range = points.highest - points.lowest;
  const ends = plateauEnds[degree](
    hingeOf(points, degree),
    fit.rss + variance * t ** 2,
    (rate - points.lowest) / range,
    ratio * range,
  );
  const toRate = (end: number | null): number | null => (end === null ? null : points.lowest + range * end);
  return { lower: toRate(ends.lower), upper: toRate(ends.upper) };
}
