import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { lateRate } from "../../src/decide/drill/late-seeding.ts";
import { pricePerThousandViable, seedCostPerHa } from "../../src/decide/rate/seed-cost.ts";
import * as sowing from "../../src/decide/drill/sowing.ts";
import { convertLodging, lodgingScales, toLodgingScore } from "../../src/numbers/lodging-scales.ts";
import { defaultSettings } from "../../src/vocabulary/settings.ts";
import type { LodgingScale } from "../../src/vocabulary/trial.ts";

const between = (min: number, max: number): fc.Arbitrary<number> =>
  fc.double({ min, max, noNaN: true, noDefaultInfinity: true });
const rate = between(1, 2000);
const length = between(0.1, 500);
const spacing = between(0.05, 1);
const seed = fc.record({
  seedsPerKg: between(1000, 500_000),
  germination: between(0.3, 1),
  purity: between(0.5, 1),
});
const same = (a: number, b: number): void => expect(Math.abs(a / b - 1)).toBeLessThan(1e-12);
const seeded = { seed: 20_240_501, numRuns: 300 };

describe("sowing arithmetic, there and back", () => {
  it("rate ↔ weight, sown seeds, row, catch, hoop and stand", () =>
    fc.assert(
      fc.property(
        fc.record({ rate, seed, length, spacing, loss: between(0, 0.9), hoop: between(0.1, 2) }),
        (any) => {
          same(sowing.rateOfKgPerHa(sowing.kgPerHaOfRate(any.rate, any.seed), any.seed), any.rate);
          same(sowing.viableOfSown(sowing.seedsSown(any.rate, any.seed), any.seed), any.rate);
          same(sowing.perM2OfRow(sowing.perMetreOfRow(any.rate, any.spacing), any.spacing), any.rate);
          same(
            sowing.kgPerHaOfCatch(
              sowing.catchGrams(any.rate, any.spacing, any.length),
              any.spacing,
              any.length,
            ),
            any.rate,
          );
          same(sowing.standOfHoop(sowing.hoopCountOfStand(any.rate, any.hoop), any.hoop), any.rate);
          same(
            sowing.standOfRow(
              sowing.rowCountOfStand(any.rate, any.length, any.spacing),
              any.length,
              any.spacing,
            ),
            any.rate,
          );
          same(sowing.rateOfStand(sowing.standOfRate(any.rate, any.loss), any.loss), any.rate);
        },
      ),
      seeded,
    ));

  it("the weight sown is the seeds sown times their weight", () =>
    fc.assert(
      fc.property(rate, seed, (any, bag) => {
        same(sowing.kgPerHaOfRate(any, bag), (sowing.seedsSown(any, bag) * 10_000) / bag.seedsPerKg);
      }),
      seeded,
    ));

  it("more stand loss, poorer germination and lighter counts ask for more seed", () =>
    fc.assert(
      fc.property(rate, seed, between(0, 0.8), between(0.001, 0.1), (stand, bag, loss, more) => {
        expect(sowing.rateOfStand(stand, loss + more)).toBeGreaterThan(sowing.rateOfStand(stand, loss));
        const poorer = { ...bag, germination: bag.germination - more };
        expect(sowing.kgPerHaOfRate(stand, poorer)).toBeGreaterThan(sowing.kgPerHaOfRate(stand, bag));
        const heavier = { ...bag, seedsPerKg: bag.seedsPerKg * (1 - more) };
        expect(sowing.kgPerHaOfRate(stand, heavier)).toBeGreaterThan(sowing.kgPerHaOfRate(stand, bag));
      }),
      seeded,
    ));

  it("seed by weight costs what its viable seeds cost", () =>
    fc.assert(
      fc.property(rate, seed, between(0.01, 20), (any, bag, pricePerKg) => {
        const lot = {
          variety: "any",
          rateNowSeedsPerM2: null,
          lowestRateSeedsPerM2: null,
          recommendedSeedsPerM2: null,
          ...bag,
          pricePerKg,
          pricePerThousandSeeds: null,
          soldIn: null,
          treated: false,
          areaHa: null,
        };
        same(
          seedCostPerHa(any, pricePerThousandViable(lot, defaultSettings)),
          pricePerKg * sowing.kgPerHaOfRate(any, bag),
        );
      }),
      seeded,
    ));
});

describe("late seeding", () => {
  it("never asks for less than in time, never falls with delay, and holds the cap", () =>
    fc.assert(
      fc.property(rate, fc.integer({ min: -30, max: 90 }), between(100, 800), (any, days, cap) => {
        const settings = { latePerDay: 0.01, lateCapSeedsPerM2: cap };
        const late = lateRate(any, days, settings);
        expect(late).toBeGreaterThanOrEqual(any);
        expect(lateRate(any, days + 1, settings)).toBeGreaterThanOrEqual(late);
        expect(late).toBeLessThanOrEqual(Math.max(any, cap));
      }),
      seeded,
    ));
});

describe("lodging scales", () => {
  it("convert there and back where they convert at all", () => {
    let converted = 0;
    fc.assert(
      fc.property(
        fc.constantFrom(...(Object.keys(lodgingScales) as LodgingScale[])),
        fc.constantFrom(...(Object.keys(lodgingScales) as LodgingScale[])),
        between(0, 0.9),
        (from, to, part) => {
          const { lowest, highest } = lodgingScales[from];
          const score = toLodgingScore(from, lowest + part * (highest - lowest))!;
          const there = convertLodging(score, to);
          if (there === null || there.score >= lodgingScales[to].highest) return;
          converted++;
          const back = convertLodging(there, from)!;
          expect(back.score).toBeCloseTo(score.score, 9);
          expect(there.share).toBeCloseTo(score.share, 9);
        },
      ),
      seeded,
    );
    expect(converted).toBeGreaterThan(10);
  });
});
