/** How much strips differ by chance: what is known about that before any curve is weighed. */
import type { Priors } from "../../vocabulary/settings.ts";
import type { RateEvidence } from "./rate-evidence.ts";

/** Prior of the error variance of one variety in one environment, scaled inverse chi-square. */
export interface ErrorBelief {
  degrees: number;
  /** Sum of squares behind them, yields as shares of the mean. */
  ss: number;
}

/** What the strips of one variety in one environment say, with what is known beforehand of their error. */
export interface EvidenceWithError extends RateEvidence {
  error: ErrorBelief;
}

/** Weight of the usual strip error, in degrees of freedom. */
const usualDegrees = 4;
/** How similar the error variances of the environments are taken to be, in degrees of freedom. */
const alikeness = 8;

/**
 * For each variety and environment: the variance of all of the farm's strips as a start, and the other varieties of
 * the same environment in full. Its own strips come in with the curve.
 */
export function withErrors(evidence: readonly RateEvidence[], { stripError }: Priors): EvidenceWithError[] {
  const known = evidence.map((one) => ({ one, own: residualOf(one) }));
  const farm = known.reduce((sum, { own }) => ({ degrees: sum.degrees + own.degrees, ss: sum.ss + own.ss }), {
    degrees: usualDegrees,
    ss: usualDegrees * stripError ** 2,
  });
  const variance = farm.ss / farm.degrees;
  const inEnvironment = new Map<string, ErrorBelief>();
  for (const { one, own } of known) {
    const sum = inEnvironment.get(one.environment) ?? { degrees: 0, ss: 0 };
    inEnvironment.set(one.environment, { degrees: sum.degrees + own.degrees, ss: sum.ss + own.ss });
  }
  return known.map(({ one, own }) => {
    const all = inEnvironment.get(one.environment)!;
    const error = {
      degrees: alikeness + all.degrees - own.degrees,
      ss: alikeness * variance + Math.max(0, all.ss - own.ss),
    };
    return { ...one, error };
  });
}

/** Sd of a strip of the whole farm, as a share of its mean yield. */
export function usualErrorShare(evidence: readonly RateEvidence[], { stripError }: Priors): number {
  let [degrees, ss] = [usualDegrees, usualDegrees * stripError ** 2];
  for (const one of evidence.map(residualOf)) {
    degrees += one.degrees;
    ss += one.ss;
  }
  return Math.sqrt(ss / degrees);
}

/**
 * Roughly the log likelihood ratio of the best curve to no response: half of what the rates explain beyond chance, in
 * variances of a strip.
 */
export function responseStrength(one: EvidenceWithError): number {
  const left = residualOf(one);
  const variance = (one.error.ss + left.ss) / (one.error.degrees + left.degrees);
  return (one.total - left.ss) / variance / 2 - (one.degrees - left.degrees) / 2;
}

/**
 * What a polynomial in the rate leaves over: of degree four where strips are plenty, else of degree two.
 *
 * No curve form is assumed, so that a bent response does not count as error.
 */
function residualOf({ rates, weight, cross, total, degrees }: RateEvidence): ErrorBelief {
  const K = rates.length;
  const full = Math.min(K - 1, 4);
  const most = degrees >= 2 * full ? full : Math.min(2, full);
  const middle = (rates[0]! + rates[K - 1]!) / 2;
  const half = (rates[K - 1]! - rates[0]!) / 2;
  const times = (a: Float64Array, b: Float64Array): number => {
    let sum = 0;
    for (let k = 0; k < K; k++) for (let l = 0; l < K; l++) sum += a[k]! * weight[k * K + l]! * b[l]!;
    return sum;
  };
  const basis: Float64Array[] = [];
  let ss = total;
  for (let power = 1; power <= most; power++) {
    const next = rates.map((rate) => ((rate - middle) / half) ** power);
    const size = times(next, next);
    for (const one of basis) {
      const along = times(one, next);
      for (let k = 0; k < K; k++) next[k]! -= along * one[k]!;
    }
    const left = times(next, next);
    if (!(left > 1e-9 * size)) continue;
    for (let k = 0; k < K; k++) next[k]! /= Math.sqrt(left);
    basis.push(next);
    const gained = next.reduce((sum, value, k) => sum + value * cross[k]!, 0);
    ss -= gained * gained;
  }
  return { degrees: degrees - basis.length, ss: Math.max(0, ss) };
}
