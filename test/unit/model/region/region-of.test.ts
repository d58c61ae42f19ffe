/** Seven farms whose strips say of a need what is stated here, so that nothing is worked out but what a region tells of them. */
import { describe, expect, it } from "vitest";
import { normalCdf } from "../../../../src/maths/distributions.ts";
import { logOn } from "../../../../src/maths/log-axis.ts";
import { riseShapes } from "../../../../src/model/forms/believable-curve.ts";
import { farmEvidence, marksOf } from "../../../../src/model/region/farm-evidence.ts";
import { regionGrid, type FarmLikelihood } from "../../../../src/model/region/farm-likelihoods.ts";
import { quantile, regionOf } from "../../../../src/model/region/region-of.ts";
import type { SharedFarm } from "../../../../src/vocabulary/region.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";

const grid = regionGrid(defaultSettings);
const losses = grid.patches[0]!.losses.count;

/** Strips at three rates, of which the middle one yields so much more. */
const stripsOf = (variety: string, season: number, more: number, rates = [200, 300, 400]) => ({
  variety,
  environment: `${season} Hill`,
  field: "Hill",
  season,
  withinCellSs: 0,
  cells: rates.map((rateSeedsPerM2, k) => ({
    block: "1",
    rateSeedsPerM2,
    strips: 2,
    meanYieldKgPerHa: 4000 + (k === 1 ? more : 0),
  })),
});

/** Alder is on all seven farms, on the first in two seasons and at other rates; Birch on five, Cedar on four. */
const farms: SharedFarm[] = [1, 2, 3, 4, 5, 6, 7].map((number) =>
  farmEvidence([
    stripsOf("Alder", 2024, 10 * number),
    ...(number === 1 ? [stripsOf("Alder", 2025, 15, [90, 300, 1000])] : []),
    ...(number > 2 ? [stripsOf("Birch", 2024, 7 * number)] : []),
    ...(number > 3 ? [stripsOf("Cedar", 2025, 5 * number)] : []),
  ]),
);

/** Any rise and loss, and no response, are as likely; the need is `about` so much, and yield falls as often as stated. */
const saying = (variety: string, about: number): FarmLikelihood => ({
  variety,
  values: Float32Array.from({ length: riseShapes.length * losses * grid.needs.count }, (_, i) =>
    Math.exp(-0.5 * ((logOn(grid.needs, i % grid.needs.count) - Math.log(about)) / 0.15) ** 2),
  ),
  noResponse: 0.3,
  never: 1,
  falls: 1,
});
const known = new Map(
  farms.map((farm, i): [SharedFarm, FarmLikelihood[]] => [
    farm,
    [...new Set(farm.sums.map(({ variety }) => variety))].map((variety) =>
      saying(variety, 280 + 5 * i + (variety === "Birch" ? 40 : 0)),
    ),
  ]),
);
const told = (some: readonly SharedFarm[] = farms, fewestFarms?: number) =>
  regionOf(some, defaultSettings, fewestFarms, known);

describe("what is published of a region", () => {
  it("counts farms, seasons, rates and strips, and leaves out varieties on fewer than five farms", () => {
    const region = told();
    expect([region.schema, region.crop, region.fewestFarms]).toEqual([
      "stripcurve-region-4",
      defaultSettings.crop,
      5,
    ]);
    // Six strips in each of 7 + 1 + 5 + 4 fields and seasons.
    expect([region.farms, region.strips]).toEqual([7, 102]);
    expect(region.leftOut).toEqual([{ variety: "Cedar", farms: 4 }]);
    expect(region.varieties.map(({ variety }) => variety)).toEqual(["Alder", "Birch"]);
    expect(region.varieties[0]).toMatchObject({
      farms: 7,
      seasons: 2,
      strips: 48,
      testedSeedsPerM2: [90, 1000],
      testedRates: 5,
    });
    expect(region.varieties[1]).toMatchObject({
      farms: 5,
      seasons: 1,
      strips: 30,
      testedSeedsPerM2: [200, 400],
      testedRates: 3,
    });
    expect([region.grounds, region.water]).toEqual([[], null]);
    expect(region.marks).toEqual(farms.flatMap(marksOf).sort());
    expect(region.marks).toHaveLength(17);
    const [first] = told(farms, 8).leftOut;
    expect(first).toEqual({ variety: "Alder", farms: 7 });
    expect(told(farms, 4).leftOut).toEqual([]);
  });

  it("has the middle and the tenths of each need, and the chance of no fall that is stated where nobody says more", () => {
    const { varieties, unlike } = told();
    for (const one of varieties) {
      const below = (need: number): number =>
        one.need.reduce(
          (sum, { weight, logNeed, sd }) => sum + weight * normalCdf((Math.log(need) - logNeed) / sd),
          0,
        );
      expect(below(one.needSeedsPerM2)).toBeCloseTo(0.5, 4);
      expect(below(one.lowerSeedsPerM2)).toBeCloseTo(0.1, 4);
      expect(below(one.upperSeedsPerM2)).toBeCloseTo(0.9, 4);
      expect(one.noDeclineChance).toBeCloseTo(defaultSettings.priors.noDeclineChance, 5);
    }
    // Farms say 280 to 310 of Alder; Birch needs 40 more on its five.
    expect(Math.abs(varieties[0]!.needSeedsPerM2 - 295)).toBeLessThan(10);
    expect(varieties[1]!.needSeedsPerM2).toBeGreaterThan(varieties[0]!.needSeedsPerM2 + 20);
    expect(unlike.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 4);
    for (const { weight } of unlike) expect(weight).toBe(Number(weight.toPrecision(6)));
  });

  it("is the same in whatever order the farms were read", () => {
    const region = told();
    expect(told([...farms].reverse())).toEqual(region);
    expect(told([...farms.slice(3), ...farms.slice(0, 3)])).toEqual(region);
  });
});

describe("a quantile of a mixture", () => {
  const part = (weight: number, logNeed: number, sd: number) => ({ weight, logNeed, sd });

  it("is that of one normal distribution", () => {
    // 1.2815515655446 sds below a tenth (any table of the normal distribution).
    expect(quantile([part(1, 5, 0.2)], 0.9)).toBeCloseTo(5 + 0.2 * 1.2815515655446, 8);
    expect(quantile([part(1, 5, 20)], 0.9)).toBeCloseTo(5 + 20 * 1.2815515655446, 6);
    expect(quantile([part(1, 5, 20)], 0.1)).toBeCloseTo(5 - 20 * 1.2815515655446, 6);
    expect(quantile([part(3, 5, 0.2)], 0.1)).toBeCloseTo(5 - 0.2 * 1.2815515655446, 8);
  });

  it("is where that share of all weight lies below", () => {
    const parts = [part(1, 0, 1), part(3, 4, 0.5)];
    const at = quantile(parts, 0.4);
    expect((normalCdf(at) + 3 * normalCdf((at - 4) / 0.5)) / 4).toBeCloseTo(0.4, 8);
    // Two that lie far apart: the quarters of all are the middles of both.
    const apart = [part(1, 10, 0.1), part(1, 0, 0.1)];
    expect(quantile(apart, 0.25)).toBeCloseTo(0, 8);
    expect(quantile(apart, 0.75)).toBeCloseTo(10, 8);
    expect(quantile([part(1, -2, 0.3), part(1, 2, 0.3)], 0.5)).toBeCloseTo(0, 3);
  });
});
