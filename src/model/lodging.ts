/**
 * Lodging against seeding rate, and what a season to come may bring.
 *
 * Two views of the same scores. `regressLodging` takes the environments as they were. Here they are a sample: next season's
 * is a new one, so the spread between them is part of the answer, and weak priors keep a variety or a season in which
 * nothing lodged from having an infinite effect.
 */
import { fitGroupedLogit, type LogitFit } from "../maths/grouped-logit.ts";
import type { LodgingBelief, LodgingModel, VarietyLodging } from "../result.ts";
import type { Strip } from "../trial.ts";
import { tabulateLodging, toLogitCells, type LodgingCell, type LodgingTable } from "./lodging-cells.ts";
import { regressLodging } from "./lodging-regression.ts";

/**
 * Priors, in log odds. Rates count from their mean in units of two standard deviations, as Gelman (2008, Stat. Med.
 * 27:2865) advises, so that a slope of 1 is the change from a thin to a thick strip; the scale of 2.5 follows Gelman et al.
 * 2008 (Ann. Appl. Stat. 2:1360). The others are ours: over the seasons a variety lodges on anything from 1 to 95 % of its
 * scale; seasons from hardly different to a flat and an upright one; varieties that answer to season and rate rather alike.
 */
const levelMean = -1;
const levelSd = 2;
const slopeSd = 2.5;
/** Prior counts of environments with and without lodging, for the chance that anything lodges. */
const someLodging = 0.75;
const noLodging = 0.25;
const spreads = {
  season: { scale: 2, grid: [0.1, 0.25, 0.45, 0.7, 1, 1.4, 1.9, 2.5, 3.3, 4.3] },
  varietyInSeason: { scale: 0.5, grid: [0.05, 0.25, 0.5, 0.9, 1.5] },
  slope: { scale: 0.5, grid: [0.05, 0.25, 0.5, 0.9, 1.5] },
};

/** Rounding to the steps of a scale alone makes scores differ by about this much of binomial variation. */
const leastDispersion = 0.01;
/** Fewest scored strips, of one scale, that give a model. */
const fewestStrips = 8;
/** A set of spreads whose log weight is this far below the best is not looked beyond. */
const outOfSight = 7;

/** All lodging scores: a model for each scale, or set of scales, that may be pooled. */
export function modelLodging(strips: readonly Strip[]): LodgingModel[] {
  return tabulateLodging(strips).map((table) => {
    const { centre, unit } = middleOfRates(table.cells);
    const regression = regressLodging(table, centre);
    const lodged = withoutSafeEnvironments(table);
    const beliefs =
      reasonForNoModel(table) === ""
        ? believeLodging(lodged, centre, unit, regression?.dispersion ?? null)
        : table.varieties.map(() => []);
    const chanceOfAny =
      (lodged.environments.length + someLodging) / (table.environments.length + someLodging + noLodging);
    return {
      scale: table.scale,
      strips: table.strips,
      environments: table.environments.length,
      regression,
      varieties: table.varieties.map((_, v) => varietyLodging(table, v, centre, chanceOfAny, beliefs[v]!)),
    };
  });
}

/**
 * The environments in which something lodged. One in which nothing did is of another kind (dry, short straw): its log odds
 * are without bound, and to count it as a low value of the same bell would make high values of others more believable.
 */
function withoutSafeEnvironments(table: LodgingTable): LodgingTable {
  const sums = new Float64Array(table.environments.length);
  for (const cell of table.cells) sums[cell.environment]! += cell.sum;
  const kept = table.environments.flatMap((_, e) => (sums[e]! > 0 ? [e] : []));
  const numberOf = new Map(kept.map((e, i) => [e, i]));
  const cells = table.cells
    .filter((cell) => numberOf.has(cell.environment))
    .map((cell) => ({ ...cell, environment: numberOf.get(cell.environment)! }));
  return {
    ...table,
    strips: cells.reduce((sum, cell) => sum + cell.strips, 0),
    environments: kept.map((e) => table.environments[e]!),
    cells,
  };
}

function reasonForNoModel(table: LodgingTable): VarietyLodging["reason"] {
  if (table.cells.every((cell) => cell.sum <= 0)) return "never-lodged";
  const rates = new Set(table.cells.map((cell) => cell.rateSeedsPerM2));
  return table.strips < fewestStrips || rates.size < 2 ? "too-few-strips" : "";
}

/** Mean of the rates over the strips, and two standard deviations. */
function middleOfRates(cells: readonly LodgingCell[]): { centre: number; unit: number } {
  let strips = 0;
  let sum = 0;
  for (const cell of cells) {
    strips += cell.strips;
    sum += cell.strips * cell.rateSeedsPerM2;
  }
  const centre = sum / strips;
  let squares = 0;
  for (const cell of cells) squares += cell.strips * (cell.rateSeedsPerM2 - centre) ** 2;
  return { centre, unit: 2 * Math.sqrt(squares / strips) };
}

/** Places in the three grids of `spreads`. */
type GridPoint = readonly [season: number, varietyInSeason: number, slope: number];

/**
 * What is believed of each variety, over a grid of spreads: of the environments, of a variety in them, and of the
 * varieties' slopes.
 *
 * For each set of spreads the penalised quasi-likelihood is maximised; its height and curvature (Laplace's method; Tierney
 * & Kadane 1986, J. Am. Stat. Assoc. 81:82) weigh the set, and give the mean and covariance of each variety's level and
 * slope. From a middling set the grid is walked to every set that weighs something: many where strips are few, few where
 * they are many.
 */
function believeLodging(
  table: LodgingTable,
  centre: number,
  unit: number,
  dispersionOfRegression: number | null,
): LodgingBelief[][] {
  const varieties = table.varieties.length;
  const environments = table.environments.length;
  const columns = 2 * varieties + 1;
  const cells = toLogitCells(
    table.cells,
    environments,
    columns,
    (environment) => environment,
    (cell) => {
      const rise = (cell.rateSeedsPerM2 - centre) / unit;
      return [
        [cell.variety, 1],
        [varieties, rise],
        [varieties + 1 + cell.variety, rise],
      ];
    },
  );
  const subgroups = cells.groupOfSubgroup.length;
  const columnMean = new Float64Array(columns);
  columnMean.fill(levelMean, 0, varieties);
  const spreadsAt = ([i, j, k]: GridPoint): [number, number, number] => [
    spreads.season.grid[i]!,
    spreads.varietyInSeason.grid[j]!,
    spreads.slope.grid[k]!,
  ];
  const fit = (at: GridPoint, dispersion: number, start: LogitFit | null): LogitFit => {
    const [season, varietyInSeason, slope] = spreadsAt(at);
    const columnPrecision = new Float64Array(columns).fill(1 / slope ** 2);
    columnPrecision.fill(1 / levelSd ** 2, 0, varieties);
    columnPrecision[varieties] = 1 / slopeSd ** 2;
    return fitGroupedLogit(cells, {
      dispersion,
      columnMean,
      columnPrecision,
      groupPrecision: 1 / season ** 2,
      subgroupPrecision: 1 / varietyInSeason ** 2,
      start,
    });
  };
  const middle: GridPoint = [4, varieties === 1 ? 0 : 1, varieties === 1 ? 0 : 1];
  const roughDispersion = (): number =>
    fit(middle, 1, null).pearson / Math.max(1, table.strips - environments - varieties - 1);
  const dispersion = Math.max(leastDispersion, dispersionOfRegression ?? roughDispersion());

  const weigh = (at: GridPoint, start: LogitFit | null): { fitted: LogitFit; logWeight: number } => {
    const fitted = fit(at, dispersion, start);
    const [season, varietyInSeason, slope] = spreadsAt(at);
    const logWeight =
      logPrior(spreads.season, at[0]) +
      logPrior(spreads.varietyInSeason, at[1]) +
      logPrior(spreads.slope, at[2]) +
      fitted.objective -
      environments * Math.log(season) -
      subgroups * Math.log(varietyInSeason) -
      varieties * Math.log(slope) -
      0.5 * fitted.logDeterminant;
    return { fitted, logWeight };
  };
  // One variety tells nothing about how varieties differ: those spreads stay at their smallest.
  const movable = varieties === 1 ? [0] : [0, 1, 2];
  const points = walkGrid(middle, movable, weigh);

  return table.varieties.map((_, v) => {
    const slopeColumns = [varieties, varieties + 1 + v];
    const beliefs = points.map(({ at, fitted: { coefficients, covariance }, weight }) => {
      const between = (rows: number[], others: number[]): number =>
        rows.reduce(
          (sum, row) => sum + others.reduce((inner, other) => inner + covariance[row * columns + other]!, 0),
          0,
        );
      const [season, varietyInSeason] = spreadsAt(at);
      return {
        at,
        weight,
        level: coefficients[v]!,
        slope: slopeColumns.reduce((sum, column) => sum + coefficients[column]!, 0) / unit,
        levelVariance: between([v], [v]),
        slopeVariance: between(slopeColumns, slopeColumns) / unit ** 2,
        covariance: between([v], slopeColumns) / unit,
        seasonVariance: season ** 2 + varietyInSeason ** 2,
      };
    });
    return spreads.season.grid
      .map((_, i) => beliefs.filter(({ at }) => at[0] === i))
      .filter((alike) => alike.length > 0)
      .map(merge);
  });
}

/** One belief with the mean, variances and covariance of several. */
function merge(beliefs: readonly LodgingBelief[]): LodgingBelief {
  const weight = beliefs.reduce((sum, belief) => sum + belief.weight, 0);
  const mean = (of: (belief: LodgingBelief) => number): number =>
    beliefs.reduce((sum, belief) => sum + (belief.weight / weight) * of(belief), 0);
  const level = mean((belief) => belief.level);
  const slope = mean((belief) => belief.slope);
  return {
    weight,
    level,
    slope,
    levelVariance: mean((belief) => belief.levelVariance + (belief.level - level) ** 2),
    slopeVariance: mean((belief) => belief.slopeVariance + (belief.slope - slope) ** 2),
    covariance: mean((belief) => belief.covariance + (belief.level - level) * (belief.slope - slope)),
    seasonVariance: mean((belief) => belief.seasonVariance),
  };
}

/** Half-normal prior of a spread, times the stretch that the place in its grid stands for. */
function logPrior({ scale, grid }: { scale: number; grid: number[] }, at: number): number {
  const width = ((grid[at + 1] ?? grid[at]!) - (grid[at - 1] ?? 0)) / 2;
  return Math.log(width) - 0.5 * (grid[at]! / scale) ** 2;
}

/** All places of the grids that weigh something, found from neighbour to neighbour; the weights add up to 1. */
function walkGrid(
  from: GridPoint,
  movable: readonly number[],
  weigh: (at: GridPoint, start: LogitFit | null) => { fitted: LogitFit; logWeight: number },
): { at: GridPoint; fitted: LogitFit; weight: number }[] {
  const lengths = [
    spreads.season.grid.length,
    spreads.varietyInSeason.grid.length,
    spreads.slope.grid.length,
  ];
  const seen = new Set([from.join()]);
  const first = { at: from, ...weigh(from, null) };
  const reached = [first];
  let best = first.logWeight;
  // Heaviest first: the way leads up to the top before it spreads out from there.
  for (const open = [first]; open.length > 0;) {
    open.sort((a, b) => a.logWeight - b.logWeight);
    const here = open.pop()!;
    if (here.logWeight < best - outOfSight) break;
    for (const axis of movable)
      for (const move of [-1, 1]) {
        const at = here.at.map((place, i) => (i === axis ? place + move : place)) as unknown as GridPoint;
        if (at[axis]! < 0 || at[axis]! >= lengths[axis]! || seen.has(at.join())) continue;
        seen.add(at.join());
        const next = { at, ...weigh(at, here.fitted) };
        best = Math.max(best, next.logWeight);
        reached.push(next);
        open.push(next);
      }
  }
  const weighed = reached
    .filter(({ logWeight }) => logWeight > best - outOfSight)
    .map(({ at, fitted, logWeight }) => ({ at, fitted, weight: Math.exp(logWeight - best) }));
  const total = weighed.reduce((sum, { weight }) => sum + weight, 0);
  return weighed.map((point) => ({ ...point, weight: point.weight / total }));
}

function varietyLodging(
  table: LodgingTable,
  variety: number,
  centre: number,
  chanceOfAny: number,
  beliefs: LodgingBelief[],
): VarietyLodging {
  const cells = table.cells.filter((cell) => cell.variety === variety);
  const rates = cells.map((cell) => cell.rateSeedsPerM2);
  const environments = [...new Set(cells.map((cell) => cell.environment))];
  return {
    variety: table.varieties[variety]!,
    scale: table.scale,
    strips: cells.reduce((sum, cell) => sum + cell.strips, 0),
    testedSeedsPerM2: [
      rates.reduce((least, rate) => Math.min(least, rate), Infinity),
      rates.reduce((most, rate) => Math.max(most, rate), 0),
    ],
    centreSeedsPerM2: centre,
    chanceOfAny,
    beliefs,
    reason: reasonForNoModel(table),
    seen: environments.map((environment) => ({
      environment: table.environments[environment]!.id,
      season: table.environments[environment]!.season,
      rates: cells
        .filter((cell) => cell.environment === environment)
        .map((cell) => ({
          rateSeedsPerM2: cell.rateSeedsPerM2,
          strips: cell.strips,
          share: cell.sum / cell.strips,
        })),
    })),
  };
}
