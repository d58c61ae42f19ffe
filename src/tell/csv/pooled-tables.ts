/** Tables of all seasons together. */
import type { PooledVariance } from "../../vocabulary/pooled-result.ts";
import type { Optimum, Result } from "../../vocabulary/result.ts";
import {
  coefficientColumns,
  optimumColumns,
  plain,
  quantity,
  rowsWithin,
  slopeUnit,
  table,
  type CsvTable,
  type CsvUnits,
} from "./columns.ts";

type PooledVariety = Result["pooled"][number];
interface PooledRow {
  of: PooledVariety;
  form: PooledVariety["forms"][number];
}
interface LeanedRow {
  of: PooledVariety;
  yieldOptimum: Optimum | null;
  economicOptimum: Optimum | null;
}
interface SeasonRow {
  variety: string;
  of: Result["seasons"][number]["of"];
  optimum: Result["seasons"][number]["optima"][number];
  /** The rates tested there, rising. */
  tested: readonly number[];
}
type SupportRow = NonNullable<Result["pooling"]>["forms"][number];
type DifferRow = NonNullable<Result["varietyByRate"]>;
type CovariateRow = Result["seasonCovariates"][number];
type LearningRow = Pick<Result["learning"][number], "season"> &
  Result["learning"][number]["varieties"][number];

const isSlope = ({ term }: PooledVariance): boolean => term.startsWith("slope-");

export function pooledTables(result: Result, units: CsvUnits): CsvTable[] {
  const { rate, grain } = units;
  const { pooling } = result;
  const keyOf = (variety: string, environment: string): string => JSON.stringify([variety, environment]);
  const tested = new Map(
    result.fits.map((fit) => [keyOf(fit.variety, fit.environment), fit.ratesSeedsPerM2]),
  );
  return [
    ...table<PooledRow>(
      "pooled",
      result.pooled.flatMap((of) => of.forms.map((form) => ({ of, form }))),
      [
        plain("variety", ({ of }) => of.variety),
        plain("environments", ({ of }) => of.environments),
        plain("strips", ({ of }) => of.strips),
        plain("form", ({ form }) => form.form),
        ...coefficientColumns<PooledRow>("", units, ({ form }) => form.coefficients),
        ...coefficientColumns<PooledRow>("se_", units, ({ form }) => form.standardErrors),
        ...optimumColumns<PooledRow>("yield_optimum", rate, ({ form }) => form.yieldOptimum),
        ...optimumColumns<PooledRow>("economic_optimum", rate, ({ form }) => form.economicOptimum),
      ],
    ),
    ...table<LeanedRow>(
      "pooled-leaned",
      result.pooled
        .filter((of) => of.leaning !== null)
        .map((of) => ({
          of,
          yieldOptimum: of.leanedYieldOptimum,
          economicOptimum: of.leanedEconomicOptimum,
        })),
      [
        plain("variety", ({ of }) => of.variety),
        plain("slope_share", ({ of }) => of.leaning!.slopeShare),
        plain("bend_share", ({ of }) => of.leaning!.bendShare),
        ...optimumColumns<LeanedRow>("yield_optimum", rate, (row) => row.yieldOptimum),
        ...optimumColumns<LeanedRow>("economic_optimum", rate, (row) => row.economicOptimum),
      ],
    ),
    ...table<PooledVariance>("pooled-variances", pooling?.variances ?? [], [
      plain("term", (row) => row.term),
      plain("levels", (row) => row.levels),
      quantity("standard_deviation", grain, (row) => row.standardDeviation),
      plain("per", (row) =>
        isSlope(row)
          ? `${Number((pooling!.scaleSeedsPerM2 * rate.factor).toPrecision(10))} ${rate.unit}`
          : null,
      ),
      plain("zero", (row) => row.zero),
    ]),
    ...table<SupportRow>("pooled-forms", pooling?.forms ?? [], [
      plain("form", (row) => row.form),
      plain("sharing", (row) => row.sharing),
      plain("minus_two_log_likelihood", (row) => row.minusTwoLogLikelihood),
      plain("parameters", (row) => row.parameters),
      plain("aicc", (row) => row.aicc),
      plain("weight", (row) => row.weight),
      plain("converged", (row) => row.converged),
    ]),
    ...table<DifferRow>("variety-by-rate", result.varietyByRate === null ? [] : [result.varietyByRate], [
      plain("verdict", (row) => row.verdict),
      plain("f", (row) => row.f?.f ?? null),
      plain("numerator_df", (row) => row.f?.numeratorDf ?? null),
      plain("denominator_df", (row) => row.f?.denominatorDf ?? null),
      plain("p", (row) => row.f?.p ?? null),
      plain("chi_square", (row) => row.likelihoodRatio.chiSquare),
      plain("chi_square_df", (row) => row.likelihoodRatio.df),
      plain("chi_square_p", (row) => row.likelihoodRatio.p),
      plain("aicc_common_less_own", (row) => row.aiccCommonLessOwn),
      quantity("slope_spread", slopeUnit(units), (row) => row.slopeSpread),
    ]),
    ...table<SeasonRow>(
      "season-optima",
      rowsWithin(result.seasons, ({ variety, of, optima }) =>
        optima.map((optimum) => ({
          variety,
          of,
          optimum,
          tested: tested.get(keyOf(variety, optimum.environment)) ?? [],
        })),
      ),
      [
        plain("variety", (row) => row.variety),
        plain("of", (row) => row.of),
        plain("environment", (row) => row.optimum.environment),
        quantity("rate", rate, (row) => row.optimum.rateSeedsPerM2),
        quantity("standard_error", rate, (row) => row.optimum.standardError),
        quantity("lower", rate, (row) => row.optimum.lower),
        quantity("upper", rate, (row) => row.optimum.upper),
        // A summary needs the optima that lie beyond these, too: see `SeasonOptima`.
        quantity("lowest_tested", rate, (row) => row.tested[0] ?? null),
        quantity("highest_tested", rate, (row) => row.tested.at(-1) ?? null),
      ],
    ),
    ...table<CovariateRow>("season-covariates", result.seasonCovariates, [
      plain("covariate", (row) => row.covariate),
      plain("unit", (row) => row.unit),
      plain("environments", (row) => row.environments),
      plain("mean", (row) => row.mean),
      plain("p", (row) => row.slopeChange.p),
      quantity("optimum_change_per_unit", rate, (row) => row.optimumChange?.estimate ?? null),
      quantity("lower", rate, (row) => row.optimumChange?.lower ?? null),
      quantity("upper", rate, (row) => row.optimumChange?.upper ?? null),
      plain("supported", (row) => row.supported),
    ]),
    ...table<LearningRow>(
      "learning",
      result.learning.flatMap(({ season, varieties }) => varieties.map((one) => ({ season, ...one }))),
      [
        plain("season", (row) => row.season),
        plain("variety", (row) => row.variety),
        plain("environments", (row) => row.environments),
        ...optimumColumns<LearningRow>("yield_optimum", rate, (row) => row.yieldOptimum),
        ...optimumColumns<LearningRow>("economic_optimum", rate, (row) => row.economicOptimum),
      ],
    ),
  ];
}
