/**
 * What is believed of lodging in a coming season: seasons, fields and varieties as samples, over a grid of their
 * spreads.
 */
import { GroupedLogit, type LogitFit } from "../../maths/grouped-logit.ts";
import type { LodgingBelief } from "../../vocabulary/result.ts";
import type { LodgingPriors } from "../../vocabulary/settings.ts";
import { toLogitCells, type LodgingCell, type LodgingTable } from "./lodging-cells.ts";

/** Spreads looked at, in log odds; `LodgingPriors` weighs them. */
const grids = {
  season: [0.15, 0.4, 0.7, 1.05, 1.5, 2.1, 3, 4.2],
  field: [0.05, 0.3, 0.7, 1.3],
  varietyInField: [0.05, 0.25, 0.5, 0.9],
  slope: [0.05, 0.3, 0.7, 1.2],
};

/** Rounding to the steps of a scale by itself makes scores vary by about this share of binomial variation. */
const leastDispersion = 0.01;
/** The search stops at sets of spreads whose log weight is this far below the best. */
const outOfSight = 5;

/** With more cells than this, spreads are found from an even sample of the environments, which then is enough. */
const mostCells = 20_000;

/** Places in `grids`. */
type GridPoint = readonly [season: number, field: number, varietyInField: number, slope: number];

/** One set of spreads, what was fitted under it, and its weight. */
interface WeighedFit {
  at: GridPoint;
  fitted: LogitFit;
  weight: number;
}

/**
 * What is believed of each variety of the table, over a grid of spreads: of the seasons, of the fields in a season, of the
 * varieties in a field, and of the varieties' slopes.
 *
 * For each set of spreads the penalised quasi-likelihood is maximised; its height and curvature (Laplace's method;
 * Tierney & Kadane 1986, J. Am. Stat. Assoc. 81:82) weigh the set, and give the mean and covariance of each variety's
 * level and slope. From a middle set the search visits every set with some weight: many if strips are few, few if they
 * are many. Sets with the same spread of seasons are combined into one.
 *
 * @param table  environments in which something lodged
 * @param centre, unit  rates are counted from `centre` in `unit`s, two standard deviations of the rates [seeds/m²]
 * @param knownDispersion  of the regression without priors; null: estimated here
 */
export function believeLodging(
  table: LodgingTable,
  centre: number,
  unit: number,
  knownDispersion: number | null,
  priors: LodgingPriors,
): LodgingBelief[][] {
  const model = new SpreadModel(table, centre, unit, knownDispersion, priors);
  const thinned = thinEnvironments(table);
  const points =
    thinned === table
      ? model.weighSpreads()
      : [heaviest(new SpreadModel(thinned, centre, unit, model.dispersion, priors).weighSpreads())].map(
          ({ at }) => ({
            at,
            fitted: model.fit(at, null),
            weight: 1,
          }),
        );
  return table.varieties.map((_, variety) => {
    const beliefs = points.map((point) => ({ at: point.at, ...beliefOf(point, variety, unit) }));
    return grids.season
      .map((_, i) => beliefs.filter(({ at }) => at[0] === i))
      .filter((alike) => alike.length > 0)
      .map(merge);
  });
}

const heaviest = (points: readonly WeighedFit[]): WeighedFit =>
  points.reduce((best, point) => (point.weight > best.weight ? point : best));

function thinEnvironments(table: LodgingTable): LodgingTable {
  const every = Math.ceil(table.cells.length / mostCells);
  return every === 1
    ? table
    : { ...table, cells: table.cells.filter(({ environment }) => environment % every === 0) };
}

const spreadsAt = (at: GridPoint) => ({
  season: grids.season[at[0]]!,
  field: grids.field[at[1]]!,
  varietyInField: grids.varietyInField[at[2]]!,
  slope: grids.slope[at[3]]!,
});

/** The table's cells under any spreads. Columns: level of each variety, common slope, each variety's own part of it. */
class SpreadModel {
  readonly dispersion: number;
  readonly #logit: GroupedLogit;
  readonly #priors: LodgingPriors;
  readonly #varieties: number;
  readonly #units: readonly [plots: number, fields: number, seasons: number];

  constructor(
    table: LodgingTable,
    centre: number,
    unit: number,
    knownDispersion: number | null,
    priors: LodgingPriors,
  ) {
    const varieties = table.varieties.length;
    const cells = toLogitCells(
      table.cells,
      2 * varieties + 1,
      [
        ({ environment, variety }) => environment * varieties + variety,
        ({ environment }) => environment,
        ({ environment }) => table.environments[environment]!.season,
      ],
      ({ variety, rateSeedsPerM2 }: LodgingCell) => {
        const rise = (rateSeedsPerM2 - centre) / unit;
        return [
          [variety, 1],
          [varieties, rise],
          [varieties + 1 + variety, rise],
        ];
      },
    );
    this.#logit = new GroupedLogit(cells);
    this.#priors = priors;
    this.#varieties = varieties;
    this.#units = cells.levels.map(({ units }) => units) as [number, number, number];
    this.dispersion = 1;
    this.dispersion = Math.max(leastDispersion, knownDispersion ?? this.#roughDispersion(table.strips));
  }

  #roughDispersion(strips: number): number {
    const [, fields] = this.#units;
    return this.fit(this.#middle(), null).pearson / Math.max(1, strips - fields - this.#varieties - 1);
  }

  fit(at: GridPoint, start: LogitFit | null): LogitFit {
    const { season, field, varietyInField, slope } = spreadsAt(at);
    const varieties = this.#varieties;
    const columns = 2 * varieties + 1;
    const { levelMean, levelSd, slopeSd } = this.#priors;
    const columnMean = new Float64Array(columns).fill(levelMean, 0, varieties);
    const columnPrecision = new Float64Array(columns).fill(1 / slope ** 2);
    columnPrecision.fill(1 / levelSd ** 2, 0, varieties);
    columnPrecision[varieties] = 1 / slopeSd ** 2;
    return this.#logit.fit({
      dispersion: this.dispersion,
      columnMean,
      columnPrecision,
      levelPrecision: [1 / varietyInField ** 2, 1 / field ** 2, 1 / season ** 2],
      start,
    });
  }

  /** With one field a season, or one variety, the strips cannot show how fields or varieties differ: those spreads stay smallest. */
  #movable(): boolean[] {
    const [, fields, seasons] = this.#units;
    return [true, fields > seasons, this.#varieties > 1, this.#varieties > 1];
  }

  #middle(): GridPoint {
    const movable = this.#movable();
    return [3, movable[1] ? 1 : 0, movable[2] ? 1 : 0, movable[3] ? 1 : 0];
  }

  #weigh(at: GridPoint, start: LogitFit | null): { at: GridPoint; fitted: LogitFit; logWeight: number } {
    const fitted = this.fit(at, start);
    const { season, field, varietyInField, slope } = spreadsAt(at);
    const [plots, fields, seasons] = this.#units;
    const { seasonSpread, fieldSpread, varietySpread, slopeSpread } = this.#priors;
    const logWeight =
      logPrior(grids.season, seasonSpread, at[0]) +
      logPrior(grids.field, fieldSpread, at[1]) +
      logPrior(grids.varietyInField, varietySpread, at[2]) +
      logPrior(grids.slope, slopeSpread, at[3]) +
      fitted.objective -
      seasons * Math.log(season) -
      fields * Math.log(field) -
      plots * Math.log(varietyInField) -
      this.#varieties * Math.log(slope) -
      0.5 * fitted.logDeterminant;
    return { at, fitted, logWeight };
  }

  /** All places of the grids with some weight, found from neighbour to neighbour; the weights add up to 1. */
  weighSpreads(): WeighedFit[] {
    const lengths = Object.values(grids).map((grid) => grid.length);
    const movable = this.#movable();
    const first = this.#weigh(this.#middle(), null);
    const seen = new Set([first.at.join()]);
    const reached = [first];
    let best = first.logWeight;
    // Heaviest first: the search climbs to the top before it spreads out from there.
    for (const open = [first]; open.length > 0;) {
      open.sort((a, b) => a.logWeight - b.logWeight);
      const here = open.pop()!;
      if (here.logWeight < best - outOfSight) break;
      for (let axis = 0; axis < lengths.length; axis++)
        for (const move of movable[axis] ? [-1, 1] : []) {
          const at = here.at.map((place, i) => (i === axis ? place + move : place)) as unknown as GridPoint;
          if (at[axis]! < 0 || at[axis]! >= lengths[axis]! || seen.has(at.join())) continue;
          seen.add(at.join());
          const next = this.#weigh(at, here.fitted);
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
}

/** Half-normal prior of a spread, times the stretch that the place in its grid represents. */
function logPrior(grid: readonly number[], scale: number, at: number): number {
  const width = ((grid[at + 1] ?? grid[at]!) - (grid[at - 1] ?? 0)) / 2;
  return Math.log(width) - 0.5 * (grid[at]! / scale) ** 2;
}

function beliefOf({ at, fitted, weight }: WeighedFit, variety: number, unit: number): LodgingBelief {
  const { coefficients, covariance } = fitted;
  const columns = coefficients.length;
  const common = (columns - 1) / 2;
  const own = common + 1 + variety;
  const between = (row: number, column: number): number => covariance[row * columns + column]!;
  const { season, field, varietyInField } = spreadsAt(at);
  return {
    weight,
    level: coefficients[variety]!,
    slope: (coefficients[common]! + coefficients[own]!) / unit,
    levelVariance: between(variety, variety),
    slopeVariance: (between(common, common) + 2 * between(common, own) + between(own, own)) / unit ** 2,
    covariance: (between(variety, common) + between(variety, own)) / unit,
    seasonVariance: season ** 2 + field ** 2 + varietyInField ** 2,
  };
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
