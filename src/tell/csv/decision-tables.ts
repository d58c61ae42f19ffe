/** Tables of what is advised, and of the curves that are drawn. */
import type { Curve, FieldRate, Interval, RateElsewhere, Result, TwoRates } from "../../vocabulary/result.ts";
import { assumedFor } from "../wording/assumed.ts";
import {
  optimumColumns,
  plain,
  quantity,
  table,
  type CsvTable,
  type CsvUnit,
  type CsvUnits,
} from "./columns.ts";

type NextRow = Result["next"][number];
type FieldRow = FieldRate & { variety: string; chance: number };
type ElsewhereRow = RateElsewhere & { variety: string };
type TwoRow = TwoRates & { variety: string };
type AdviceRow = Result["stripAdvice"][number];
type CurveRow = Curve & Curve["points"][number];

/** Most profitable rate with other starting assumptions. */
const movedPriors = [
  ["most_money_if_flat", "flat"],
  ["most_money_if_alone", "alone"],
  ["most_money_if_need_lower", "need-lower"],
  ["most_money_if_need_higher", "need-higher"],
  ["most_money_without_region", "without-region"],
  ["most_money_without_recommended", "without-recommended"],
] as const;

/** What the values of a kind of curve are counted in. */
function curveUnit(kind: Curve["kind"], { grain, money, plants, heads }: CsvUnits): CsvUnit {
  switch (kind) {
    case "response":
    case "season":
      return grain;
    case "net-return":
    case "gain":
      return money;
    case "stand":
      return plants;
    case "heads":
      return heads;
    case "lodging":
    case "lodging-chance":
      return { factor: 1, unit: "share" };
  }
}

/** Empty where the strips do not say how much farther it reaches. */
const lowerEnd = (interval?: Interval): number | null =>
  interval === undefined || interval.openBelow === true ? null : interval.lower;
const upperEnd = (interval?: Interval): number | null =>
  interval === undefined || interval.openAbove === true ? null : interval.upper;

export function decisionTables(result: Result, units: CsvUnits): CsvTable[] {
  const { rate, money, seed, grain } = units;
  return [
    ...table<NextRow>("next", result.next, [
      plain("variety", (row) => row.variety),
      quantity("rate_now", rate, (row) => row.rateNowSeedsPerM2),
      plain("rate_now_from", (row) => row.rateNowFrom),
      quantity("rate_next", rate, (row) => row.rateNextSeedsPerM2),
      plain("days_late", (row) => row.late.plannedDaysLate),
      quantity("rate_to_sow", rate, (row) => row.rateToSowSeedsPerM2),
      ...optimumColumns<NextRow>("yield_optimum", rate, (row) => row.yieldOptimum),
      ...optimumColumns<NextRow>("economic_optimum", rate, (row) => row.economicOptimum),
      quantity("likely_lower", rate, (row) => lowerEnd(row.intervals[0])),
      quantity("likely_upper", rate, (row) => upperEnd(row.intervals[0])),
      quantity("flat_zone_lower", rate, (row) => row.flatZone?.lower ?? null),
      quantity("flat_zone_upper", rate, (row) => row.flatZone?.upper ?? null),
      quantity("lodging_ceiling", rate, (row) => row.lodgingCeilingSeedsPerM2),
      quantity("gain_expected", money, (row) => row.gainPerHa?.expected ?? null),
      quantity("gain_lower", money, (row) => row.gainPerHa?.lower ?? null),
      quantity("gain_upper", money, (row) => row.gainPerHa?.upper ?? null),
      plain("chance_of_gain", (row) => row.chanceOfGain),
      quantity("expected_loss", money, (row) => row.expectedLossPerHa),
      plain("evidence", (row) => row.evidence),
      plain("assumed", (row) => assumedFor(result, row).join(" ")),
      ...movedPriors.map(([column, prior]) =>
        quantity<NextRow>(
          column,
          rate,
          (row) => row.sensitivity.find((one) => one.prior === prior)?.rateSeedsPerM2 ?? null,
        ),
      ),
      plain("reasons", (row) => row.reasons.map((reason) => reason.code).join(" ")),
    ]),
    ...table<TwoRow>(
      "two-rates",
      result.next.flatMap(({ variety, twoRates }) => (twoRates === null ? [] : [{ ...twoRates, variety }])),
      [
        plain("variety", (row) => row.variety),
        quantity("lower_rate", rate, (row) => row.lowerSeedsPerM2),
        quantity("higher_rate", rate, (row) => row.higherSeedsPerM2),
        plain("field_seasons", (row) => row.environments),
        plain("higher_yielded_more_in", (row) => row.environmentsHigherYieldedMore),
        quantity("higher_yielded_more_by", grain, (row) => row.differenceKgPerHa),
        quantity("standard_error", grain, (row) => row.standardErrorKgPerHa),
        quantity("gain_of_higher", money, (row) => row.gainPerHa),
        plain("chance_higher_pays", (row) => row.chanceHigherPays),
      ],
    ),
    ...table<FieldRow>(
      "next-by-field",
      result.next.flatMap(({ variety, byField }) =>
        (byField?.fields ?? []).map((field) => ({ ...field, variety, chance: byField!.chanceTheyDiffer })),
      ),
      [
        plain("variety", (row) => row.variety),
        plain("field_or_ground", (row) => row.field),
        ...optimumColumns<FieldRow>("economic_optimum", rate, (row) => row.economicOptimum),
        quantity("likely_lower", rate, (row) => lowerEnd(row.likely)),
        quantity("likely_upper", rate, (row) => upperEnd(row.likely)),
        quantity("rate_next", rate, (row) => row.rateNextSeedsPerM2),
        quantity("rate_to_sow", rate, (row) => row.rateToSowSeedsPerM2),
        quantity("seed", seed, (row) => row.kgPerHa),
        quantity("gain_expected", money, (row) => row.gainPerHa?.expected ?? null),
        quantity("gain_lower", money, (row) => row.gainPerHa?.lower ?? null),
        quantity("gain_upper", money, (row) => row.gainPerHa?.upper ?? null),
        plain("chance_of_gain", (row) => row.chanceOfGain),
        quantity("one_rate_costs", money, (row) => row.oneRateCostsPerHa),
        plain("chance_fields_differ", (row) => row.chance),
      ],
    ),
    ...table<ElsewhereRow>(
      "next-elsewhere",
      result.next.flatMap(({ variety, elsewhere }) =>
        (elsewhere ?? []).map((rate) => ({ ...rate, variety })),
      ),
      [
        plain("variety", (row) => row.variety),
        plain("ground", (row) => (row.where.kind === "ground" ? row.where.ground : "")),
        plain("against_ground", (row) => (row.where.kind === "ground" ? row.where.against : "")),
        plain("more_water_mm", (row) => (row.where.kind === "water" ? row.where.moreMm : null)),
        plain("farms", (row) => row.farms),
        plain("need_change_log", (row) => row.logShift),
        plain("chance_of_direction", (row) => row.chance),
        ...optimumColumns<ElsewhereRow>("economic_optimum", rate, (row) => row.economicOptimum),
        quantity("likely_lower", rate, (row) => lowerEnd(row.likely)),
        quantity("likely_upper", rate, (row) => upperEnd(row.likely)),
      ],
    ),
    ...table<AdviceRow>("strip-advice", result.stripAdvice, [
      plain("variety", (row) => row.variety),
      plain("need", (row) => row.need),
      plain("past_strips", (row) => row.pastStrips),
      plain("past_environments", (row) => row.pastEnvironments),
      plain("blocks", (row) => row.blocks),
      plain("rates", (row) => row.ratesPerVariety),
      quantity("value_of_knowing_all", money, (row) => row.valueOfKnowingAllPerHa),
      quantity("value_of_trial", money, (row) => row.valueOfTrialPerHa),
      plain(`cost_of_trial (${result.units.currency})`, (row) => row.costOfTrial),
      plain("seasons_used", (row) => row.seasonsUsed),
      quantity("interval_width_now", rate, (row) => row.intervalWidthNowSeedsPerM2),
      quantity("interval_width_after", rate, (row) => row.intervalWidthAfterSeedsPerM2),
    ]),
    ...table<CurveRow>(
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
            return value === null ? null : value * curveUnit(row.kind, units).factor;
          }),
        ),
        plain("unit", (row) => curveUnit(row.kind, units).unit),
      ],
    ),
  ];
}
