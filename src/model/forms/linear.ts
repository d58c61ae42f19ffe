/** A straight line: every further seed adds the same. */
import { meanOf } from "../../maths/grouped-points.ts";
import { fitLine, fittedWithinGroups } from "../../maths/parabola.ts";
import { blockError, noErrors, residualSs } from "./errors.ts";
import type { ResponseForm } from "./form.ts";

export const linear: ResponseForm & { name: "linear" } = {
  name: "linear",
  parameters: 1,
  leastRates: 2,
  powers: 1,
  hingeDegree: null,
  value: (c, rate) => c.intercept + c.linear! * rate,
  slope: (c) => c.linear!,
  estimate(points) {
    const line = fitLine(points);
    if (line === null) return null;
    const atZero = -line.centre / line.scale - line.meanV;
    return {
      coefficients: {
        intercept: meanOf(points.groupMean) + line.b * atZero,
        linear: line.b / line.scale,
        quadratic: null,
        join: null,
        plateau: null,
      },
      unitErrors: {
        ...noErrors,
        intercept: Math.sqrt(blockError(points) + atZero ** 2 / line.squaresB),
        linear: Math.sqrt(1 / line.squaresB) / line.scale,
      },
      rss: residualSs(points, fittedWithinGroups(line)),
    };
  },
};
