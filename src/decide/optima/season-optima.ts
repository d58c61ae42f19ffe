/** The optima of every fit at today's prices: all that a new price changes in the fits. */
import { firstAndLast } from "../../maths/first-and-last.ts";
import { outliersDrive } from "../../messages/fitting.ts";
import { tQuantile } from "../../maths/distributions.ts";
import type { GroupedPoints } from "../../maths/grouped-points.ts";
import { slopeAt } from "../../maths/parabola.ts";
import type {
  Coefficients,
  FittedForm,
  FittedVariety,
  FormFit,
  Optimum,
  VarietyFit,
} from "../../vocabulary/result.ts";
import type { Settings } from "../../vocabulary/settings.ts";
import type { Finding } from "../../vocabulary/trial.ts";
import { bestRate, type BestRate } from "./best-rate.ts";
import { parabolaOf, pointsOf } from "./fit-points.ts";
import { findOptimum, onceForYield } from "./optimum.ts";
import { priceRatioOf } from "./price-ratio.ts";
import { priceSensitivity, pricesAbout } from "./price-sensitivity.ts";

/** Nobody reads a table of prices for each fit of a trial larger than this. */
const mostFitsWithTable = 500;

/** Yield- and economic-optimum rates of every form, from the fits' cells: nothing is fitted again. */
export function addOptima(fits: readonly FittedVariety[], settings: Settings): VarietyFit[] {
  const level = settings.intervalLevels[1];
  const withTable = fits.length <= mostFitsWithTable;
  const varieties = withTable ? [...new Set(fits.map(({ variety }) => variety))] : [];
  const about = new Map(varieties.map((variety) => [variety, pricesAbout(variety, settings)]));
  return fits.map((fit) => {
    const points = pointsOf(fit);
    const ratio = priceRatioOf(fit.variety, settings);
    const yieldOptima = onceForYield(fit.forms, level, (form) => findOptimum(form, points, 0, level));
    const forms = fit.forms.map((form, i) =>
      withOptima(form, yieldOptima[i]!, findOptimum(form, points, ratio, level)),
    );
    return {
      ...fit,
      forms,
      resistant: resistantOptimum(fit, points, ratio),
      prices: withTable ? priceSensitivity(fit, about.get(fit.variety)!) : null,
    };
  });
}

/** Named one by one, because copied together they take three times the memory, and a large trial has very many. */
const withOptima = (form: FittedForm, yieldOptimum: Optimum, economicOptimum: Optimum): FormFit => ({
  form: form.form,
  coefficients: form.coefficients,
  standardErrors: form.standardErrors,
  rss: form.rss,
  residualDf: form.residualDf,
  residualSdKgPerHa: form.residualSdKgPerHa,
  rSquared: form.rSquared,
  aicc: form.aicc,
  weight: form.weight,
  converged: form.converged,
  yieldOptimum,
  economicOptimum,
});

/** Level of the comparison of quadratic and resistant fit: with clean strips they disagree in 1 or 2 of 100 fits. */
const oddsLevel = 0.99;
/** A smaller difference, as a share of the tested range, is not mentioned. */
const worthAWord = 0.05;

/**
 * Where the resistant slope meets the price ratio, kept to the tested rates, and whether the quadratic disagrees with
 * it.
 *
 * It is if its slope there misses the price ratio by more than the resistant spread of the strips lets it. (Its own
 * interval would not do: the outlying strips that move it also widen it.)
 */
function resistantOptimum(
  { resistantSlope, forms, ratesSeedsPerM2: rates }: FittedVariety,
  points: GroupedPoints,
  ratio: number,
): VarietyFit["resistant"] {
  if (resistantSlope === null) return null;
  const { atZero, perRate, residualSdKgPerHa } = resistantSlope;
  const [lowest, highest] = firstAndLast(rates);
  const form = {
    form: "quadratic" as const,
    coefficients: { ...noTerms, linear: atZero, quadratic: perRate / 2 },
  };
  const rateOf = (best: BestRate): number => (best.kind === "none" ? lowest : best.rateSeedsPerM2);
  const rate = rateOf(bestRate(form, lowest, highest, ratio));
  const told = { economicOptimumSeedsPerM2: rate, differs: false };
  const quadratic = forms.find((one) => one.form === "quadratic");
  if (quadratic === undefined || quadratic.residualDf < 1) return told;
  const apart = rate - rateOf(bestRate(quadratic, lowest, highest, ratio));
  if (Math.abs(apart) < worthAWord * (highest - lowest)) return told;
  const { slope, variance } = slopeAt(parabolaOf(points)!, rate);
  const limit =
    tQuantile((1 + oddsLevel) / 2, quadratic.residualDf) * residualSdKgPerHa * Math.sqrt(variance);
  return { ...told, differs: Math.abs(slope - ratio) > limit };
}

const noTerms: Coefficients = { intercept: 0, linear: null, quadratic: null, join: null, plateau: null };

/** Fits whose quadratic a few outlying strips may drive. */
export function drivenByOutliers(fits: readonly VarietyFit[]): Finding[] {
  return fits.flatMap(({ variety, environment, resistant, forms }) => {
    const optimum = forms.find(({ form }) => form === "quadratic")?.economicOptimum;
    if (resistant === null || !resistant.differs || optimum === undefined || optimum.kind === "none")
      return [];
    const higher = resistant.economicOptimumSeedsPerM2 > optimum.rateSeedsPerM2;
    return [outliersDrive(variety, environment, higher)];
  });
}
