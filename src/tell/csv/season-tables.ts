/** Tables of each variety in each environment on its own. */
import type { FormFit, RateAnova, RateCell, Result, VarietyFit } from "../../vocabulary/result.ts";
import {
  coefficientColumns,
  optimumColumns,
  plain,
  quantity,
  rowsWithin,
  table,
  type CsvTable,
  type CsvUnits,
} from "./columns.ts";

interface InEnvironment {
  variety: string;
  environment: string;
}

const placeColumns = <Row>(of: (row: Row) => InEnvironment) => [
  plain<Row>("variety", (row) => of(row).variety),
  plain<Row>("environment", (row) => of(row).environment),
];

interface FitRow {
  fit: VarietyFit;
  form: FormFit;
}

type AnovaRow = InEnvironment & { anova: RateAnova };
type CellRow = InEnvironment & RateCell;

export function seasonTables({ fits }: Result, units: CsvUnits): CsvTable[] {
  const { rate, grain } = units;
  const squares = { factor: grain.factor ** 2, unit: `(${grain.unit})^2` };
  return [
    ...table<FitRow>(
      "fits",
      rowsWithin(fits, (fit) => fit.forms.map((form) => ({ fit, form }))),
      [
        ...placeColumns<FitRow>(({ fit }) => fit),
        plain("form", ({ form }) => form.form),
        plain("strips", ({ fit }) => fit.strips),
        plain("blocks", ({ fit }) => fit.blocks),
        ...coefficientColumns<FitRow>("", units, ({ form }) => form.coefficients),
        ...coefficientColumns<FitRow>("se_", units, ({ form }) => form.standardErrors),
        plain("residual_df", ({ form }) => form.residualDf),
        quantity("residual_sd", grain, ({ form }) => form.residualSdKgPerHa),
        plain("r_squared", ({ form }) => form.rSquared),
        plain("aicc", ({ form }) => form.aicc),
        plain("weight", ({ form }) => form.weight),
        ...optimumColumns<FitRow>("yield_optimum", rate, ({ form }) => form.yieldOptimum),
        ...optimumColumns<FitRow>("economic_optimum", rate, ({ form }) => form.economicOptimum),
      ],
    ),
    ...table<AnovaRow>(
      "anova",
      rowsWithin(fits, ({ variety, environment, anova }) =>
        anova === null ? [] : [{ variety, environment, anova }],
      ),
      [
        ...placeColumns<AnovaRow>((row) => row),
        plain("block_df", ({ anova }) => anova.blockDf),
        plain("rate_df", ({ anova }) => anova.rateDf),
        plain("error_df", ({ anova }) => anova.errorDf),
        ...(["block", "rate", "error", "total"] as const).map((source) =>
          quantity<AnovaRow>(`${source}_ss`, squares, ({ anova }) => anova[`${source}Ss`]),
        ),
        plain("f", ({ anova }) => anova.f),
        plain("p", ({ anova }) => anova.p),
        quantity("mean", grain, ({ anova }) => anova.grandMeanKgPerHa),
        plain("cv_pct", ({ anova }) => anova.cvPct),
        quantity("lsd", grain, ({ anova }) => anova.lsdKgPerHa),
      ],
    ),
    ...table<CellRow>(
      "rates",
      rowsWithin(fits, ({ variety, environment, cells }) =>
        cells.map((cell) => ({ ...cell, variety, environment })),
      ),
      [
        ...placeColumns<CellRow>((row) => row),
        plain("block", (row) => row.block),
        quantity("rate", rate, (row) => row.rateSeedsPerM2),
        plain("strips", (row) => row.strips),
        quantity("mean_yield", grain, (row) => row.meanYieldKgPerHa),
      ],
    ),
  ];
}
