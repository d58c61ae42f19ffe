/** Whether strips scatter equally in all environments, as the pooled model assumes. */
import { firstAndLast } from "../../maths/first-and-last.ts";
import { chiSquareUpperTail } from "../../maths/distributions.ts";
import { groupBy } from "../../maths/group-by.ts";
import type { FittedVariety } from "../../vocabulary/result.ts";

/** Error of the strips of one environment, with rates and blocks of each variety removed. */
export interface EnvironmentScatter {
  environment: string;
  ss: number;
  df: number;
}

/** Different enough to report: an sd this many times the least, and a chance no higher than this. Our choice. */
const unlikeRatio = 3;
const byChance = 0.01;

/**
 * The environments with the least and the most scatter [kg/ha], if they are too different for one error variance;
 * otherwise null.
 */
export function unlikeScatter(fits: readonly FittedVariety[]): { least: ScatterOf; most: ScatterOf } | null {
  const errors = groupBy(fits, ({ environment }) => environment)
    .map(([environment, same]): EnvironmentScatter => {
      const anovas = same.flatMap(({ anova }) => anova ?? []);
      return {
        environment,
        ss: anovas.reduce((sum, { errorSs }) => sum + errorSs, 0),
        df: anovas.reduce((sum, { errorDf }) => sum + errorDf, 0),
      };
    })
    .filter(({ ss, df }) => df > 1 && ss > 0);
  if (errors.length < 2) return null;
  const sds = errors
    .map(({ environment, ss, df }): ScatterOf => ({ environment, sdKgPerHa: Math.sqrt(ss / df) }))
    .sort((a, b) => a.sdKgPerHa - b.sdKgPerHa);
  const [least, most] = firstAndLast(sds);
  const isUnlike = most.sdKgPerHa >= unlikeRatio * least.sdKgPerHa && bartlettTest(errors).p < byChance;
  return isUnlike ? { least, most } : null;
}

export interface ScatterOf {
  environment: string;
  sdKgPerHa: number;
}

/** Bartlett's test of equal variances (Bartlett 1937, Proc. R. Soc. Lond. A 160:268), groups with their own degrees of freedom. */
export function bartlettTest(groups: readonly Pick<EnvironmentScatter, "ss" | "df">[]): {
  statistic: number;
  p: number;
} {
  const df = groups.reduce((sum, one) => sum + one.df, 0);
  const pooled = groups.reduce((sum, one) => sum + one.ss, 0) / df;
  const spread = groups.reduce((sum, one) => sum - one.df * Math.log(one.ss / one.df / pooled), 0);
  const correction =
    1 + (groups.reduce((sum, one) => sum + 1 / one.df, 0) - 1 / df) / (3 * (groups.length - 1));
  const statistic = spread / correction;
  return { statistic, p: chiSquareUpperTail(statistic, groups.length - 1) };
}
