/**
 * What is believed of lodging, held to the same equations solved as one: every coefficient and effect is a column of one matrix, the
 * penalised likelihood is climbed by Newton's method, and every set of spreads is looked at, none left out on the way.
 */
import { Matrix, determinant, inverse } from "ml-matrix";
import { describe, expect, it } from "vitest";
import { believeLodging } from "../../../../src/model/observed/lodging-beliefs.ts";
import { tabulateLodging, type LodgingTable } from "../../../../src/model/observed/lodging-cells.ts";
import type { LodgingBelief } from "../../../../src/vocabulary/result.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";
import type { Strip } from "../../../../src/vocabulary/trial.ts";
import { makeStrip } from "../../check/make-strips.ts";

const priors = defaultSettings.priors.lodging;
/** Spreads looked at, in log odds. */
const grids = {
  season: [0.15, 0.4, 0.7, 1.05, 1.5, 2.1, 3, 4.2],
  field: [0.05, 0.3, 0.7, 1.3],
  plot: [0.05, 0.25, 0.5, 0.9],
  slope: [0.05, 0.3, 0.7, 1.2],
};
const [centre, unit] = [300, 150];

type Row = [season: number, field: string, variety: string, rate: number, share: number];
const tableOf = (rows: readonly Row[]): LodgingTable =>
  tabulateLodging(
    rows.map(([season, field, variety, rateSeedsPerM2, share]): Strip =>
      makeStrip({
        season,
        field,
        variety,
        rateSeedsPerM2,
        lodging: { scale: "percent", score: 100 * share, share },
      }),
    ),
  )[0]!;

/** Half-normal prior of a spread times the stretch that its place in the grid stands for. */
const logPrior = (grid: readonly number[], scale: number, at: number): number =>
  Math.log(((grid[at + 1] ?? grid[at]!) - (grid[at - 1] ?? 0)) / 2) - 0.5 * (grid[at]! / scale) ** 2;

/** A place in each of the grids. */
type Place = readonly [season: number, field: number, plot: number, slope: number];

/** The whole of a table as one matrix: every set of spreads that is looked at, and what is fitted under one. */
function asOneMatrix(table: LodgingTable, dispersion: number) {
  const { varieties, environments, cells } = table;
  const [v, e] = [varieties.length, environments.length];
  const seasons = [...new Set(environments.map(({ season }) => season))];
  const plots = [...new Set(cells.map((cell) => cell.environment * v + cell.variety))];
  const size = 2 * v + 1 + plots.length + e + seasons.length;
  const rows = cells.map((cell) => {
    const row = new Array<number>(size).fill(0);
    const rise = (cell.rateSeedsPerM2 - centre) / unit;
    row[cell.variety] = 1;
    row[v] = rise;
    row[v + 1 + cell.variety] = rise;
    row[2 * v + 1 + plots.indexOf(cell.environment * v + cell.variety)] = 1;
    row[2 * v + 1 + plots.length + cell.environment] = 1;
    row[2 * v + 1 + plots.length + e + seasons.indexOf(environments[cell.environment]!.season)] = 1;
    return row;
  });
  const places = (grid: readonly number[], moves: boolean): number[] => (moves ? [...grid.keys()] : [0]);
  const sets = places(grids.season, true).flatMap((s) =>
    places(grids.field, e > seasons.length).flatMap((f) =>
      places(grids.plot, v > 1).flatMap((p) => places(grids.slope, v > 1).map((b): Place => [s, f, p, b])),
    ),
  );
  const fitAt = ([s, f, p, b]: Place) => {
    const [season, field, plot, slope] = [grids.season[s]!, grids.field[f]!, grids.plot[p]!, grids.slope[b]!];
    const spreads = [
      ...varieties.map(() => priors.levelSd),
      priors.slopeSd,
      ...varieties.map(() => slope),
      ...plots.map(() => plot),
      ...environments.map(() => field),
      ...seasons.map(() => season),
    ];
    const middle = spreads.map((_, j) => (j < v ? priors.levelMean : 0));
    const point = [...middle];
    let curvature = Matrix.eye(size);
    for (let step = 0; step < 40; step++) {
      const pull = spreads.map((spread, j) => -(point[j]! - middle[j]!) / spread ** 2);
      curvature = Matrix.diag(spreads.map((spread) => 1 / spread ** 2));
      rows.forEach((row, i) => {
        const { strips, sum } = cells[i]!;
        const mu = 1 / (1 + Math.exp(-row.reduce((all, one, j) => all + one * point[j]!, 0)));
        for (let j = 0; j < size; j++) {
          if (row[j] === 0) continue;
          pull[j]! += (row[j]! * (sum - strips * mu)) / dispersion;
          for (let k = 0; k < size; k++)
            curvature.set(
              j,
              k,
              curvature.get(j, k) + (strips * mu * (1 - mu) * row[j]! * row[k]!) / dispersion,
            );
        }
      });
      const move = inverse(curvature).mmul(Matrix.columnVector(pull)).to1DArray();
      // No step goes so far that it could overshoot.
      const largest = Math.max(...move.map(Math.abs));
      move.forEach((by, j) => (point[j]! += by * Math.min(1, 1 / largest)));
      if (largest < 1e-10) break;
    }
    const likelihood = rows.reduce((all, row, i) => {
      const eta = row.reduce((total, one, j) => total + one * point[j]!, 0);
      return all + cells[i]!.sum * eta - cells[i]!.strips * Math.log(1 + Math.exp(eta));
    }, 0);
    // Laplace's method: normal priors with their densities, the height, and the curvature.
    const logWeight =
      logPrior(grids.season, priors.seasonSpread, s) +
      logPrior(grids.field, priors.fieldSpread, f) +
      logPrior(grids.plot, priors.varietySpread, p) +
      logPrior(grids.slope, priors.slopeSpread, b) +
      likelihood / dispersion -
      spreads.reduce(
        (all, spread, j) => all + 0.5 * ((point[j]! - middle[j]!) / spread) ** 2 + Math.log(spread),
        0,
      ) -
      0.5 * Math.log(determinant(curvature));
    return {
      s,
      point,
      covariance: inverse(curvature),
      logWeight,
      seasonVariance: season ** 2 + field ** 2 + plot ** 2,
      pearson: rows.reduce((all, row, i) => {
        const mu = 1 / (1 + Math.exp(-row.reduce((total, one, j) => total + one * point[j]!, 0)));
        const { strips, sum, sumOfSquares } = cells[i]!;
        return all + (sumOfSquares - 2 * mu * sum + strips * mu ** 2) / (mu * (1 - mu));
      }, 0),
    };
  };
  return { sets, fitAt };
}

/** All sets of spreads by one matrix each, those with the same spread of seasons put together. */
function byOneMatrix(table: LodgingTable, dispersion: number): LodgingBelief[][] {
  const { varieties } = table;
  const v = varieties.length;
  const { sets, fitAt } = asOneMatrix(table, dispersion);
  const fitted = sets.map(fitAt);
  const best = Math.max(...fitted.map(({ logWeight }) => logWeight));
  const seen = fitted.filter(({ logWeight }) => logWeight > best - 5);
  const total = seen.reduce((sum, { logWeight }) => sum + Math.exp(logWeight - best), 0);
  return varieties.map((_, own) => {
    const [first, second] = [v, v + 1 + own];
    return [...grids.season.keys()].flatMap((place): LodgingBelief[] => {
      const alike = seen.filter(({ s }) => s === place);
      if (alike.length === 0) return [];
      const weight = alike.reduce((sum, { logWeight }) => sum + Math.exp(logWeight - best) / total, 0);
      const mean = (of: (one: (typeof alike)[0]) => number): number =>
        alike.reduce((sum, one) => sum + (Math.exp(one.logWeight - best) / total / weight) * of(one), 0);
      const levelOf = ({ point }: (typeof alike)[0]): number => point[own]!;
      const slopeOf = ({ point }: (typeof alike)[0]): number => (point[first]! + point[second]!) / unit;
      const [level, slope] = [mean(levelOf), mean(slopeOf)];
      return [
        {
          weight,
          level,
          slope,
          levelVariance: mean((one) => one.covariance.get(own, own) + (levelOf(one) - level) ** 2),
          slopeVariance: mean(
            (one) =>
              (one.covariance.get(first, first) +
                2 * one.covariance.get(first, second) +
                one.covariance.get(second, second)) /
                unit ** 2 +
              (slopeOf(one) - slope) ** 2,
          ),
          covariance: mean(
            (one) =>
              (one.covariance.get(own, first) + one.covariance.get(own, second)) / unit +
              (levelOf(one) - level) * (slopeOf(one) - slope),
          ),
          seasonVariance: mean((one) => one.seasonVariance),
        },
      ];
    });
  });
}

function expectAlike(ours: LodgingBelief[][], theirs: LodgingBelief[][]): void {
  expect(ours.map((ofVariety) => ofVariety.length)).toEqual(theirs.map((ofVariety) => ofVariety.length));
  ours.forEach((ofVariety, v) =>
    ofVariety.forEach((belief, i) => {
      for (const [name, value] of Object.entries(theirs[v]![i]!))
        expect(belief[name as keyof LodgingBelief] / (value as number), `${name} ${v} ${i}`).toBeCloseTo(
          1,
          5,
        );
    }),
  );
}

const risen = (rate: number, more: number): number => 1 / (1 + Math.exp(1.5 - (rate - 300) / 80 - more));

describe("beliefs of lodging", () => {
  it("of one variety weigh the spreads of seasons", () => {
    const table = tableOf(
      [2023, 2024, 2025].flatMap((season, i) =>
        [200, 300, 400].map((rate): Row => [season, "North", "Alder", rate, risen(rate, i - 1)]),
      ),
    );
    expectAlike(believeLodging(table, centre, unit, 0.2, priors), byOneMatrix(table, 0.2));
  });

  it("of two varieties weigh their slopes and plots, too", () => {
    const table = tableOf(
      [2023, 2024].flatMap((season, i) =>
        ["Alder", "Birch"].flatMap((variety, v) =>
          [200, 400].map((rate): Row => [
            season,
            "North",
            variety,
            rate,
            risen(rate * (1 + 0.1 * v), 2 * i - 1 + v * i),
          ]),
        ),
      ),
    );
    expectAlike(believeLodging(table, centre, unit, 0.3, priors), byOneMatrix(table, 0.3));
  });

  it("of two fields in a season weigh these, too", () => {
    const table = tableOf(
      [2023, 2024].flatMap((season, i) =>
        ["North", "South"].flatMap((field, f) =>
          [200, 400].map((rate): Row => [season, field, "Alder", rate, risen(rate, i + 1.5 * f - 1)]),
        ),
      ),
    );
    const ours = believeLodging(table, centre, unit, 0.3, priors);
    expectAlike(ours, byOneMatrix(table, 0.3));
    for (const ofVariety of ours)
      expect(ofVariety.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 12);
  });

  it("take scores for no more exact than a scale is", () => {
    const table = tableOf([200, 300, 400].map((rate): Row => [2024, "North", "Alder", rate, risen(rate, 0)]));
    expectAlike(believeLodging(table, centre, unit, 0.001, priors), byOneMatrix(table, 0.01));
  });

  it("find the dispersion themselves where no regression tells it", () => {
    // By Pearson, about a fit with a dispersion of 1 under the spreads where the search begins, over the strips that are left: seven
    // less one field, one variety and the rate.
    const table = tableOf(
      [0.2, 0.9, 0.4, 0.95, 0.1, 0.5, 0.6].map((share, i): Row => [
        2024,
        "North",
        "Alder",
        [200, 250, 350, 400, 300, 300, 250][i]!,
        share,
      ]),
    );
    const dispersion = asOneMatrix(table, 1).fitAt([3, 0, 0, 0]).pearson / 4;
    expectAlike(believeLodging(table, centre, unit, null, priors), byOneMatrix(table, dispersion));
    // Of two varieties in two fields of each season the search begins one place up on each of their axes; of eight strips less four
    // fields, two varieties and the rate one is left.
    const shares = [0.2, 0.7, 0.4, 0.9, 0.3, 0.6, 0.1, 0.5];
    const two = tableOf(
      shares.map((share, i): Row => [
        i < 4 ? 2023 : 2024,
        i % 4 < 2 ? "North" : "South",
        i % 2 === 0 ? "Alder" : "Birch",
        200 + 100 * ((i * 5) % 3),
        share,
      ]),
    );
    const ofTwo = asOneMatrix(two, 1).fitAt([3, 1, 1, 1]).pearson;
    expectAlike(
      believeLodging(two, centre, unit, null, priors),
      believeLodging(two, centre, unit, ofTwo, priors),
    );
  });
});
