import { describe, expect, it } from "vitest";
import { logOn, type LogAxis } from "../../../../src/maths/log-axis.ts";
import {
  groundShifts,
  overFarms,
  waterShift,
  type CurvesBefore,
} from "../../../../src/model/region/ground-over-farms.ts";
import type { SharedFarm, SharedSums } from "../../../../src/vocabulary/region.ts";

const needs: LogAxis = { from: Math.log(120), step: 0.04, count: 45 };
const middle = logOn(needs, 22);

/** Strips of which the stub below reads the need alone: its middle and its standard error, in logarithms. */
interface Seen {
  variety: string;
  logNeed: number;
  sd: number;
  season?: number;
  ground?: SharedSums["ground"];
  waterMm?: number;
}
const farmOf = (...seen: Seen[]): SharedFarm => ({
  sums: seen.map(({ variety, logNeed, sd, season = 2025, ...place }) => ({
    variety,
    season,
    field: 1,
    strips: 2,
    ratesSeedsPerM2: [logNeed, sd],
    counts: [1, 1],
    weight: [],
    cross: [],
    total: 0,
    degrees: 1,
    ...place,
  })),
});
/** One curve and one state of the farm, so that the need alone is open; response is certain. */
const before = {
  grid: { needs, states: [{ logPrior: 0 }], rays: [{ logPrior: 0 }] },
  noResponseChance: 0,
} as unknown as CurvesBefore;
/** Normal likelihoods, as if each entry had been seen by itself. */
const asSeen = ({ sums }: SharedFarm) =>
  [...new Set(sums.map(({ variety }) => variety))].map((variety) => ({
    variety,
    likelihood: { rays: [{ ray: 0, log: 0, values: needsSeen(sums, variety) }], logNoResponse: -Infinity },
  }));
const needsSeen = (sums: readonly SharedSums[], variety: string): Float64Array =>
  Float64Array.from({ length: needs.count }, (_, j) =>
    sums
      .filter((one) => one.variety === variety)
      .reduce(
        (product, { ratesSeedsPerM2: [logNeed, sd] }) =>
          product * Math.exp(-0.5 * ((logOn(needs, j) - logNeed!) / sd!) ** 2),
        1,
      ),
  );

const hillAndLevel = (difference: number, sd = 0.05, offset = 0): SharedFarm =>
  farmOf(
    { variety: "Alder", logNeed: middle + offset + difference, sd, ground: "hill" },
    { variety: "Alder", logNeed: middle + offset, sd, ground: "level" },
  );

describe("the need on other ground", () => {
  it("is the mean of the farms' own contrasts, whatever the farms themselves need", () => {
    // Six farms whose hill needs 0.20 less in log, each standing elsewhere on the axis.
    const farms = [-0.3, -0.2, -0.1, 0, 0.1, 0.2].map((offset) => hillAndLevel(-0.2, 0.05, offset));
    const [shift, ...others] = groundShifts(farms, before, asSeen, 5);
    expect(others).toEqual([]);
    expect(shift).toMatchObject({ ground: "hill", against: "level", farms: 6 });
    // A contrast has variance 2 · 0.05²; six of them and the prior, sd 0.2, leave 0.2 · 6/(6 + 0.005/0.04) = 0.196 of 0.20.
    expect(shift!.logShift).toBeCloseTo(-0.196, 2);
  });

  /**
   * Six normal contrasts with sampling sd 0.1 (hand-worked): −0.35, −0.25, −0.2, −0.2, −0.15, −0.05; mean −0.2, sd 0.1. What
   * scatters is all of it sampling, so the fixed-effect standard error is 0.1/√6 = 0.041; a between-farm sd of 0.1 would
   * make it 0.058. Priors (0.2 of the shift, half-normal 0.1 between farms) and the grid add to it.
   */
  it("is as sure as its farms agree", () => {
    const contrasts = [-0.35, -0.25, -0.2, -0.2, -0.15, -0.05];
    const farms = contrasts.map((difference) => hillAndLevel(difference, 0.1 / Math.SQRT2));
    const [shift] = groundShifts(farms, before, asSeen, 5);
    expect(shift!.logShift).toBeGreaterThan(-0.205);
    expect(shift!.logShift).toBeLessThan(-0.18);
    expect(shift!.sd).toBeGreaterThan(0.041);
    expect(shift!.sd).toBeLessThan(0.07);
    const scattered = contrasts.map((difference) => hillAndLevel(2.5 * (difference + 0.2) - 0.2, 0.02));
    const [unlike] = groundShifts(scattered, before, asSeen, 5);
    // Their own sd is 0.25, nearly all of it between farms.
    expect(unlike!.betweenFarmsSdLog).toBeGreaterThan(0.15);
    expect(unlike!.sd).toBeGreaterThan(shift!.sd);
  });

  it("is not told by fewer farms than asked for, nor by farms with one kind of ground", () => {
    const farms = Array.from({ length: 4 }, () => hillAndLevel(-0.2));
    expect(groundShifts(farms, before, asSeen, 5)).toEqual([]);
    const oneKind = farmOf({ variety: "Alder", logNeed: middle, sd: 0.05, ground: "hill" });
    expect(groundShifts([...farms, oneKind], before, asSeen, 5)).toEqual([]);
  });

  it("takes no other variety on the other ground for a contrast", () => {
    const farm = farmOf(
      { variety: "Alder", logNeed: middle - 0.2, sd: 0.05, ground: "hill" },
      { variety: "Birch", logNeed: middle, sd: 0.05, ground: "level" },
    );
    expect(
      groundShifts(
        Array.from({ length: 6 }, () => farm),
        before,
        asSeen,
        5,
      ),
    ).toEqual([]);
  });

  it("is hardly moved by one farm that is unlike all others", () => {
    const farms = Array.from({ length: 9 }, () => hillAndLevel(-0.2));
    const [without] = groundShifts(farms, before, asSeen, 5);
    const [withOdd] = groundShifts([...farms, hillAndLevel(0.6)], before, asSeen, 5);
    // A plain mean of ten would lie at −0.12.
    expect(Math.abs(withOdd!.logShift - without!.logShift)).toBeLessThan(0.03);
  });
});

describe("the need with more water", () => {
  const threeSeasons = (slope: number, waters: readonly number[], sd = 0.05): SharedFarm =>
    farmOf(
      ...waters.map((waterMm, i): Seen => ({
        variety: "Alder",
        logNeed: middle + (slope * (waterMm - 300)) / 100,
        sd,
        season: 2023 + i,
        waterMm,
      })),
    );

  it("is found from farms whose seasons differed in water", () => {
    // Each farm had its rain in other seasons, so that no season was wet for all of them.
    const farms = [
      [200, 300, 400],
      [300, 400, 200],
      [400, 200, 300],
      [200, 400, 300],
      [400, 300, 200],
      [300, 200, 400],
    ].map((waters) => threeSeasons(0.1, waters));
    const shift = waterShift(farms, before, asSeen, 5)!;
    expect(shift).toMatchObject({ farms: 6, seasons: 3 });
    expect(shift.logShift).toBeGreaterThan(0.09);
    expect(shift.logShift).toBeLessThan(0.105);
  });

  /**
   * Seasons that were wet or dry for all farms together: what a season does besides the water (sd 0.06) is in the slope. With
   * −1, 0 and +1 hundred mm it adds 0.06²/2 to the variance, however many farms there are.
   */
  it("is less sure where seasons were dry or wet for all farms together", () => {
    const farms = Array.from({ length: 30 }, () => threeSeasons(0.1, [200, 300, 400]));
    expect(waterShift(farms, before, asSeen, 5)!.sd).toBeGreaterThan(0.06 / Math.SQRT2);
  });

  it("is not known from one season, or where nobody noted water", () => {
    expect(waterShift([threeSeasons(0.1, [300])], before, asSeen, 1)).toBeNull();
    expect(
      waterShift([farmOf({ variety: "Alder", logNeed: middle, sd: 0.05 })], before, asSeen, 1),
    ).toBeNull();
  });
});

describe("a mean over farms", () => {
  it("is the prior's where no farm tells anything", () => {
    const silent = Array.from({ length: 41 }, () => 1);
    const { logShift, sd } = overFarms([silent, silent], 0.2, 0);
    expect(logShift).toBeCloseTo(0, 6);
    // Cut at ±0.8, four sd away.
    expect(sd).toBeCloseTo(0.2, 2);
  });
});
