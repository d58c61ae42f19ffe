/** What a comparison of rate means could show: power. */
import { fQuantile } from "../maths/distributions.ts";
import { nonCentralFUpperTail } from "../maths/noncentral.ts";

/**
 * Chance that an F test finds differences of a given size.
 *
 * @param df1   rates − 1 for all rates together; 1 for two rates
 * @param df2   error degrees of freedom
 * @param ncp   blocks × sum of squared true differences from their mean ÷ error variance
 * @param level significance level, as in `settings.testLevel`
 * @returns 0 to 1; null without error degrees of freedom, because nothing can be tested then
 * @example fTestPower(1, 12, 8, 0.05) // 0.7380
 * Reference check: test/reference/power (power.t.test, power.anova.test of R)
 */
export function fTestPower(df1: number, df2: number, ncp: number, level: number): number | null {
  if (df1 < 1 || df2 < 1) return null;
  return nonCentralFUpperTail(fQuantile(1 - level, df1, df2), df1, df2, ncp);
}

/**
 * Chance that two rate means whose true difference is `difference` are found to differ. Two-sided.
 *
 * @param difference true difference [kg/ha]
 * @param errorSd    sd between strips of one block [kg/ha], > 0
 */
export function pairPower(
  difference: number,
  errorSd: number,
  blocks: number,
  errorDf: number,
  level: number,
): number | null {
  return fTestPower(1, errorDf, (blocks * difference * difference) / (2 * errorSd * errorSd), level);
}
