import { describe, expect, it } from "vitest";
import { drawNormal, random } from "../../../../src/maths/random.ts";
import { fitSeasons } from "../../../../src/model/seasons/fit-seasons.ts";
import { poolSeasons } from "../../../../src/model/pooled/pool-seasons.ts";
import type { SeasonCovariate } from "../../../../src/vocabulary/pooled-result.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";
import { makeTrial } from "../../../make-trial.ts";

/**
 * Parabolas whose top moves by `perMm` seeds/m² for each millimetre of water, ten field-seasons; strips scatter by `sd` kg/ha.
 * With bend c the slope of the rate changes by −2c·perMm for a millimetre more.
 */
function relationWithWater(perMm: number, sd: number): SeasonCovariate {
  const draw = random(31, "water");
  const strips = Array.from({ length: 10 }, (_, environment) => {
    const waterMm = 150 + 20 * environment;
    const top = 300 + perMm * (waterMm - 240);
    return [1, 2, 3].flatMap((block) =>
      [150, 225, 300, 375, 450].map((rate) => ({
        variety: "Alder",
        season: 2010 + environment,
        field: "Home",
        block: `${block}`,
        rateSeedsPerM2: rate,
        waterMm,
        yieldKgPerHa: 4000 + 13 * ((7 * environment) % 10) - 0.01 * (rate - top) ** 2 + sd * drawNormal(draw),
      })),
    );
  }).flat();
  const trial = makeTrial(strips);
  const { fits } = fitSeasons(trial, defaultSettings);
  return poolSeasons(trial, fits, defaultSettings).seasonCovariates.find((one) => one.covariate === "water")!;
}

describe("what the best rate moves with", () => {
  it("finds a move of the top with the water as large as it was made", () => {
    const found = relationWithWater(0.5, 1);
    expect(found.optimumChange!.estimate).toBeCloseTo(0.5, 2);
    expect(found.slopeChange.estimate).toBeCloseTo(2 * 0.01 * 0.5, 4);
    expect(found.mean).toBeCloseTo(240, 9);
    // As quantile(seq(150, 330, 20), c(.25, .75)) of R.
    expect([found.low, found.high]).toEqual([195, 285]);
    expect(found.supported).toBe(true);
  });

  it("holds the truth within its interval where strips scatter, and supports nothing that is not there", () => {
    const moving = relationWithWater(0.5, 120).optimumChange!;
    expect(moving.lower).toBeLessThan(0.5);
    expect(moving.upper).toBeGreaterThan(0.5);
    const still = relationWithWater(0, 120);
    expect(still.supported).toBe(false);
    expect(still.optimumChange!.lower).toBeLessThan(0);
    expect(still.optimumChange!.upper).toBeGreaterThan(0);
  });

  it("has no more degrees of freedom than field-seasons less two", () => {
    expect(relationWithWater(0.5, 120).slopeChange.df).toBeLessThanOrEqual(8);
  });

  it("is seldom taken in where fields share the luck of a season", () => {
    // The top moves by 25 seeds/m² from season to season, the water by itself: two fields a season are no two proofs.
    const supported = Array.from({ length: 40 }, (_, seed) => {
      const draw = random(seed, "seasons");
      const normal = (sd: number): number => sd * drawNormal(draw);
      const strips = Array.from({ length: 5 }, (_, season) => {
        const [top, waterMm, level] = [300 + normal(25), 250 + normal(40), 4500 + normal(600)];
        return ["Home", "Hill"].flatMap((field) => {
          const water = waterMm + normal(8);
          return [1, 2, 3].flatMap((block) =>
            [150, 225, 300, 375, 450].map((rate) => ({
              season: 2010 + season,
              field,
              block: `${block}`,
              rateSeedsPerM2: rate,
              waterMm: water,
              yieldKgPerHa: level - 0.012 * (rate - top) ** 2 + normal(100),
            })),
          );
        });
      }).flat();
      const trial = makeTrial(strips);
      const { fits } = fitSeasons(trial, defaultSettings);
      return poolSeasons(trial, fits, defaultSettings).seasonCovariates.find(
        (one) => one.covariate === "water",
      )!;
    });
    expect(supported.filter((one) => one.supported).length).toBeLessThanOrEqual(4);
    supported.forEach(({ slopeChange }) => expect(slopeChange.df).toBeLessThanOrEqual(3));
  });
});
