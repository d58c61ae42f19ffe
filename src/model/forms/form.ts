/** What every response form provides: its formula, its slope and its exact least-squares fit. */
import type { GroupedPoints } from "../../maths/grouped-points.ts";
import type { Coefficients, StandardErrors } from "../../vocabulary/result.ts";
import type { FormName } from "../../vocabulary/settings.ts";

/** A fit before anything is said about its errors' spread: squares of standard errors are per unit of error variance. */
export interface FormEstimate {
  coefficients: Coefficients;
  /** Standard errors for an error variance of one; null where the term is absent or its error is not a usual one. */
  unitErrors: StandardErrors;
  /** Residual sum of squares, including strips around the means of their cells. */
  rss: number;
}

export interface ResponseForm {
  name: FormName;
  /** Mean parameters besides one level for each block. */
  parameters: number;
  /** Number of different rates that the form needs. */
  leastRates: number;
  /** Powers of the rate in its formula: 0 none, 1 straight, 2 bent; 1 for a plateau form whose join cannot be found. */
  powers: 0 | 1 | 2;
  /** Power of the distance below its join that a plateau form falls by; null for a form without a join. */
  hingeDegree: 1 | 2 | null;
  /** Yield [kg/ha] at a rate [seeds/m²]. */
  value(coefficients: Coefficients, rate: number): number;
  /** Yield gained by one more seed [kg/ha per seed/m²]; at a join, the slope above it. */
  slope(coefficients: Coefficients, rate: number): number;
  /**
   * Exact least squares with block effects; the intercept is the plain mean of the blocks' intercepts.
   *
   * @returns null where the rates inside blocks cannot separate the form's terms
   */
  estimate(points: GroupedPoints): FormEstimate | null;
}
