/** Non-central F: how a test statistic spreads when there is a difference to find. Reference check: test/reference/power. */
import { fUpperTail } from "./distributions.ts";

/**
 * P(F > f) where F is non-central.
 *
 * A Poisson mixture of central tails (Johnson, Kotz & Balakrishnan 1995, Continuous Univariate Distributions 2, ch. 30):
 * sum over j of Poisson(j; λ/2) · P(central F with df1 + 2j and df2 > f·df1/(df1 + 2j)). Summed outward from the
 * likeliest j, until what is left is below 1e-16.
 *
 * @param f    value of the statistic, ≥ 0
 * @param df1  numerator degrees of freedom, > 0
 * @param df2  denominator degrees of freedom, > 0
 * @param ncp  λ = sum of squared true differences over the error variance, ≥ 0
 * @example nonCentralFUpperTail(4, 1, 12, 8) // 0.7902, pf(4, 1, 12, 8, lower.tail = FALSE) in R
 */
export function nonCentralFUpperTail(f: number, df1: number, df2: number, ncp: number): number {
  if (f <= 0) return 1;
  const half = ncp / 2;
  const tail = (j: number): number => fUpperTail((f * df1) / (df1 + 2 * j), df1 + 2 * j, df2);
  const likeliest = Math.floor(half);
  const first = Math.exp(-half + likeliest * Math.log(half || 1) - logFactorial(likeliest));
  let sum = first * tail(likeliest);
  for (let j = likeliest + 1, share = first; share > 1e-16; j++) {
    share *= half / j;
    sum += share * tail(j);
  }
  for (let j = likeliest - 1, share = first; j >= 0 && share > 1e-16; j--) {
    share *= (j + 1) / half;
    sum += share * tail(j);
  }
  return Math.min(1, sum);
}

/** ln n!, by adding up to 200 and by Stirling's series with two terms beyond, where it errs by less than 1e-12. */
function logFactorial(n: number): number {
  if (n > 200) {
    return n * Math.log(n) - n + 0.5 * Math.log(2 * Math.PI * n) + 1 / (12 * n) - 1 / (360 * n ** 3);
  }
  let sum = 0;
  for (let i = 2; i <= n; i++) sum += Math.log(i);
  return sum;
}
