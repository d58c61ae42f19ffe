/** A straight rise to a join, and the same yield at every higher rate. */
import { errorOf, estimatePlateau } from "./plateau.ts";
import type { ResponseForm } from "./form.ts";

export const linearPlateau: ResponseForm & { name: "linear-plateau" } = {
  name: "linear-plateau",
  parameters: 2,
  leastRates: 3,
  powers: 1,
  hingeDegree: 1,
  value: (c, rate) => (rate < c.join! ? c.intercept + c.linear! * rate : c.plateau!),
  slope: (c, rate) => (rate < c.join! ? c.linear! : 0),
  estimate(points) {
    const fit = estimatePlateau(points, 1);
    if (fit === null) return null;
    const range = points.highest - points.lowest;
    const join = points.lowest + range * fit.join;
    const linear = fit.multiple / range;
    // intercept = plateau − linear·join
    const reach = join / range;
    return {
      coefficients: {
        intercept: fit.plateau - linear * join,
        linear,
        quadratic: null,
        join,
        plateau: fit.plateau,
      },
      unitErrors: {
        intercept: errorOf(fit.covariance, 1, -reach, -fit.multiple),
        linear: scaled(errorOf(fit.covariance, 0, 1, 0), 1 / range),
        quadratic: null,
        join: scaled(errorOf(fit.covariance, 0, 0, 1), range),
        plateau: errorOf(fit.covariance, 1, 0, 0),
      },
      rss: fit.rss,
    };
  },
};

const scaled = (error: number | null, by: number): number | null => (error === null ? null : error * by);
