/** Fitted pooled forms in field units: coefficients, slopes and how well they are known. */
import type {
  JoinProfile,
  PooledFormFit,
  SlopeEstimate,
  SlopeVariance,
} from "../../vocabulary/pooled-result.ts";
import type { Coefficients, StandardErrors } from "../../vocabulary/result.ts";
import { startJoinSearch } from "./fit-pooled-form.ts";
import type { PooledForm } from "./fit-pooled-form.ts";
import type { JoinSearch } from "./join-search.ts";
import { hingeDegree } from "./pooled-forms.ts";
import { testContrast } from "./satterthwaite.ts";
import type { VarianceUncertainty } from "./satterthwaite.ts";
import type { TrialLayout } from "./trial-layout.ts";

/**
 * Slope of one variety's quadratic, from a fit with own responses.
 *
 * @returns null where the variety has no quadratic
 */
export function slopeEstimateOf(
  layout: TrialLayout,
  { columns, fit, model, units }: PooledForm,
  uncertainty: VarianceUncertainty,
  variety: number,
): SlopeEstimate | null {
  const unit = units.findIndex(({ varieties }) => varieties.includes(variety));
  const [linear, bend] = [columns.first[unit]!, columns.first[unit]! + 1];
  if (
    columns.widths[unit]! < 2 ||
    model.droppedColumns.some((column) => column === linear || column === bend)
  )
    return null;
  const all = model.columnCount;
  const block = (matrix: Float64Array): SlopeVariance => ({
    linear: matrix[linear * all + linear]!,
    covariance: matrix[linear * all + bend]!,
    quadratic: matrix[bend * all + bend]!,
  });
  const variance = varianceInFieldUnits(layout, block(fit.covariance));
  // Rates that nearly coincide, or yields close to zero, give no variance that a number can hold.
  if (!Object.values(variance).every(Number.isFinite)) return null;
  return {
    ...inFieldUnits(layout, fit.estimates[linear]!, fit.estimates[bend]!),
    variance,
    varianceSlopes: uncertainty.slopes.map((slope) => varianceInFieldUnits(layout, block(slope))),
    uncertainty: uncertainty.covariance,
  };
}

/** u = (rate − centre) ÷ scale. */
type RateScale = Pick<TrialLayout, "centreSeedsPerM2" | "scaleSeedsPerM2">;

/** Coefficients of u and u² as those of x and x². */
export function inFieldUnits(
  { centreSeedsPerM2: centre, scaleSeedsPerM2: scale }: RateScale,
  linear: number,
  bend: number,
): { linear: number; quadratic: number } {
  const quadratic = bend / scale ** 2;
  return { linear: linear / scale - 2 * quadratic * centre, quadratic };
}

/** Their variances and covariance, converted in the same way. */
export function varianceInFieldUnits(
  { centreSeedsPerM2: centre, scaleSeedsPerM2: scale }: RateScale,
  { linear, covariance, quadratic }: SlopeVariance,
): SlopeVariance {
  return {
    linear:
      linear / scale ** 2 -
      (4 * centre * covariance) / scale ** 3 +
      (4 * centre ** 2 * quadratic) / scale ** 4,
    covariance: covariance / scale ** 3 - (2 * centre * quadratic) / scale ** 4,
    quadratic: quadratic / scale ** 4,
  };
}

/**
 * Coefficients of an own form, variety by variety, with standard errors given the join.
 *
 * @param uncertainty  of the same fit, for the df of the joins' intervals; null for forms without a join
 * @returns null where a variety has too few rates for the form
 */
export function pooledFormFits(
  layout: TrialLayout,
  pooled: PooledForm,
  uncertainty: VarianceUncertainty | null,
): (PooledFormFit | null)[] {
  const { form, units, joins, fit } = pooled;
  const search =
    uncertainty !== null && hingeDegree(form) !== null
      ? startJoinSearch(
          layout,
          form,
          units,
          joins.map((join) => join ?? 0),
          fit.theta,
        )
      : null;
  return layout.varieties.map((_, variety) => {
    const one = coefficientsOf(layout, pooled, variety);
    return one === null
      ? null
      : { form, ...one, joinProfile: search && joinProfileOf(search, pooled, uncertainty!, variety) };
  });
}

function coefficientsOf(
  layout: TrialLayout,
  pooled: PooledForm,
  variety: number,
): Pick<PooledFormFit, "coefficients" | "standardErrors"> | null {
  const { form, columns, fit, joins, model } = pooled;
  const first = columns.first[variety]!;
  const needed = form === "none" ? 0 : form === "quadratic" ? 2 : 1;
  const join = joins[variety]!;
  if (columns.widths[variety]! < needed || (hingeDegree(form) !== null && join === null)) return null;
  const used = [variety, ...Array.from({ length: needed }, (_, k) => first + k)];
  if (used.some((column) => model.droppedColumns.includes(column))) return null;

  const level = fit.estimates[variety]! + layout.meanKgPerHa;
  const response = (k: number): number => fit.estimates[first + k]!;
  const errorOf = (levelWeight: number, ...weights: number[]): number | null => {
    if (!(fit.residualVariance > 0)) return null;
    const places = [variety, ...weights.map((_, k) => first + k)];
    const all = [levelWeight, ...weights];
    let sum = 0;
    places.forEach((a, i) =>
      places.forEach((b, j) => (sum += all[i]! * all[j]! * fit.covariance[a * model.columnCount + b]!)),
    );
    return Math.sqrt(sum);
  };
  return inFieldCoefficients(form, layout, { level, response, errorOf, join });
}

/** A variety's fitted curve in u. */
interface FittedCurve {
  /** Yield at the centre, or of the plateau [kg/ha]. */
  level: number;
  /** Coefficient of the k-th column of the response. */
  response: (k: number) => number;
  /** Standard error of level weight + Σ response weights; null where there is no residual. */
  errorOf: (levelWeight: number, ...weights: number[]) => number | null;
  join: number | null;
}

const noTerms = { linear: null, quadratic: null, join: null, plateau: null };

/** Coefficients of u as those of the rate from zero seeds on, with their standard errors. */
function inFieldCoefficients(
  form: PooledForm["form"],
  { centreSeedsPerM2: centre, scaleSeedsPerM2: scale }: RateScale,
  { level, response, errorOf, join }: FittedCurve,
): { coefficients: Coefficients; standardErrors: StandardErrors } {
  const atZero = -centre / scale;
  if (form === "none")
    return {
      coefficients: { ...noTerms, intercept: level },
      standardErrors: { ...noTerms, intercept: errorOf(1) },
    };
  if (form === "linear")
    return {
      coefficients: { ...noTerms, intercept: level + response(0) * atZero, linear: response(0) / scale },
      standardErrors: { ...noTerms, intercept: errorOf(1, atZero), linear: errorOf(0, 1 / scale) },
    };
  if (form === "quadratic")
    return {
      coefficients: {
        ...noTerms,
        intercept: level + response(0) * atZero + response(1) * atZero ** 2,
        ...inFieldUnits({ centreSeedsPerM2: centre, scaleSeedsPerM2: scale }, response(0), response(1)),
      },
      standardErrors: {
        ...noTerms,
        intercept: errorOf(1, atZero, atZero ** 2),
        linear: errorOf(0, 1 / scale, (-2 * centre) / scale ** 2),
        quadratic: errorOf(0, 0, 1 / scale ** 2),
      },
    };
  // y = plateau − m·(join − u)₊ᵈ, from zero seeds on.
  const toJoin = join! - atZero;
  const degree = hingeDegree(form)!;
  const linear = degree === 1 ? 1 / scale : (2 * toJoin) / scale;
  const quadratic = degree === 1 ? null : -1 / scale ** 2;
  return {
    coefficients: {
      intercept: level - response(0) * toJoin ** degree,
      linear: response(0) * linear,
      quadratic: quadratic === null ? null : response(0) * quadratic,
      join: centre + scale * join!,
      plateau: level,
    },
    standardErrors: {
      intercept: errorOf(1, -(toJoin ** degree)),
      linear: errorOf(0, linear),
      quadratic: quadratic === null ? null : errorOf(0, quadratic),
      join: null,
      plateau: errorOf(1),
    },
  };
}

/** Likelihood of one variety's join at the fit's variances. */
function joinProfileOf(
  search: JoinSearch,
  { form, joins, fit, columns, model }: PooledForm,
  uncertainty: VarianceUncertainty,
  variety: number,
): JoinProfile | null {
  const degree = hingeDegree(form);
  if (degree === null || joins[variety] === null) return null;
  const contrast = new Float64Array(model.columnCount);
  contrast[columns.first[variety]!] = 1;
  const test = testContrast(fit, uncertainty, contrast);
  if (test === null) return null;
  const stretches = search.stretchesOf(variety);
  if (stretches === null) return null;
  return {
    degree,
    ends: Array.from(stretches.ends),
    products: Array.from(stretches.products),
    squares: Array.from(stretches.squares),
    below: Array.from(stretches.below),
    groupedSs: stretches.groupedSs,
    rss: fit.residualVariance * (model.observations - model.kept.length),
    residualVariance: fit.residualVariance,
    df: test.df,
  };
}
