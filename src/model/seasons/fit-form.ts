/** One response form fitted to one variety in one environment: estimates, standard errors, and goodness of fit. */
import { roundingSs, type GroupedPoints } from "../../maths/grouped-points.ts";
import type { FittedForm, FormLeftOut, StandardErrors } from "../../vocabulary/result.ts";
import { correctedAkaike } from "./compare-forms.ts";
import type { ResponseForm } from "../forms/index.ts";

/**
 * Exact least squares with block effects.
 *
 * A residual that is only rounding counts as 0, and in the criterion as one rounding error.
 *
 * @returns the fit without its weight among the forms, or why these strips cannot carry the form
 * Source of the definitions: Gomez & Gomez (1984), Statistical Procedures for Agricultural Research, 2nd ed., chs. 2 and
 * 9, for blocks and curves; standard errors by Gauss–Newton for the plateau forms. Reference check: test/reference/rate-response.
 */
export function fitForm(form: ResponseForm, points: GroupedPoints): FittedForm | FormLeftOut {
  const { observations: strips, groups: blocks } = points;
  const parameters = blocks + form.parameters;
  if (points.starts.length - 1 < form.leastRates) return { form: form.name, reason: "too-few-rates" };
  if (strips < parameters) return { form: form.name, reason: "too-few-strips" };
  const estimate = form.estimate(points);
  if (estimate === null) return { form: form.name, reason: "tied-to-blocks" };
  const rounding = roundingSs(points);
  const rss = estimate.rss <= rounding ? 0 : estimate.rss;
  const residualDf = strips - parameters;
  const residualSd = residualDf > 0 ? Math.sqrt(rss / residualDf) : null;
  return {
    form: form.name,
    coefficients: estimate.coefficients,
    standardErrors: timesSd(estimate.unitErrors, residualSd),
    rss,
    residualDf,
    residualSdKgPerHa: residualSd,
    rSquared: points.totalSs > rounding ? 1 - rss / points.totalSs : null,
    aicc: correctedAkaike(strips, Math.max(rss, rounding), parameters),
    weight: null,
    converged: true,
  };
}

function timesSd(unitErrors: StandardErrors, sd: number | null): StandardErrors {
  const times = (error: number | null): number | null => (error === null || sd === null ? null : error * sd);
  return {
    intercept: times(unitErrors.intercept),
    linear: times(unitErrors.linear),
    quadratic: times(unitErrors.quadratic),
    join: times(unitErrors.join),
    plateau: times(unitErrors.plateau),
  };
}
