/** Rates of highest yield and most profit over all seasons, read from the pooled curves at today's prices. */
import { tQuantile } from "../../maths/distributions.ts";
import { fiellerSet } from "../../maths/fieller.ts";
import type { HingeStretches } from "../../maths/hinge.ts";
import { remembered } from "../../maths/remembered.ts";
import { satterthwaiteDf } from "../../maths/satterthwaite-df.ts";
import type {
  JoinProfile,
  PooledFormFit,
  PooledVariety,
  PooledVarietyOptima,
  SlopeEstimate,
  SlopeVariance,
} from "../../vocabulary/pooled-result.ts";
import type { Optimum } from "../../vocabulary/result.ts";
import type { Settings } from "../../vocabulary/settings.ts";
import { bestRate } from "./best-rate.ts";
import { foundBetween, noEnds, onceForYield } from "./optimum.ts";
import { plateauEnds, type Ends } from "./plateau-interval.ts";
import { priceRatioOf } from "./price-ratio.ts";

type Range = readonly [lowest: number, highest: number];

const varianceAt = (rate: number, { linear, covariance, quadratic }: SlopeVariance): number =>
  linear + 4 * rate * covariance + 4 * rate * rate * quadratic;

/**
 * Satterthwaite df of the slope of a pooled quadratic at a rate.
 *
 * @returns null where the pooled model has no scatter
 * Reference check: test/reference/mixed-models
 */
export const slopeDf = (slope: SlopeEstimate, rateSeedsPerM2: number): number | null =>
  satterthwaiteDf(
    varianceAt(rateSeedsPerM2, slope.variance),
    slope.varianceSlopes.map((one) => varianceAt(rateSeedsPerM2, one)),
    slope.uncertainty,
  );

/**
 * The rate where a pooled quadratic's slope equals the price ratio, with Fieller's interval at the df of the slope there.
 *
 * @param ratio  price of a seed ÷ price of grain [kg/ha per seed/m²]; 0 asks for the most yield
 */
export function optimumOfSlope(
  slope: SlopeEstimate,
  [lowest, highest]: Range,
  ratio: number,
  level: number,
): Optimum {
  const { linear, quadratic, variance } = slope;
  const coefficients = { intercept: 0, linear, quadratic, join: null, plateau: null };
  const best = bestRate({ form: "quadratic", coefficients }, lowest, highest, ratio);
  if (best.kind !== "inside") return best;
  const rate = best.rateSeedsPerM2;
  const df = slopeDf(slope, rate);
  if (df === null) return { kind: "found", rateSeedsPerM2: rate, ...noEnds, reason: "error-unknown" };
  // slope(x) = b + c·(2x − k) with b and c independent
  const k = -variance.covariance / variance.quadratic;
  const parabola = {
    b: linear + k * quadratic,
    c: quadratic,
    k,
    scale: 1,
    centre: 0,
    squaresB: 1 / (variance.linear + k * variance.covariance),
    squaresC: 1 / variance.quadratic,
  };
  const set = fiellerSet(parabola, 1, tQuantile((1 + level) / 2, df), ratio);
  return foundBetween(rate, set.kind === "between" ? set : noEnds, lowest, highest);
}

/** The same for any pooled form; the joins of plateau forms by profile likelihood at the variances of the pooled model. */
export function optimumOfPooledForm(
  { form, coefficients, joinProfile }: PooledFormFit,
  slope: SlopeEstimate | null,
  tested: Range,
  ratio: number,
  level: number,
): Optimum {
  if (form === "quadratic" && slope !== null) return optimumOfSlope(slope, tested, ratio, level);
  const [lowest, highest] = tested;
  const best = bestRate({ form, coefficients }, lowest, highest, ratio);
  if (best.kind !== "inside") return best;
  const rate = best.rateSeedsPerM2;
  if (joinProfile === null)
    return { kind: "found", rateSeedsPerM2: rate, ...noEnds, reason: "error-unknown" };
  return foundBetween(rate, endsOfProfile(joinProfile, rate, tested, ratio, level), lowest, highest);
}

function endsOfProfile(
  profile: JoinProfile,
  rate: number,
  [lowest, highest]: Range,
  ratio: number,
  level: number,
): Ends {
  const range = highest - lowest;
  const limit = profile.rss + profile.residualVariance * tQuantile((1 + level) / 2, profile.df) ** 2;
  const ends = plateauEnds[profile.degree](
    stretchesOf(profile),
    limit,
    (rate - lowest) / range,
    ratio * range,
  );
  const toRate = (end: number | null): number | null => (end === null ? null : lowest + range * end);
  return { lower: toRate(ends.lower), upper: toRate(ends.upper) };
}

const stretchesOf = remembered((profile: JoinProfile): HingeStretches => ({
  degree: profile.degree,
  count: profile.below.length,
  ends: Float64Array.from(profile.ends),
  products: Float64Array.from(profile.products),
  squares: Float64Array.from(profile.squares),
  below: Float64Array.from(profile.below),
  groupedSs: profile.groupedSs,
}));

/** Optima of every pooled form, alone and using the other varieties' strips too. */
export function addPooledOptima(pooled: readonly PooledVariety[], settings: Settings): PooledVarietyOptima[] {
  const level = settings.intervalLevels[1];
  return pooled.map((one) => {
    const ratio = priceRatioOf(one.variety, settings);
    const tested = one.testedSeedsPerM2;
    const leaned = one.leaning?.slope ?? null;
    const yieldOptima = onceForYield(one.forms, level, (form) =>
      optimumOfPooledForm(form, one.slope, tested, 0, level),
    );
    return {
      ...one,
      forms: one.forms.map((form, i) => ({
        ...form,
        yieldOptimum: yieldOptima[i]!,
        economicOptimum: optimumOfPooledForm(form, one.slope, tested, ratio, level),
      })),
      leanedYieldOptimum: leaned && optimumOfSlope(leaned, tested, 0, level),
      leanedEconomicOptimum: leaned && optimumOfSlope(leaned, tested, ratio, level),
    };
  });
}
