/** A rise that flattens until it meets its plateau without a corner. */
import { errorOf, estimatePlateau } from "./plateau.ts";
import type { ResponseForm } from "./form.ts";

export const quadraticPlateau: ResponseForm & { name: "quadratic-plateau" } = {
  name: "quadratic-plateau",
  parameters: 2,
  leastRates: 3,
  powers: 1,
  hingeDegree: 2,
  value: (c, rate) => c.plateau! + c.quadratic! * Math.max(c.join! - rate, 0) ** 2,
  slope: (c, rate) => -2 * c.quadratic! * Math.max(c.join! - rate, 0),
  estimate(points) {
    const fit = estimatePlateau(points, 2);
    if (fit === null) return null;
    const range = points.highest - points.lowest;
    const join = points.lowest + range * fit.join;
    const reach = join / range;
    const { multiple, covariance } = fit;
    // linear = 2·multiple·reach/range, quadratic = −multiple/range², intercept = plateau − multiple·reach²
    const linear = errorOf(covariance, 0, 2 * reach, 2 * multiple);
    const quadratic = errorOf(covariance, 0, 1, 0);
    const joinError = errorOf(covariance, 0, 0, 1);
    return {
      coefficients: {
        intercept: fit.plateau - multiple * reach ** 2,
        linear: (2 * multiple * reach) / range,
        quadratic: 0 - multiple / range ** 2,
        join,
        plateau: fit.plateau,
      },
      unitErrors: {
        intercept: errorOf(covariance, 1, -(reach ** 2), -2 * multiple * reach),
        linear: linear === null ? null : linear / range,
        quadratic: quadratic === null ? null : quadratic / range ** 2,
        join: joinError === null ? null : joinError * range,
        plateau: errorOf(covariance, 1, 0, 0),
      },
      rss: fit.rss,
    };
  },
};
