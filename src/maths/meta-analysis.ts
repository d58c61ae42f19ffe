/** One value estimated in several places: its mean, how much it truly differs between places, and where a new one may lie. */
import { chiSquareUpperTail, tQuantile } from "./distributions.ts";
import { meanOfRandom } from "./random-effects.ts";

/** Mean by one estimate of the variance between places. */
export interface RandomMean {
  /** Standard deviation between places. */
  tau: number;
  estimate: number;
  standardError: number;
  /** Interval by t with k − 1 df. */
  lower: number;
  upper: number;
  /** Standard error from the scatter of the estimates themselves, not floored at the ordinary one, and its t interval. */
  hartungKnapp: { standardError: number; lower: number; upper: number };
  /** Interval for a new place by t with k − 2 df; null with two places. */
  prediction: { lower: number; upper: number } | null;
}

export interface MetaAnalysis {
  count: number;
  /** One value common to all places. */
  fixed: { estimate: number; standardError: number };
  /** Cochran's test of that, and the share of the scatter beyond chance. */
  q: number;
  qDf: number;
  qP: number;
  iSquaredPct: number;
  dersimonianLaird: RandomMean;
  reml: RandomMean;
}

/**
 * Fixed and random effects by inverse variances.
 *
 * @param estimates  two or more
 * @param variances  error variance of each, all > 0
 * @param level      of the intervals, for example 0.95
 * Source: DerSimonian & Laird (1986), Control. Clin. Trials 7:177; Viechtbauer (2005), J. Educ. Behav. Stat. 30:261 (REML);
 * Hartung & Knapp (2001), Stat. Med. 20:3875; Higgins, Thompson & Spiegelhalter (2009), J. R. Statist. Soc. A 172:137 (new
 * place). Reference check: test/reference/meta-analysis.
 */
export function analyzeTogether(
  estimates: readonly number[],
  variances: readonly number[],
  level: number,
): MetaAnalysis {
  const k = estimates.length;
  const weights = variances.map((variance) => 1 / variance);
  const total = sum(weights);
  const fixed = sum(weights.map((weight, i) => weight * estimates[i]!)) / total;
  const q = sum(weights.map((weight, i) => weight * (estimates[i]! - fixed) ** 2));
  const c = total - sum(weights.map((weight) => weight * weight)) / total;
  const spare = q - (k - 1);
  return {
    count: k,
    fixed: { estimate: fixed, standardError: Math.sqrt(1 / total) },
    q,
    qDf: k - 1,
    qP: chiSquareUpperTail(q, k - 1),
    iSquaredPct: q > 0 ? Math.max(0, (100 * spare) / q) : 0,
    dersimonianLaird: meanAt(estimates, variances, Math.max(0, spare / c), level),
    reml: meanAt(estimates, variances, meanOfRandom(estimates, variances).between, level),
  };
}

function meanAt(
  estimates: readonly number[],
  variances: readonly number[],
  between: number,
  level: number,
): RandomMean {
  const k = estimates.length;
  const weights = variances.map((variance) => 1 / (variance + between));
  const total = sum(weights);
  const estimate = sum(weights.map((weight, i) => weight * estimates[i]!)) / total;
  const variance = 1 / total;
  const scatter = sum(weights.map((weight, i) => weight * (estimates[i]! - estimate) ** 2)) / (k - 1);
  const interval = (standardError: number, df: number): { lower: number; upper: number } => {
    const half = tQuantile((1 + level) / 2, df) * standardError;
    return { lower: estimate - half, upper: estimate + half };
  };
  const knapp = Math.sqrt(scatter * variance);
  return {
    tau: Math.sqrt(between),
    estimate,
    standardError: Math.sqrt(variance),
    ...interval(Math.sqrt(variance), k - 1),
    hartungKnapp: { standardError: knapp, ...interval(knapp, k - 1) },
    prediction: k > 2 ? interval(Math.sqrt(between + variance), k - 2) : null,
  };
}

const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);
