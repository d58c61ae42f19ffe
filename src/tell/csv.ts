/** The result as tidy CSV tables: one observation a row, in the person's units, safe to open in a spreadsheet. */
import Papa from "papaparse";
import { crops } from "../crops.ts";
import type { Coefficients, Optimum, Result } from "../result.ts";
import { toBushelsPerAcre, toMoneyPerAcre, toPerAcre, toPerSquareFoot } from "../units.ts";

/** A CSV file by its name without folder. */
export interface CsvTable {
  name: string;
  text: string;
}

type Cell = string | number | boolean | null;

interface Column<Row> {
  header: string;
  cell: (row: Row) => Cell;
}

/**
 * A cell that a spreadsheet would take for a formula: it starts with = + - @, their full-width forms, a tab or a line
 * end, and is no plain number.
 */
const formula = /^(?![+-]?\d+(?:\.\d+)?$)[=+\-@\t\r\n\uff0b\uff0d\uff1d\uff20]/;

/** Enough for any use, few enough that a unit's conversion leaves no tail of nines. */
const tidyNumber = (value: Cell): Cell => (typeof value === "number" ? Number(value.toPrecision(10)) : value);

/**
 * Rows as CSV (RFC 4180, header first). Text that a spreadsheet would run as a formula gets an apostrophe before it.
 *
 * @example csvText([{ header: "variety", cell: (row) => row }], ["=cmd"]) // "variety\r\n\"'=cmd\"\r\n"
 */
export function csvText<Row>(columns: readonly Column<Row>[], rows: readonly Row[]): string {
  const fields = columns.map((column) => column.header);
  const data = rows.map((row) => columns.map((column) => tidyNumber(column.cell(row))));
  return `${Papa.unparse({ fields, data }, { escapeFormulae: formula, newline: "\r\n" })}\r\n`;
}

/** Factors from the engine's units to the person's, and the names of the latter. */
interface CsvUnits {
  rate: { factor: number; unit: string };
  grain: { factor: number; unit: string };
  money: { factor: number; unit: string };
  plants: { factor: number; unit: string };
}

function csvUnits({ units, settings }: Result): CsvUnits {
  if (units.system === "metric") {
    return {
      rate: { factor: 1, unit: "seeds/m2" },
      grain: { factor: 1, unit: "kg/ha" },
      money: { factor: 1, unit: `${units.currency}/ha` },
      plants: { factor: 1, unit: "/m2" },
    };
  }
  return {
    rate: { factor: toPerAcre(1), unit: "seeds/ac" },
    grain: { factor: toBushelsPerAcre(1, crops[settings.crop].poundsPerBushel), unit: "bu/ac" },
    money: { factor: toMoneyPerAcre(1), unit: `${units.currency}/ac` },
    plants: { factor: toPerSquareFoot(1), unit: "/ft2" },
  };
}

type Quantity = { factor: number; unit: string };

const quantity = <Row>(
  name: string,
  { factor, unit }: Quantity,
  of: (row: Row) => number | null,
): Column<Row> => ({
  header: `${name} (${unit})`,
  cell: (row) => {
    const value = of(row);
    return value === null ? null : value * factor;
  },
});

const plain = <Row>(header: string, cell: (row: Row) => Cell): Column<Row> => ({ header, cell });

const optimumColumns = <Row>(name: string, rate: Quantity, of: (row: Row) => Optimum): Column<Row>[] => [
  plain(`${name}`, (row) => of(row).kind),
  quantity(`${name}_rate`, rate, (row) => {
    const optimum = of(row);
    return optimum.kind === "none" ? null : optimum.rateSeedsPerM2;
  }),
  ...(["lower", "upper"] as const).map((end) =>
    quantity<Row>(`${name}_${end}`, rate, (row) => {
      const optimum = of(row);
      return optimum.kind === "found" ? optimum[end] : null;
    }),
  ),
];

/** Coefficients of y = intercept + linear·x + quadratic·x² with x and y in the person's units. */
function coefficientColumns<Row>(
  prefix: string,
  { rate, grain }: CsvUnits,
  of: (row: Row) => { [K in keyof Coefficients]: number | null },
): Column<Row>[] {
  const slope = { factor: grain.factor / rate.factor, unit: `${grain.unit} per ${rate.unit}` };
  const bend = { factor: slope.factor / rate.factor, unit: `${grain.unit} per (${rate.unit})^2` };
  return [
    quantity(`${prefix}intercept`, grain, (row) => of(row).intercept),
    quantity(`${prefix}linear`, slope, (row) => of(row).linear),
    quantity(`${prefix}quadratic`, bend, (row) => of(row).quadratic),
    quantity(`${prefix}join`, rate, (row) => of(row).join),
    quantity(`${prefix}plateau`, grain, (row) => of(row).plateau),
  ];
}

/**
 * All tables of a result, each one observation a row.
 *
 * Units stand in brackets behind the names, as in the files that are read; money per area is in the result's currency.
 *
 * @returns tables that have rows, in a fixed order
 */
export function csvTables(result: Result): CsvTable[] {
  const units = csvUnits(result);
  const { rate, grain, money, plants } = units;
  const table = <Row>(name: string, rows: readonly Row[], columns: readonly Column<Row>[]): CsvTable[] =>
    rows.length === 0 ? [] : [{ name: `${name}.csv`, text: csvText(columns, rows) }];
  const fits = result.fits;
  return [
    ...table("next", result.next, [
      plain("variety", (row) => row.variety),
      quantity("rate_now", rate, (row) => row.rateNowSeedsPerM2),
      plain("rate_now_from", (row) => row.rateNowFrom),
      quantity("rate_next", rate, (row) => row.rateNextSeedsPerM2),
      ...optimumColumns<(typeof result.next)[number]>("economic_optimum", rate, (row) => row.economicOptimum),
      quantity("flat_zone_lower", rate, (row) => row.flatZone.lower),
      quantity("flat_zone_upper", rate, (row) => row.flatZone.upper),
      quantity("lodging_ceiling", rate, (row) => row.lodgingCeilingSeedsPerM2),
      quantity("gain_expected", money, (row) => row.gainPerHa.expected),
      quantity("gain_lower", money, (row) => row.gainPerHa.lower),
      quantity("gain_upper", money, (row) => row.gainPerHa.upper),
      plain("chance_of_gain", (row) => row.chanceOfGain),
      quantity("expected_loss", money, (row) => row.expectedLossPerHa),
      plain("evidence", (row) => row.evidence),
      plain("reasons", (row) => row.reasons.map((reason) => reason.code).join(" ")),
    ]),
    ...table(
      "fits",
      fits.flatMap((fit) => fit.forms.map((form) => ({ fit, form }))),
      [
        plain("variety", ({ fit }) => fit.variety),
        plain("environment", ({ fit }) => fit.environment),
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
        plain("converged", ({ form }) => form.converged),
        ...optimumColumns<FitRow>("yield_optimum", rate, ({ form }) => form.yieldOptimum),
        ...optimumColumns<FitRow>("economic_optimum", rate, ({ form }) => form.economicOptimum),
      ],
    ),
    ...table(
      "anova",
      fits.flatMap(({ variety, environment, anova }) =>
        anova === null ? [] : [{ variety, environment, anova }],
      ),
      [
        plain("variety", (row) => row.variety),
        plain("environment", (row) => row.environment),
        plain("block_df", ({ anova }) => anova.blockDf),
        plain("rate_df", ({ anova }) => anova.rateDf),
        plain("error_df", ({ anova }) => anova.errorDf),
        ...(["block", "rate", "error", "total"] as const).map((source) =>
          quantity<{ anova: AnovaRow }>(
            `${source}_ss`,
            { factor: grain.factor ** 2, unit: `(${grain.unit})^2` },
            ({ anova }) => anova[`${source}Ss`],
          ),
        ),
        plain("f", ({ anova }) => anova.f),
        plain("p", ({ anova }) => anova.p),
        quantity("mean", grain, ({ anova }) => anova.grandMeanKgPerHa),
        plain("cv_pct", ({ anova }) => anova.cvPct),
        quantity("lsd", grain, ({ anova }) => anova.lsdKgPerHa),
      ],
    ),
    ...table(
      "rates",
      fits.flatMap((fit) =>
        fit.cells.map((cell) => ({ ...cell, variety: fit.variety, environment: fit.environment })),
      ),
      [
        plain("variety", (row) => row.variety),
        plain("environment", (row) => row.environment),
        plain("block", (row) => row.block),
        quantity("rate", rate, (row) => row.rateSeedsPerM2),
        plain("strips", (row) => row.strips),
        quantity("mean_yield", grain, (row) => row.meanYieldKgPerHa),
      ],
    ),
    ...table("strips", result.strips, [
      plain("variety", (row) => row.variety),
      plain("environment", (row) => row.environment),
      plain("block", (row) => row.block),
      plain("position", (row) => row.position),
      quantity("rate", rate, (row) => row.rateSeedsPerM2),
      quantity("yield", grain, (row) => row.yieldKgPerHa),
      quantity("yield_less_block", grain, (row) => row.blockAdjustedYieldKgPerHa),
      quantity("stand", { ...plants, unit: `plants${plants.unit}` }, (row) => row.standPlantsPerM2),
      quantity("heads", { ...plants, unit: `heads${plants.unit}` }, (row) => row.headsPerM2),
      plain("lodging_share", (row) => row.lodgingShare),
      plain("studentized_residual", (row) => row.studentizedResidual),
      plain("file", (row) => row.file),
      plain("row", (row) => row.row),
    ]),
    ...table(
      "curves",
      result.curves.flatMap((curve) => curve.points.map((point) => ({ ...curve, ...point }))),
      [
        plain("kind", (row) => row.kind),
        plain("variety", (row) => row.variety),
        plain("environment", (row) => row.environment),
        quantity("rate", rate, (row) => row.rateSeedsPerM2),
        ...(["value", "lower", "upper"] as const).map((name) =>
          plain<CurveRow>(name, (row) => {
            const value = row[name];
            return value === null ? null : value * curveQuantity(row.kind, units).factor;
          }),
        ),
        plain("unit", (row) => curveQuantity(row.kind, units).unit),
      ],
    ),
    ...table("stand", result.stand, [
      plain("variety", (row) => row.variety),
      plain("environment", (row) => row.environment),
      plain("counts", (row) => row.counts),
      plain("stand_loss", (row) => row.standLoss),
      plain("lower", (row) => row.lower),
      plain("upper", (row) => row.upper),
    ]),
    ...table("lodging", result.lodging, [
      plain("variety", (row) => row.variety),
      plain("scale", (row) => row.scale),
      quantity("rate", rate, (row) => row.rateSeedsPerM2),
      plain("seen_share", (row) => row.seenShare),
      plain("expected_share", (row) => row.expectedShare),
      plain("chance_over_limit", (row) => row.chanceOverLimit),
    ]),
    ...table(
      "heads",
      result.tillering.flatMap(({ variety, rates }) => rates.map((row) => ({ variety, ...row }))),
      [
        plain("variety", (row) => row.variety),
        quantity("rate", rate, (row) => row.rateSeedsPerM2),
        plain("strips", (row) => row.strips),
        quantity("heads", { ...plants, unit: `heads${plants.unit}` }, (row) => row.headsPerM2),
        plain("heads_per_plant", (row) => row.headsPerPlant),
      ],
    ),
    ...table(
      "protein",
      result.protein.flatMap(({ levels, ...slope }) => levels.map((level) => ({ ...slope, ...level }))),
      [
        plain("variety", (row) => row.variety),
        plain("environment", (row) => row.environment),
        quantity("at_rate", rate, (row) => row.centreSeedsPerM2),
        plain("protein_pct", (row) => row.proteinPct),
        plain("points_per_100_seeds_m2", (row) => 100 * row.slopePctPerSeedPerM2),
      ],
    ),
    ...table("environments", result.environments, [
      plain("environment", (row) => row.id),
      plain("season", (row) => row.season),
      plain("farm", (row) => row.farm),
      plain("field", (row) => row.field),
      plain("strips", (row) => row.strips),
      plain("blocks", (row) => row.blocks),
    ]),
    ...table("findings", result.findings, [
      plain("severity", (row) => row.severity),
      plain("code", (row) => row.code),
      plain("file", (row) => row.file),
      plain("row", (row) => row.row),
      plain("column", (row) => row.column),
      plain("value", (row) => row.value),
      plain("message", (row) => row.message),
    ]),
  ];
}

type FitRow = { fit: Result["fits"][number]; form: Result["fits"][number]["forms"][number] };
type AnovaRow = NonNullable<Result["fits"][number]["anova"]>;
type CurveRow = Result["curves"][number] & Result["curves"][number]["points"][number];

/** What the values of a kind of curve are counted in. */
function curveQuantity(kind: Result["curves"][number]["kind"], { grain, money, plants }: CsvUnits): Quantity {
  switch (kind) {
    case "response":
    case "season":
      return grain;
    case "net-return":
      return money;
    case "stand":
    case "heads":
      return { ...plants, unit: `${kind === "stand" ? "plants" : "heads"}${plants.unit}` };
    case "lodging":
    case "lodging-chance":
      return { factor: 1, unit: "share" };
  }
}
