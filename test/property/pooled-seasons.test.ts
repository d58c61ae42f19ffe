/** What must hold for the pooled model of any trial, however odd. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { addPooledOptima } from "../../src/decide/optima/pooled-optimum.ts";
import { spreadOfSeasons } from "../../src/decide/optima/season-spread.ts";
import { fitSeasons } from "../../src/model/seasons/fit-seasons.ts";
import { poolSeasons } from "../../src/model/pooled/pool-seasons.ts";
import { defaultSettings } from "../../src/vocabulary/settings.ts";
import { makeTrial } from "../make-trial.ts";

const seeded = { seed: 20_270_425, numRuns: 20 };

type FewStrips = Parameters<typeof makeTrial>[0];

const anyStrips: fc.Arbitrary<FewStrips> = fc
  .record({
    rate: fc.constantFrom(
      fc.constantFrom(150, 200, 300, 400, 500),
      fc.double({ min: 50, max: 800, noNaN: true }),
    ),
    grain: fc.constantFrom(
      fc.integer({ min: 3000, max: 3006 }),
      fc.double({ min: 0, max: 9000, noNaN: true }),
      fc.constant(4000),
    ),
    varieties: fc.constantFrom("A", "AB", "ABCD"),
    blocks: fc.constantFrom("1", "123"),
    seasons: fc.integer({ min: 1, max: 5 }),
    positions: fc.constantFrom(fc.constant(null), fc.integer({ min: 1, max: 40 })),
  })
  .chain(({ rate, grain, varieties, blocks, seasons, positions }) =>
    fc.array(
      fc.record({
        variety: fc.constantFrom(...varieties),
        season: fc.integer({ min: 2020, max: 2019 + seasons }),
        block: fc.constantFrom(...blocks),
        position: positions,
        rateSeedsPerM2: rate,
        yieldKgPerHa: grain,
        waterMm: fc.constantFrom(null, 200, 260, 300),
        seeded: fc.constantFrom(null, "2020-04-12", "2020-05-03"),
      }),
      { minLength: 1, maxLength: 60, size: "max" },
    ),
  );

function pool(strips: FewStrips) {
  const trial = makeTrial(strips);
  const { fits } = fitSeasons(trial, defaultSettings);
  const found = poolSeasons(trial, fits, defaultSettings);
  return {
    ...found,
    pooled: addPooledOptima(found.pooled, defaultSettings),
    seasons: spreadOfSeasons(fits, defaultSettings),
  };
}

/** A trial in which everything is told apart. */
const soundStrips = (draw: (i: number) => number): FewStrips =>
  ["A", "B", "C"].flatMap((variety, v) =>
    [2021, 2022, 2023].flatMap((season, s) =>
      ["1", "2"].flatMap((block, b) =>
        [150, 220, 290, 360, 430].map((rate, r) => ({
          variety,
          season,
          block,
          rateSeedsPerM2: rate,
          yieldKgPerHa:
            4000 +
            300 * s -
            150 * v +
            40 * b -
            0.01 * (rate - 300 - 30 * v) ** 2 +
            60 * draw(r + 5 * (b + 2 * (s + 3 * v))),
        })),
      ),
    ),
  );

/** Scatter that is the same everywhere the tests run. */
const scatter = (i: number): number => Math.sin(12.9898 * i + 1) + Math.sin(78.233 * i);

const numbersIn = (value: unknown): number[] =>
  typeof value === "number"
    ? [value]
    : typeof value === "object" && value !== null
      ? Object.values(value).flatMap(numbersIn)
      : [];

const undefinedIn = (value: unknown): boolean =>
  value === undefined ||
  (typeof value === "object" && value !== null && Object.values(value).some(undefinedIn));

describe("the pooled model of any trial", () => {
  it("comes back whole: no failure, and nothing that JSON cannot hold", () => {
    fc.assert(
      fc.property(anyStrips, (strips) => {
        const found = pool(strips);
        expect(numbersIn(found).filter((number) => !Number.isFinite(number))).toEqual([]);
        expect(undefinedIn(found)).toBe(false);
      }),
      seeded,
    );
  });

  it("does not depend on the order of the strips", () => {
    fc.assert(
      fc.property(
        anyStrips.chain((strips) =>
          fc.tuple(
            fc.constant(strips),
            fc.shuffledSubarray(
              strips.map((_, i) => i),
              { minLength: strips.length },
            ),
          ),
        ),
        ([strips, order]) => {
          const placed = makeTrial(strips).strips;
          const ordered = order.map((i) => placed[i]!);
          expect(JSON.stringify(pool(ordered))).toBe(JSON.stringify(pool(placed)));
        },
      ),
      { ...seeded, numRuns: 8 },
    );
  });

  it("follows new labels and changes no number by them", () => {
    const strips = soundStrips(scatter);
    const renamed = strips.map((strip) => ({
      ...strip,
      variety: { A: "Z", B: "Y", C: "X" }[strip.variety!]!,
    }));
    const [before, after] = [pool(strips), pool(renamed)];
    expect(after.pooled.map(({ variety }) => variety)).toEqual(["X", "Y", "Z"]);
    const [first, second] = [
      numbersIn(before.pooled.map(({ slope }) => slope && [slope.linear, slope.quadratic, slope.variance])),
      numbersIn(
        [...after.pooled]
          .reverse()
          .map(({ slope }) => slope && [slope.linear, slope.quadratic, slope.variance]),
      ),
    ];
    first.forEach((value, i) => expect(Math.abs(second[i]! / value - 1)).toBeLessThan(1e-4));
    expect(after.varietyByRate!.f!.f / before.varietyByRate!.f!.f).toBeCloseTo(1, 4);
  });

  it("doubles its curves, and moves no optimum of most yield, where every yield doubles", () => {
    const strips = soundStrips(scatter);
    const doubled = strips.map((strip) => ({ ...strip, yieldKgPerHa: 2 * strip.yieldKgPerHa }));
    const [before, after] = [pool(strips), pool(doubled)];
    before.pooled.forEach((one, v) => {
      expect(after.pooled[v]!.slope!.linear / one.slope!.linear).toBeCloseTo(2, 5);
      const [own, twice] = [one, after.pooled[v]!].map(
        ({ forms }) => forms.find(({ form }) => form === "quadratic")!.yieldOptimum,
      );
      if (own?.kind !== "found" || twice?.kind !== "found") expect.unreachable();
      expect(twice.rateSeedsPerM2).toBeCloseTo(own.rateSeedsPerM2, 4);
      expect(twice.lower! / own.lower!).toBeCloseTo(1, 4);
    });
  });
});
