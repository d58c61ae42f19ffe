/** What the lodging scores show by themselves: environments and varieties as fixed effects, no prior. */
import { environmentId } from "../../vocabulary/environments.ts";
import { fUpperTail, tTwoSided } from "../../maths/distributions.ts";
import { GroupedLogit, type LogitFit } from "../../maths/grouped-logit.ts";
import type { Coefficient, LodgingRegression } from "../../vocabulary/result.ts";
import { rateByOrder } from "./lodging-order.ts";
import { toLogitCells, type LodgingCell, type LodgingTable, type Terms } from "./lodging-cells.ts";

/** Rates enter as hundreds of seeds/m² from the centre. */
const hundred = 100;

/**
 * Quasi-binomial regression of the share lodged on environment, variety and rate, log odds.
 *
 * Pearson dispersion, t and F tests with the residual degrees of freedom. Environments and varieties in which nothing, or
 * everything, lodged have no finite effect and change no other estimate: they are left out and named.
 *
 * @param centreSeedsPerM2 rate at which the coefficients of the varieties hold
 * @returns null when rate or lodging does not vary enough, or when low and high rates are separated completely
 * Source: McCullagh & Nelder 1989, ch. 4 and 9; Papke & Wooldridge 1996, J. Appl. Econometrics 11:619 (shares as response).
 * Reference check: test/reference/lodging (R 4.2, glm with quasibinomial).
 */
export function regressLodging(table: LodgingTable, centreSeedsPerM2: number): LodgingRegression | null {
  const { cells, environments, varieties, withoutInformation } = withInformation(table);
  const observations = cells.reduce((sum, cell) => sum + cell.strips, 0);
  const rates = new Set(cells.map((cell) => cell.rateSeedsPerM2));
  if (rates.size < 2) return null;

  const varietyNumber = new Map(varieties.map((variety, i) => [variety, i]));
  const rise = (cell: LodgingCell): number => (cell.rateSeedsPerM2 - centreSeedsPerM2) / hundred;
  const fit = (columns: number, termsOf: (cell: LodgingCell) => Terms): LogitFit =>
    new GroupedLogit(toLogitCells(cells, columns, [(cell) => cell.environment], termsOf)).fit({
      dispersion: 1,
      columnMean: new Float64Array(columns),
      columnPrecision: new Float64Array(columns),
      levelPrecision: null,
      start: null,
    });

  const count = varieties.length;
  const common = fit(count + 1, (cell) => [
    [varietyNumber.get(cell.variety)!, 1],
    [count, rise(cell)],
  ]);
  const residualDf = observations - environments.length - count;
  if (!common.converged || residualDf < 1) return null;
  const dispersion = common.pearson / residualDf;
  if (!(dispersion > 0)) return null;

  const ownSlopes = (): LogitFit =>
    fit(2 * count, (cell) => {
      const variety = varietyNumber.get(cell.variety)!;
      return [
        [variety, 1],
        [count + variety, rise(cell)],
      ];
    });
  const silentNames = new Set(withoutInformation);
  return {
    centreSeedsPerM2,
    coefficients: coefficientsOf(
      common,
      varieties.map((variety) => table.varieties[variety]!),
      environments.map((environment) => table.environments[environment]!.id),
      { dispersion, residualDf },
    ),
    dispersion,
    deviance: common.deviance,
    residualDf,
    withoutInformation,
    byOrder: rateByOrder(
      table.scored.filter(
        (strip) => !silentNames.has(strip.variety) && !silentNames.has(environmentId(strip)),
      ),
      (rate) => (rate - centreSeedsPerM2) / hundred,
    ),
    varietyByRate: count < 2 ? null : testOwnSlopes(common, ownSlopes(), residualDf, count - 1),
  };
}

/**
 * Varieties, all environments but the first, and the rate, each with its t test; columns are the varieties, then the
 * rate.
 */
function coefficientsOf(
  { coefficients, effects, varianceOf }: LogitFit,
  varieties: readonly string[],
  environments: readonly string[],
  { dispersion, residualDf }: { dispersion: number; residualDf: number },
): Coefficient[] {
  const count = varieties.length;
  const coefficient = (name: string, estimate: number, variance: number): Coefficient => {
    const standardError = Math.sqrt(variance * dispersion);
    const t = estimate / standardError;
    return { name, estimate, standardError, t, p: tTwoSided(t, residualDf) };
  };
  const ofColumn = (name: string, at: number): Coefficient => {
    const weights = new Float64Array(count + 1);
    weights[at] = 1;
    return coefficient(name, coefficients[at]!, varianceOf(weights));
  };
  const ofLevel = (name: string, g: number): Coefficient =>
    coefficient(name, effects[0]![g]!, varianceOf(new Float64Array(count + 1), [[g, 1]]));
  return [...varieties.map(ofColumn), ...environments.map(ofLevel).slice(1), ofColumn("rate", count)];
}

/** F test of own slopes against one common slope; null where the fit of own slopes does not converge. */
function testOwnSlopes(
  common: LogitFit,
  own: LogitFit,
  residualDf: number,
  df: number,
): LodgingRegression["varietyByRate"] {
  const ownDf = residualDf - df;
  if (!own.converged || ownDf < 1) return null;
  const f = Math.max(0, common.deviance - own.deviance) / df / (own.pearson / ownDf);
  return Number.isFinite(f) ? { f, df, residualDf: ownDf, p: fUpperTail(f, df, ownDf) } : null;
}

/** Cells, environments and varieties that remain without those in which nothing or everything lodged. */
function withInformation(table: LodgingTable): {
  cells: LodgingCell[];
  environments: number[];
  varieties: number[];
  withoutInformation: string[];
} {
  let cells = table.cells;
  const withoutInformation: string[] = [];
  for (;;) {
    const silentEnvironments = silent(cells, (cell) => cell.environment);
    const silentVarieties = silent(cells, (cell) => cell.variety);
    if (silentEnvironments.size + silentVarieties.size === 0) break;
    for (const environment of silentEnvironments)
      withoutInformation.push(table.environments[environment]!.id);
    for (const variety of silentVarieties) withoutInformation.push(table.varieties[variety]!);
    cells = cells.filter(
      (cell) => !silentEnvironments.has(cell.environment) && !silentVarieties.has(cell.variety),
    );
  }
  const numbers = (of: (cell: LodgingCell) => number): number[] =>
    [...new Set(cells.map(of))].sort((a, b) => a - b);
  return {
    cells,
    environments: numbers((cell) => cell.environment),
    varieties: numbers((cell) => cell.variety),
    withoutInformation: [...new Set(withoutInformation)].sort(),
  };
}

/** Groups whose shares are all 0 or all 1. */
function silent(cells: readonly LodgingCell[], groupOf: (cell: LodgingCell) => number): Set<number> {
  const sums = new Map<number, { strips: number; sum: number }>();
  for (const cell of cells) {
    const entry = sums.get(groupOf(cell)) ?? { strips: 0, sum: 0 };
    entry.strips += cell.strips;
    entry.sum += cell.sum;
    sums.set(groupOf(cell), entry);
  }
  return new Set(
    [...sums.entries()]
      .filter(([, { strips, sum }]) => sum <= 0 || sum >= strips * (1 - 1e-12))
      .map(([group]) => group),
  );
}
