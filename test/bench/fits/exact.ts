/** All exact fits of a trial and nothing else: no analysis of variance, no optima. */
import { fitForm } from "../../../src/model/seasons/fit-form.ts";
import { responseForms } from "../../../src/model/forms/index.ts";
import { ratePoints } from "../../../src/model/forms/rate-points.ts";
import { cellsOf, groupByVariety } from "../../../src/model/seasons/rate-cells.ts";
import type { FittedForm } from "../../../src/vocabulary/result.ts";
import type { Trial } from "../../../src/vocabulary/trial.ts";

/** One list of forms per variety and environment, keyed `environment variety`; from raw strips to standard errors and AICc. */
export function exactFits(trial: Trial, forms = responseForms): Map<string, FittedForm[]> {
  const fits = new Map<string, FittedForm[]>();
  for (const { variety, environment, strips } of groupByVariety(trial.strips).flat()) {
    const { cells, withinCellSs } = cellsOf(strips);
    const points = ratePoints(cells, withinCellSs);
    const fitted = forms.map((form) => fitForm(form, points));
    fits.set(
      `${environment} ${variety}`,
      fitted.filter((form): form is FittedForm => !("reason" in form)),
    );
  }
  return fits;
}
