/** Does the optimum change with the yield level, the water or the seeding date of an environment? */
import { mean, quantile, sampleStandardDeviation } from "simple-statistics";
import { daysBetween } from "../../numbers/calendar.ts";
import { environmentId } from "../../vocabulary/environments.ts";
import { tQuantile, tTwoSided } from "../../maths/distributions.ts";
import type { PositionTerm, SeasonCovariate } from "../../vocabulary/pooled-result.ts";
import type { Settings } from "../../vocabulary/settings.ts";
import type { Strip } from "../../vocabulary/trial.ts";
import { awayFromZero } from "./fit-pooled-form.ts";
import { groupBy } from "../../maths/group-by.ts";
import type { PooledForm } from "./fit-pooled-form.ts";
import { fitMixedModel } from "./fit-mixed-model.ts";
import type { MixedFit } from "./fit-mixed-model.ts";
import { buildMixedModel } from "./mixed-model.ts";
import type { FixedColumns } from "./mixed-model.ts";
import { columnsOfForm, unitsOf } from "./pooled-forms.ts";
import { findVarianceUncertainty, testContrast } from "./satterthwaite.ts";
import { layOutTrial, restrictLayout } from "./trial-layout.ts";
import type { LaidVariety, TrialLayout } from "./trial-layout.ts";

/** Fewest environments for finding a relation. */
const fewestEnvironments = 4;

/**
 * Meta-regression in one step: in the pooled quadratic the slope of the rate may change with the covariate, in the same
 * way for all varieties, besides the random slopes of the environments. All strips count, also those of seasons whose
 * own curve has no top, which a regression of single optima must leave out.
 *
 * With slope b + γz + 2cx, the optimum moves by −γ/2c for one unit of z, whatever the prices; its interval is
 * Fieller's, with the mean bend c of the varieties. Fields share the weather of a season, so slopes differ by season
 * too, and a covariate has at most as many df as the seasons minus two if it differs mostly between seasons, otherwise
 * as the environments minus two, whatever Satterthwaite's formula gives for a variance found to be zero. The yield
 * level of an environment is the mean of its strips minus what varieties and rates explain; it is measured with the
 * same strips, so a relation with it is a description, not a cause.
 *
 * @param seasonOf  season of each environment
 */
export function relateToSeasons(
  pooled: TrialLayout,
  quadratic: PooledForm,
  cells: readonly LaidVariety[],
  strips: readonly Strip[],
  trend: PositionTerm | "none",
  seasonOf: ReadonlyMap<string, number>,
  settings: Settings,
): SeasonCovariate[] {
  const seasons = new Set(pooled.environments.map((id) => seasonOf.get(id)));
  const bySeason = seasons.size > 1 && seasons.size < pooled.environments.length;
  const layOut = (some: readonly LaidVariety[]): TrialLayout | null =>
    layOutTrial(some, trend, bySeason ? seasonOf : undefined);
  const whole = bySeason ? layOut(cells)! : pooled;
  const layoutOf = (environments: ReadonlySet<string>): TrialLayout | null => {
    if (whole.environments.every((id) => environments.has(id))) return whole;
    // If environments share seasons, a subset of environments is not a subset of the groups.
    const some = bySeason ? null : restrictLayout(pooled, environments);
    return some ?? layOut(cells.filter(({ environment }) => environments.has(environment)));
  };
  const start = [...awayFromZero(quadratic.fit.theta), ...(bySeason ? [0.2] : [])];
  const known: [SeasonCovariate["covariate"], SeasonCovariate["unit"], Map<string, number>][] = [
    ["yield-level", "kg/ha", yieldLevels(pooled, quadratic)],
    ["water", "mm", meansOf(strips, (strip) => strip.waterMm)],
    [
      "seeding-day",
      "days",
      meansOf(strips, (strip) =>
        strip.seeded === null ? null : daysBetween(`${strip.season}-01-01`, strip.seeded),
      ),
    ],
  ];
  return known.flatMap(([covariate, unit, values]) => {
    if (values.size < fewestEnvironments) return [];
    const layout = layoutOf(new Set(values.keys()));
    const related =
      layout === null ? null : relate(layout, values, seasonOf, Float64Array.from(start), settings);
    return related === null ? [] : [{ covariate, unit, ...related }];
  });
}

/** Mean of the known values of an environment's strips. */
function meansOf(strips: readonly Strip[], valueOf: (strip: Strip) => number | null): Map<string, number> {
  const sums = new Map<string, { sum: number; count: number }>();
  for (const strip of strips) {
    const value = valueOf(strip);
    if (value === null) continue;
    const environment = environmentId(strip);
    const entry = sums.get(environment);
    if (entry === undefined) sums.set(environment, { sum: value, count: 1 });
    else {
      entry.sum += value;
      entry.count++;
    }
  }
  return new Map([...sums].map(([environment, { sum, count }]) => [environment, sum / count]));
}

/** Yield of each environment at the mean rate, varieties evened out [kg/ha]. */
function yieldLevels(layout: TrialLayout, { fit, columns: { fixed } }: PooledForm): Map<string, number> {
  const above = new Float64Array(layout.environments.length);
  const strips = new Float64Array(layout.environments.length);
  for (const group of layout.sums.groups) {
    group.treatments.forEach((treatment, local) => {
      const { environment } = layout.treatments[treatment]!;
      let fitted = 0;
      for (let i = fixed.start[treatment]!; i < fixed.start[treatment + 1]!; i++)
        fitted += fixed.value[i]! * fit.estimates[fixed.column[i]!]!;
      above[environment]! += group.yields[local]! - group.strips[local]! * fitted;
      strips[environment]! += group.strips[local]!;
    });
  }
  return new Map(layout.environments.map((id, e) => [id, layout.meanKgPerHa + above[e]! / strips[e]!]));
}

/** The covariate of each environment, and its spread; null where it cannot be related to anything. */
function spreadOf(
  layout: TrialLayout,
  values: ReadonlyMap<string, number>,
  seasonOf: ReadonlyMap<string, number>,
): { known: number[]; center: number; spread: number; mostDf: number } | null {
  if (layout.environments.length < fewestEnvironments) return null;
  const known = layout.environments.map((id) => values.get(id)!);
  const center = mean(known);
  const spread = sampleStandardDeviation(known);
  if (!(spread > 1e-9 * Math.max(1, Math.abs(center)))) return null;
  const seasons = layout.environments.map((id) => seasonOf.get(id)!);
  const mostDf = tellingLevels(known, seasons) - 2;
  return mostDf < 1 ? null : { known, center, spread, mostDf };
}

function relate(
  layout: TrialLayout,
  values: ReadonlyMap<string, number>,
  seasonOf: ReadonlyMap<string, number>,
  start: Float64Array,
  settings: Settings,
): Omit<SeasonCovariate, "covariate" | "unit"> | null {
  const covariate = spreadOf(layout, values, seasonOf);
  if (covariate === null) return null;
  const { known, center, spread, mostDf } = covariate;
  const z = known.map((value) => (value - center) / spread);
  const { fit, uncertainty, slope, bend } = fitWithCovariate(layout, z, start);
  const change = testContrast(fit, uncertainty, slope);
  if (change === null) return null;
  const df = Math.min(change.df, mostDf);
  const p = tTwoSided(change.t, df);

  const top = testContrast(fit, uncertainty, bend);
  const perUnit = layout.scaleSeedsPerM2 / spread;
  const level = settings.intervalLevels[1];
  const ends =
    top !== null && top.estimate < 0
      ? ratioInterval(
          change.estimate,
          top.estimate,
          change.standardError ** 2,
          covarianceOf(fit, slope, bend),
          top.standardError ** 2,
          tQuantile((1 + level) / 2, df),
        )
      : null;
  return {
    environments: known.length,
    mean: center,
    low: quantile(known, 0.25),
    high: quantile(known, 0.75),
    slopeChange: {
      estimate: change.estimate / (layout.scaleSeedsPerM2 * spread),
      standardError: change.standardError / (layout.scaleSeedsPerM2 * spread),
      df,
      p,
    },
    optimumChange: ends && {
      estimate: (-perUnit * change.estimate) / (2 * top!.estimate),
      lower: (-perUnit * ends[1]) / 2,
      upper: (-perUnit * ends[0]) / 2,
    },
    supported: ends !== null && p < settings.testLevel,
  };
}

/**
 * The pooled quadratic with a slope that changes with the covariate.
 *
 * @param z  covariate of each environment, in standard deviations from its mean
 * @returns contrasts of that change and of the varieties' mean bend beside the fit
 */
function fitWithCovariate(layout: TrialLayout, z: number[], start: Float64Array) {
  const units = unitsOf(layout, "own");
  const curves = columnsOfForm(layout, "quadratic", units, []);
  const model = buildMixedModel(layout.sums, withCovariate(layout, curves.fixed, z));
  const fit = fitMixedModel(model, "REML", start.length === model.thetaCount ? { theta: start } : undefined);
  const slope = new Float64Array(model.columnCount);
  slope[curves.fixed.count + 1] = 1;
  const bends = units.flatMap((_, unit) => (curves.widths[unit] === 2 ? [curves.first[unit]! + 1] : []));
  const bend = new Float64Array(model.columnCount);
  for (const place of bends) bend[place] = 1 / bends.length;
  return { fit, uncertainty: findVarianceUncertainty(model, fit), slope, bend };
}

/** The number of seasons or environments, whichever the covariate mostly differs between. */
function tellingLevels(values: readonly number[], seasons: readonly number[]): number {
  const bySeason = groupBy([...values.keys()], (i) => String(seasons[i]!));
  const within = bySeason.flatMap(([, places]) => {
    const center = mean(places.map((i) => values[i]!));
    return places.map((i) => (values[i]! - center) ** 2);
  });
  const center = mean([...values]);
  const total = values.reduce((sum, value) => sum + (value - center) ** 2, 0);
  return within.reduce((sum, square) => sum + square, 0) < total / 2 ? bySeason.length : values.length;
}

/** The curves with two more columns: the covariate z, and z·u. */
function withCovariate(layout: TrialLayout, curves: FixedColumns, z: readonly number[]): FixedColumns {
  const start = new Int32Array(curves.start.length);
  const column: number[] = [];
  const value: number[] = [];
  layout.treatments.forEach(({ environment, u }, row) => {
    for (let i = curves.start[row]!; i < curves.start[row + 1]!; i++) {
      column.push(curves.column[i]!);
      value.push(curves.value[i]!);
    }
    column.push(curves.count, curves.count + 1);
    value.push(z[environment]!, z[environment]! * u);
    start[row + 1] = column.length;
  });
  return {
    count: curves.count + 2,
    start,
    column: Int32Array.from(column),
    value: Float64Array.from(value),
  };
}

function covarianceOf({ covariance }: MixedFit, a: Float64Array, b: Float64Array): number {
  let sum = 0;
  a.forEach((left, i) => {
    if (left !== 0) b.forEach((right, j) => (sum += left * right * covariance[i * a.length + j]!));
  });
  return sum;
}

/** Fieller's interval of a ratio a/b; null unless it has two ends. */
function ratioInterval(
  a: number,
  b: number,
  varianceA: number,
  covariance: number,
  varianceB: number,
  t: number,
): [number, number] | null {
  const square = b * b - t * t * varianceB;
  if (!(square > 0)) return null;
  const middle = a * b - t * t * covariance;
  const root = Math.sqrt(Math.max(0, middle * middle - square * (a * a - t * t * varianceA)));
  return [(middle - root) / square, (middle + root) / square];
}
