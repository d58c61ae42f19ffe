/** The curve of each variety in each environment, as charts draw seasons side by side. */
import { firstAndLast } from "../../maths/first-and-last.ts";
import { formNamed } from "../../model/forms/index.ts";
import { remembered } from "../../maths/remembered.ts";
import type { Curve, FittedForm, FittedVariety } from "../../vocabulary/result.ts";

const drawn = 31;
/** Nobody looks at more panels than this: a larger trial has no season curves. */
const mostSeasonsDrawn = 500;

/**
 * Mean of all fitted forms by Akaike weight at 31 rates from the lowest to the highest tested; no band.
 *
 * With too few strips for weights, only the most bent form that leaves some degrees of freedom is drawn.
 *
 * Source: Burnham & Anderson (2002), Model Selection and Multimodel Inference, 2nd ed.
 */
export function seasonCurves(fits: readonly FittedVariety[]): Curve[] {
  if (fits.length > mostSeasonsDrawn) return [];
  return drawCurves(fits);
}

/** They depend on no price, so they are kept for the next price. */
const drawCurves = remembered((fits: readonly FittedVariety[]): Curve[] =>
  fits
    .filter(({ forms, ratesSeedsPerM2 }) => forms.length > 0 && ratesSeedsPerM2.length > 1)
    .map(({ variety, environment, forms, ratesSeedsPerM2 }) => {
      const [lowest, highest] = firstAndLast(ratesSeedsPerM2);
      const weighted = weigh(forms);
      const points = Array.from({ length: drawn }, (_, i) => {
        const rateSeedsPerM2 = lowest + ((highest - lowest) * i) / (drawn - 1);
        const value = weighted.reduce(
          (sum, { form, weight }) =>
            sum + weight * formNamed(form.form).value(form.coefficients, rateSeedsPerM2),
          0,
        );
        return { rateSeedsPerM2, value, lower: null, upper: null };
      });
      return { kind: "season", variety, environment, points };
    }),
);

function weigh(forms: readonly FittedForm[]): { form: FittedForm; weight: number }[] {
  const known = forms.flatMap((form) => (form.weight === null ? [] : [{ form, weight: form.weight }]));
  if (known.length > 0) return known;
  const free = forms.filter(({ residualDf }) => residualDf > 0);
  const [form] = (free.length > 0 ? free : forms).slice(-1);
  return [{ form: form!, weight: 1 }];
}
