/** The rate that came with a variety: Bayes' rule for normal distributions, held to sums over a fine axis. */
import { describe, expect, it } from "vitest";
import { believeCurves } from "../../../../src/model/beliefs/believable-curves.ts";
import type { CellsOfVariety } from "../../../../src/model/beliefs/rate-evidence.ts";
import { afterRecommended, recommendedFor } from "../../../../src/model/beliefs/recommended-rate.ts";
import { defaultSettings, unknownLot, type Settings } from "../../../../src/vocabulary/settings.ts";

const density = (x: number, mean: number, sd: number): number =>
  Math.exp(-((x - mean) ** 2) / (2 * sd ** 2)) / (sd * Math.sqrt(2 * Math.PI));

describe("a need, once a rate is recommended", () => {
  const parts = [
    { weight: 0.7, logNeed: 5.7, sd: 0.2 },
    { weight: 0.3, logNeed: 6.1, sd: 0.05 },
  ];
  const recommended = { logNeed: 6, sd: 0.25 };
  const axis = Array.from({ length: 4001 }, (_, i) => 4 + i / 1000);
  const mixed = (some: readonly (typeof parts)[number][], x: number): number =>
    some.reduce((sum, { weight, logNeed, sd }) => sum + weight * density(x, logNeed, sd), 0);

  it("is the prior times what the rate says, brought to a sum of 1", () => {
    const products = axis.map((x) => mixed(parts, x) * density(recommended.logNeed, x, recommended.sd));
    const total = products.reduce((a, b) => a + b, 0) / 1000;
    const after = afterRecommended(parts, recommended);
    axis.forEach((x, i) => expect(mixed(after.parts, x)).toBeCloseTo(products[i]! / total, 6));
  });

  it("tells how likely each ground made that rate", () => {
    const chance = (some: typeof parts): number =>
      axis.reduce((sum, x) => sum + mixed(some, x) * density(recommended.logNeed, x, recommended.sd), 0);
    const other = [{ weight: 1, logNeed: 5.2, sd: 0.15 }];
    const ratio =
      afterRecommended(parts, recommended).evidence / afterRecommended(other, recommended).evidence;
    expect(ratio / (chance(parts) / chance(other))).toBeCloseTo(1, 8);
  });
});

it("says something of the variety that it came with, and nothing of others", () => {
  const lots = [
    { ...unknownLot("Alder"), recommendedSeedsPerM2: 420 },
    { ...unknownLot("Birch"), recommendedSeedsPerM2: 250 },
    unknownLot("Cedar"),
  ];
  const { priors } = defaultSettings;
  const toldOf = (variety: string) => recommendedFor(variety, { lots, priors });
  expect(toldOf("Alder")).toEqual({ logNeed: Math.log(420), sd: priors.recommendedSdLog });
  expect(toldOf("Birch")).toEqual({ logNeed: Math.log(250), sd: priors.recommendedSdLog });
  expect(toldOf("Cedar")).toBeNull();
  expect(toldOf("Dogwood")).toBeNull();
});

describe("strips of a variety that came with a rate", () => {
  const rates = [170, 240, 310, 380, 450];
  const season = (year: number, need: number): CellsOfVariety => ({
    variety: "Alder",
    season: year,
    environment: String(year),
    withinCellSs: 0,
    cells: ["1", "2", "3"].flatMap((block, b) =>
      rates.map((rateSeedsPerM2, r) => ({
        block,
        rateSeedsPerM2,
        strips: 1,
        meanYieldKgPerHa:
          4000 *
          (1 - 0.06 * ((rateSeedsPerM2 / need - 1) / 0.4) ** 2 + 0.04 * Math.sin(7.3 * (year + 5 * b + r))),
      })),
    ),
  });
  const withRate = (recommendedSeedsPerM2: number | null): Settings => ({
    ...defaultSettings,
    lots: [{ ...unknownLot("Alder"), recommendedSeedsPerM2 }],
  });
  const needOf = (cells: CellsOfVariety[], settings: Settings): number => {
    const [{ curves }] = believeCurves(cells, settings) as [ReturnType<typeof believeCurves>[number]];
    return Math.exp(
      curves.reduce((sum, { weight, needSeedsPerM2 }) => sum + weight * Math.log(needSeedsPerM2), 0),
    );
  };
  const one = [season(2024, 300)];
  const six = [2019, 2020, 2021, 2022, 2023, 2024].map((year) => season(year, 300));

  it("move toward it after one season, and less than half as far after six", () => {
    const moved = (cells: CellsOfVariety[]): number =>
      needOf(cells, withRate(420)) / needOf(cells, withRate(null));
    expect(moved(one)).toBeGreaterThan(1.05);
    expect(moved(six)).toBeGreaterThan(1);
    expect(Math.log(moved(six))).toBeLessThan(0.5 * Math.log(moved(one)));
    expect(needOf(one, withRate(220))).toBeLessThan(needOf(one, withRate(null)));
  });

  it("tell beside the answer what it would be without that rate, as where none came", () => {
    const without = believeCurves(one, withRate(420))[0]!.movedPriors.find(
      ({ prior }) => prior === "without-recommended",
    )!;
    const none = believeCurves(one, withRate(null))[0]!;
    without.expectedKgPerHa.forEach((kg, x) => expect(kg).toBeCloseTo(none.expectedKgPerHa[x]!, 6));
    expect(none.movedPriors.map(({ prior }) => prior)).not.toContain("without-recommended");
  });

  it("leave the chance of no response to the strips", () => {
    const level = one.map((cells) => ({
      ...cells,
      cells: cells.cells.map((cell, i) => ({ ...cell, meanYieldKgPerHa: 4000 + 60 * Math.sin(i) })),
    }));
    const chance = (rate: number | null): number =>
      believeCurves(level, withRate(rate))[0]!
        .curves.filter(({ loss }) => loss === 0)
        .reduce((sum, { weight }) => sum + weight, 0);
    // The strips of a level field fit every need alike, so a rate that lies in their midst tells nothing of the response.
    expect(chance(null)).toBeGreaterThan(0.1);
    expect(Math.abs(chance(310) - chance(null))).toBeLessThan(0.02);
  });
});
