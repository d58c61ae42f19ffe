/** No response: every rate yields the same. */
import { meanOf } from "../../maths/grouped-points.ts";
import { blockError, noErrors } from "./errors.ts";
import type { ResponseForm } from "./form.ts";

export const none: ResponseForm & { name: "none" } = {
  name: "none",
  parameters: 0,
  leastRates: 1,
  powers: 0,
  hingeDegree: null,
  value: (c) => c.intercept,
  slope: () => 0,
  estimate: (points) => ({
    coefficients: {
      intercept: meanOf(points.groupMean),
      linear: null,
      quadratic: null,
      join: null,
      plateau: null,
    },
    unitErrors: { ...noErrors, intercept: Math.sqrt(blockError(points)) },
    rss: points.groupedSs,
  }),
};
