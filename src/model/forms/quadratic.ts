/** A parabola: yield rises, turns and falls. */
import { meanOf } from "../../maths/grouped-points.ts";
import { fitParabola, fittedWithinGroups } from "../../maths/parabola.ts";
import { blockError, noErrors, residualSs } from "./errors.ts";
import type { ResponseForm } from "./form.ts";

export const quadratic: ResponseForm & { name: "quadratic" } = {
  name: "quadratic",
  parameters: 2,
  leastRates: 3,
  powers: 2,
  hingeDegree: null,
  value: (c, rate) => c.intercept + (c.linear! + c.quadratic! * rate) * rate,
  slope: (c, rate) => c.linear! + 2 * c.quadratic! * rate,
  estimate(points) {
    const fit = fitParabola(points);
    if (fit === null) return null;
    const { b, c, k, scale, squaresB, squaresC } = fit;
    const zero = -fit.centre / scale;
    const atZero = zero - fit.meanV;
    const bendAtZero = zero ** 2 - fit.meanV2 - k * atZero;
    // slope at rate 0 is b + c·bendSlope, in v
    const bendSlope = 2 * zero - k;
    return {
      coefficients: {
        intercept: meanOf(points.groupMean) + b * atZero + c * bendAtZero,
        linear: (b + c * bendSlope) / scale,
        quadratic: c / scale ** 2,
        join: null,
        plateau: null,
      },
      unitErrors: {
        ...noErrors,
        intercept: Math.sqrt(blockError(points) + atZero ** 2 / squaresB + bendAtZero ** 2 / squaresC),
        linear: Math.sqrt(1 / squaresB + bendSlope ** 2 / squaresC) / scale,
        quadratic: Math.sqrt(1 / squaresC) / scale ** 2,
      },
      rss: residualSs(points, fittedWithinGroups(fit)),
    };
  },
};
