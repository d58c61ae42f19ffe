import { describe, expect, it } from "vitest";
import { sum } from "simple-statistics";
import { logOn, type LogAxis } from "../../../../src/maths/log-axis.ts";
import {
  groundShifts,
  overFarms,
  waterShift,
  type CurvesBefore,
} from "../../../../src/model/region/ground-over-farms.ts";
import type { Ray } from "../../../../src/model/beliefs/curve-grid.ts";
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
const ray = { logPrior: 0 } as Ray;
const before = {
  grid: { needs, states: [{ logPrior: 0 }], rays: [ray] },
  noResponseChance: 0,
} as unknown as CurvesBefore;
/** Normal likelihoods, as if each entry had been seen by itself. */
const asSeen = ({ sums }: SharedFarm) =>
  [...new Set(sums.map(({ variety }) => variety))].map((variety) => ({
    variety,
    likelihood: { rays: [{ ray, log: 0, values: needsSeen(sums, variety) }], logNoResponse: -Infinity },
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

  it("is told of each two kinds by themselves, in whatever order a farm's strips come", () => {
    const threeKinds = farmOf(
      { variety: "Alder", logNeed: middle, sd: 0.05, ground: "level" },
      { variety: "Alder", logNeed: middle - 0.2, sd: 0.05, ground: "hill" },
      { variety: "Alder", logNeed: middle + 0.1, sd: 0.05, ground: "sandy" },
      { variety: "Alder", logNeed: middle + 0.5, sd: 0.05 },
    );
    const farms = Array.from({ length: 6 }, (_, i) =>
      i % 2 === 0 ? threeKinds : { sums: [...threeKinds.sums].reverse() },
    );
    const found = groundShifts(farms, before, asSeen, 6);
    expect(found.map(({ ground, against }) => [ground, against])).toEqual([
      ["hill", "level"],
      ["hill", "sandy"],
      ["level", "sandy"],
    ]);
    // 96% of what the farms see, as in the first case.
    [-0.2, -0.3, -0.1].forEach((difference, i) =>
      expect(Math.abs(found[i]!.logShift - difference)).toBeLessThan(0.05 * Math.abs(difference)),
    );
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

  it("is not known from a farm with another variety in each season", () => {
    const unlike = farmOf(
      { variety: "Alder", logNeed: middle, sd: 0.05, season: 2023, waterMm: 200 },
      { variety: "Birch", logNeed: middle, sd: 0.05, season: 2024, waterMm: 300 },
    );
    expect(waterShift([unlike], before, asSeen, 1)).toBeNull();
    expect(waterShift([unlike, threeSeasons(0.1, [300, 200])], before, asSeen, 1)).toMatchObject({
      farms: 1,
    });
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

const shiftsSeen = Array.from({ length: 41 }, (_, s) => -0.8 + 0.04 * s);
const normalBell = (x: number, sd: number): number => Math.exp((-x * x) / (2 * sd * sd));
/**
 * Every shift and every spread between farms summed one by one. The numbers are those stated in `ground-over-farms.ts`: four
 * spreads under a half-normal prior of 0.1, and 15% of farms unlike all others, which say of every shift what they say on
 * average over the prior.
 */
function summedDirectly(contrasts: readonly (readonly number[])[], sd: number, sharedVariance: number) {
  const priors = shiftsSeen.map((shift) => normalBell(shift, sd));
  const places = [0.03, 0.08, 0.15, 0.25].flatMap((between) => {
    // A normal distribution to three sds, as steps of 0.04.
    const reach = Math.ceil((3 * between) / 0.04);
    const steps = Array.from({ length: 2 * reach + 1 }, (_, i) => i - reach);
    const bells = steps.map(
      (d) => normalBell(0.04 * d, between) / sum(steps.map((e) => normalBell(0.04 * e, between))),
    );
    return shiftsSeen.map((shift, s) => {
      const ofFarms = contrasts.map((contrast) => {
        const odd = sum(contrast.map((value, i) => value * priors[i]!)) / sum(priors);
        const usual = sum(steps.map((d, i) => bells[i]! * contrast[Math.min(Math.max(s + d, 0), 40)]!));
        return 0.85 * usual + 0.15 * odd;
      });
      const weight =
        normalBell(between, 0.1) * priors[s]! * ofFarms.reduce((product, one) => product * one, 1);
      return { between, shift, weight };
    });
  });
  const all = sum(places.map(({ weight }) => weight));
  const mean = (of: (place: (typeof places)[number]) => number): number =>
    sum(places.map((place) => (place.weight / all) * of(place)));
  const shift = mean((place) => place.shift);
  // A shift lies anywhere in its step of 0.04, evenly: a twelfth of the step squared.
  const variance = mean((place) => (place.shift - shift) ** 2) + 0.04 ** 2 / 12 + sharedVariance;
  const sdOfShift = Math.sqrt(variance);
  // Four fifths of a normal distribution lie within 1.281552 sds.
  return {
    logShift: shift,
    lower: shift - 1.281552 * sdOfShift,
    upper: shift + 1.281552 * sdOfShift,
    sd: sdOfShift,
    betweenFarmsSdLog: mean((place) => place.between),
  };
}

/** Holds what is published, to six digits, to the direct sum. */
function expectPublished(
  found: ReturnType<typeof overFarms>,
  direct: ReturnType<typeof summedDirectly>,
): void {
  for (const key of ["logShift", "lower", "upper", "sd", "betweenFarmsSdLog"] as const)
    expect(Math.abs(found[key] / direct[key] - 1)).toBeLessThan(1e-5);
}

it("three thousand farms that agree leave open no more than the step of the shifts", () => {
  const seen = shiftsSeen.map((shift) => normalBell(shift + 0.2, 0.1));
  const { logShift, sd } = overFarms(
    Array.from({ length: 3000 }, () => seen),
    0.2,
    0,
  );
  expect(logShift).toBeCloseTo(-0.2, 6);
  expect(sd).toBeCloseTo(0.04 / Math.sqrt(12), 6);
});

describe("a mean over farms, summed one by one", () => {
  const seenAt = (middleShift: number, sd: number): number[] =>
    shiftsSeen.map((shift) => 0.01 + normalBell(shift - middleShift, sd));

  it.each([
    ["that agree", [seenAt(-0.2, 0.1), seenAt(-0.15, 0.08)], 0.2, 0],
    ["that do not", [seenAt(-0.3, 0.03), seenAt(0.2, 0.05), seenAt(0.7, 0.05)], 0.1, 0],
    ["with seasons in common", [seenAt(0.1, 0.1)], 0.1, 0.0018],
  ])("is the same for farms %s", (_, contrasts, sd, sharedVariance) => {
    const found = overFarms(contrasts, sd, sharedVariance);
    expect(found.farms).toBe(contrasts.length);
    expectPublished(found, summedDirectly(contrasts, sd, sharedVariance));
  });
});

describe("a farm's own contrast, summed one by one", () => {
  /** Four needs, two states of the farm, three curves of which the third is believable in one place only. */
  const few = { from: Math.log(250), step: 0.1, count: 4 };
  const chance = 0.2;
  const rays = [0.5, 0.3, 0.2].map((weight) => ({ logPrior: Math.log(weight) }) as Ray);
  const [first, second, third] = rays as [Ray, Ray, Ray];
  const grid = {
    grid: {
      needs: few,
      states: [0.6, 0.4].map((weight) => ({ logPrior: Math.log(weight) })),
      rays,
    },
    noResponseChance: chance,
  } as unknown as CurvesBefore;
  const said = {
    hill: {
      rays: [
        { ray: first, log: 0.3, values: Float64Array.of(1, 0.6, 0.2, 0.1, 0.9, 0.7, 0.3, 0.05) },
        { ray: second, log: -0.4, values: Float64Array.of(0.5, 1, 0.4, 0.2, 0.3, 0.8, 0.5, 0.1) },
        { ray: third, log: 2, values: new Float64Array(8).fill(1) },
      ],
      logNoResponse: -1,
    },
    level: {
      rays: [
        { ray: first, log: -0.2, values: Float64Array.of(0.1, 0.3, 0.8, 1, 0.05, 0.2, 0.9, 0.6) },
        { ray: second, log: 0.1, values: Float64Array.of(0.2, 0.2, 0.7, 0.9, 0.1, 0.4, 1, 0.3) },
      ],
      logNoResponse: -0.5,
    },
  };
  type Place = keyof typeof said;
  /** Straight between two places of four, the outermost beyond the ends. */
  const readAt = (values: readonly number[], place: number): number => {
    const within = Math.min(Math.max(place, 0), 3);
    const [low, high] = [Math.floor(within), Math.ceil(within)];
    return values[low]! + (within - low) * (values[high]! - values[low]!);
  };
  /** How well a shift explains strips at several places, each with how far it is shifted. */
  const explainedBy = (places: readonly [Place, number][], shift: number): number => {
    let responding = 0;
    [0.5, 0.3].forEach((ofCurve, ray) =>
      [0.6, 0.4].forEach((ofState, t) => {
        for (let j = 0; j < 4; j++)
          responding +=
            ofCurve *
            ofState *
            (1 / 4) *
            places.reduce((product, [place, at]) => {
              const { log, values } = said[place].rays[ray]!;
              return (
                product *
                Math.exp(log) *
                readAt([...values.subarray(4 * t, 4 * t + 4)], j + (at * shift) / 0.1)
              );
            }, 1);
      }),
    );
    const none = places.reduce((product, [place]) => product * Math.exp(said[place].logNoResponse), 1);
    return chance * none + (1 - chance) * responding;
  };
  const contrastOf = (places: readonly [Place, number][], varieties: number): number[] => {
    const values = shiftsSeen.map((shift) => explainedBy(places, shift) ** varieties);
    return values.map((value) => value / Math.max(...values));
  };
  const sumsOf = (variety: string, ground: Place, some: Partial<SharedSums> = {}): SharedSums => ({
    ...farmOf({ variety, logNeed: 0, sd: 1 }).sums[0]!,
    ground,
    ...some,
  });

  it.each([1, 2])("is that of %i varieties on the hill against level ground", (varieties) => {
    const names = ["Alder", "Birch"].slice(0, varieties);
    const farm = {
      sums: [
        ...names.flatMap((variety) => [sumsOf(variety, "hill"), sumsOf(variety, "level")]),
        // Grown on one kind of ground alone.
        sumsOf("Cedar", "level"),
      ],
    };
    const curvesOf = ({ sums }: SharedFarm) =>
      sums.map(({ variety, ground }) => ({ variety, likelihood: said[ground as Place] }));
    const [shift] = groundShifts([farm, farm], grid, curvesOf, 2);
    const contrast = contrastOf(
      [
        ["hill", 1],
        ["level", 0],
      ],
      varieties,
    );
    expect(shift).toMatchObject({ ground: "hill", against: "level", farms: 2 });
    expectPublished(shift!, summedDirectly([contrast, contrast], 0.2, 0));
  });

  it("lies as far to either side as seasons were dry or wet", () => {
    // 250 and 330 mm: 0.4 hundred mm to either side of 290; said as on the hill and on level ground.
    const farm = {
      sums: [
        sumsOf("Alder", "hill", { season: 2023, waterMm: 330 }),
        sumsOf("Alder", "level", { season: 2024, waterMm: 250 }),
        sumsOf("Alder", "level", { season: 2022 }),
      ],
    };
    const curvesOf = ({ sums }: SharedFarm) => {
      const { variety, ground } = sums[0]!;
      return sums.length > 1 ? [] : [{ variety, likelihood: said[ground as Place] }];
    };
    const contrast = contrastOf(
      [
        ["hill", 0.4],
        ["level", -0.4],
      ],
      1,
    );
    const shift = waterShift([farm, farm], grid, curvesOf, 2)!;
    expect(shift).toMatchObject({ farms: 2, seasons: 2 });
    // Seasons move all farms by 0.06: two farms at 0.4 and −0.4, so 0.06² · 2 · 0.8² / (4 · 0.16)².
    expectPublished(shift, summedDirectly([contrast, contrast], 0.1, (0.06 ** 2 * 2 * 0.8 ** 2) / 0.64 ** 2));
    expect(waterShift([farm], grid, curvesOf, 2)).toBeNull();
  });
});
