/** Quantiles and tails of the usual distributions. Reference check: test/reference/distributions. */
import erfcInverse from "@stdlib/math-base-special-erfcinv";
import incompleteGamma from "@stdlib/math-base-special-gammainc";
import chiSquareQuantileOf from "@stdlib/stats-base-dists-chisquare-quantile";
import fCdf from "@stdlib/stats-base-dists-f-cdf";
import fQuantileOf from "@stdlib/stats-base-dists-f-quantile";
import normalCdfOf from "@stdlib/stats-base-dists-normal-cdf";
import tCdfOf from "@stdlib/stats-base-dists-t-cdf";
import tQuantileOf from "@stdlib/stats-base-dists-t-quantile";

/** Every interval of a trial asks for the same few. */
const tQuantiles = new Map<string, number>();
const mostRemembered = 10_000;

export const normalCdf = (z: number): number => normalCdfOf(z, 0, 1);
/** By the inverse of erfc, which keeps its digits however small p is. */
export const normalQuantile = (p: number): number => -Math.SQRT2 * erfcInverse(2 * p);
export const tCdf = (t: number, df: number): number => tCdfOf(t, df);
export const tQuantile = (p: number, df: number): number => {
  const key = `${p} ${df}`;
  let quantile = tQuantiles.get(key);
  if (quantile === undefined) {
    if (tQuantiles.size >= mostRemembered) tQuantiles.clear();
    tQuantiles.set(key, (quantile = tQuantileOf(p, df)));
  }
  return quantile;
};
export const fQuantile = (p: number, df1: number, df2: number): number => fQuantileOf(p, df1, df2);
export const chiSquareQuantile = (p: number, df: number): number => chiSquareQuantileOf(p, df);

/** P(F > f). Goes by the lower tail of 1/F, which keeps its digits when the answer is small. */
export const fUpperTail = (f: number, df1: number, df2: number): number =>
  f <= 0 ? 1 : fCdf(1 / f, df2, df1);
/** P(X² > x), the upper incomplete gamma function itself and not 1 less the lower. */
export const chiSquareUpperTail = (x: number, df: number): number =>
  x <= 0 ? 1 : incompleteGamma(x / 2, df / 2, true, true);
/** P(|T| > |t|). */
export const tTwoSided = (t: number, df: number): number => 2 * tCdfOf(-Math.abs(t), df);
