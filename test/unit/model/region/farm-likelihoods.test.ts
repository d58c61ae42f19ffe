/** What one farm's strips say of rises, losses and needs: added up curve by curve on a short axis of needs. */
import { describe, expect, it } from "vitest";
import { crops } from "../../../../src/vocabulary/crops.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";
import { gridOf, type CurveGrid, type Ray } from "../../../../src/model/beliefs/curve-grid.ts";
import { likelihoodOf } from "../../../../src/model/beliefs/shared-misfit.ts";
import { withErrors } from "../../../../src/model/beliefs/strip-error.ts";
import { farmEvidence, toRateEvidence } from "../../../../src/model/region/farm-evidence.ts";
import {
  curveLikelihoods,
  farmLikelihoods,
  regionGrid,
} from "../../../../src/model/region/farm-likelihoods.ts";

const { priors, crop } = defaultSettings;

const stripsOf = (variety: string, season: number, yields: readonly number[]) => ({
  variety,
  environment: `${season} Hill`,
  field: "Hill",
  season,
  withinCellSs: 0,
  cells: yields.map((meanYieldKgPerHa, i) => ({
    block: String(i % 2),
    rateSeedsPerM2: 150 + 50 * i,
    strips: 1,
    meanYieldKgPerHa,
  })),
});
/** Birch is named first, and seen in two seasons; Alder in one. */
const farm = farmEvidence([
  stripsOf("Birch", 2024, [3500, 3700, 4000, 4050, 4100, 4000]),
  stripsOf("Alder", 2024, [4000, 4020, 4010, 4000, 3990, 4030]),
  stripsOf("Birch", 2023, [3600, 3750, 3900, 4000, 4000, 4060]),
]);

/** The curves that all farms are weighed on, at four needs. */
const shortGrid = (): CurveGrid =>
  gridOf({ from: Math.log(200), step: 0.2, count: 4 }, regionGrid(defaultSettings).patches, priors);

describe("the grid of a region", () => {
  it("has needs about the usual rate of the crop, or the need that is stated", () => {
    const { needs, rays } = regionGrid(defaultSettings);
    const usual = crops[crop].usualSeedsPerM2;
    expect(Math.exp(needs.from)).toBeCloseTo(0.35 * usual, 8);
    expect(regionGrid({ crop, priors: { ...priors, needSeedsPerM2: 200 } }).needs.from).toBeCloseTo(
      Math.log(70),
      10,
    );
    // A quarter of the curves: seven losses for each of six rises, three shoulders and two declines where it may fall.
    expect(rays).toHaveLength(7 * (6 + 4 * 3 * 2));
  });
});

describe("what a farm says of a variety", () => {
  it("is the likelihood of all of its own strips, variety by variety", () => {
    const grid = shortGrid();
    const evidence = withErrors(farm.sums.map(toRateEvidence), priors);
    const found = curveLikelihoods(farm, grid, priors);
    expect(found.map(({ variety }) => variety)).toEqual(["Alder", "Birch"]);
    for (const { variety, likelihood } of found) {
      const own = evidence.filter((one) => one.variety === variety);
      expect(own).toHaveLength(variety === "Birch" ? 2 : 1);
      expect(likelihood).toEqual(likelihoodOf(own, grid, priors));
    }
  });

  it.each([false, true])("has declines and seasons integrated out, priors flat: %s", (flat) => {
    const grid = shortGrid();
    const settings = { crop, priors: { ...priors, flat } };
    const before = curveLikelihoods(farm, grid, settings.priors);
    const found = farmLikelihoods(grid, settings)(farm);
    expect(found.map(({ variety }) => variety)).toEqual(["Alder", "Birch"]);
    found.forEach((told, v) => {
      const { rays, logNoResponse } = before[v]!.likelihood;
      const stated = (ray: Ray): number => Math.exp(flat ? ray.logFlatPrior : ray.logPrior);
      const values = new Float64Array(6 * 7 * 4);
      // Seasons of sd 0, 0.06, 0.12 and 0.2, by a half-normal prior.
      const seasons = [0, 0.06, 0.12, 0.2].map((sd) => Math.exp(-0.5 * (sd / priors.seasonSpread) ** 2));
      const ofSeasons = seasons.reduce((a, b) => a + b, 0);
      for (let rise = 0; rise < 6; rise++)
        for (let loss = 0; loss < 7; loss++) {
          const alike = grid.rays.filter((one) => one.shape === rise && one.lossAt === loss);
          const all = alike.reduce((sum, ray) => sum + stated(ray), 0);
          for (const { ray, log, values: of } of rays)
            if (alike.includes(ray))
              of.forEach((value, i) => {
                const weight = (stated(ray) / all) * (seasons[Math.floor(i / 4)]! / ofSeasons);
                values[(rise * 7 + loss) * 4 + (i % 4)]! += weight * value * Math.exp(log);
              });
        }
      const most = Math.max(...values, Math.exp(logNoResponse));
      expect(told.values).toHaveLength(168);
      expect(told.values).toBeInstanceOf(Float32Array);
      told.values.forEach((value, i) => expect(value).toBeCloseTo(values[i]! / most, 6));
      expect(told.noResponse).toBeCloseTo(Math.exp(logNoResponse) / most, 10);
      expect(Math.max(...told.values, told.noResponse)).toBe(1);
    });
  });

  it("compares curves that never fall with those that do, over all needs", () => {
    const grid = shortGrid();
    const before = curveLikelihoods(farm, grid, priors);
    const needs = [0, 1, 2, 3].map((j) =>
      Math.exp(
        -0.5 * ((Math.log(200) + 0.2 * j - Math.log(crops[crop].usualSeedsPerM2)) / priors.needSdLog) ** 2,
      ),
    );
    const seasons = [0, 0.06, 0.12, 0.2].map((sd) => Math.exp(-0.5 * (sd / priors.seasonSpread) ** 2));
    const total = [needs, seasons].reduce((all, one) => all * one.reduce((a, b) => a + b, 0), 1);
    farmLikelihoods(
      grid,
      defaultSettings,
    )(farm).forEach((told, v) => {
      // The quadratic and the square root come down by themselves, and tell nothing of either.
      const explained = (falls: boolean): number => {
        const own = grid.rays.filter(
          ({ shape, decline }) => shape !== 2 && shape !== 4 && decline > 0 === falls,
        );
        const prior = own.reduce((sum, { logPrior }) => sum + Math.exp(logPrior), 0);
        return before[v]!.likelihood.rays.reduce(
          (sum, { ray, log, values }) =>
            own.includes(ray)
              ? values.reduce(
                  (all, value, i) =>
                    all +
                    ((Math.exp(ray.logPrior + log) / prior) *
                      (value * seasons[Math.floor(i / 4)]! * needs[i % 4]!)) /
                      total,
                  sum,
                )
              : sum,
          0,
        );
      };
      expect(told.never / told.falls).toBeCloseTo(explained(false) / explained(true), 8);
      // On one scale with no response.
      const { logNoResponse, rays } = before[v]!.likelihood;
      const scale = Math.max(logNoResponse, ...rays.map(({ log }) => log));
      expect(told.never).toBeCloseTo(explained(false) / Math.exp(scale), 8);
    });
  });
});
