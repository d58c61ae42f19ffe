import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { chanceOverLimit, findLodgingCeiling } from "../../src/decide/rate/lodging-ceiling.ts";
import type { LodgingBelief, LodgingCeiling, VarietyLodging } from "../../src/vocabulary/result.ts";

/** Evenly between the two; `fc.double` would mostly give numbers next to 0. */
const between = (min: number, max: number): fc.Arbitrary<number> =>
  fc.integer({ min: 0, max: 1_000_000 }).map((part) => min + ((max - min) * part) / 1_000_000);

const belief: fc.Arbitrary<LodgingBelief> = fc
  .record({
    weight: between(0.05, 1),
    level: between(-6, 3),
    slope: between(-0.005, 0.03),
    levelVariance: between(0, 1),
    slopeVariance: between(1e-8, 1e-4),
    correlation: between(-0.95, 0.95),
    seasonVariance: between(0.01, 6),
  })
  .map(({ correlation, ...rest }) => ({
    ...rest,
    covariance: correlation * Math.sqrt(rest.levelVariance * rest.slopeVariance),
  }));

const lodging: fc.Arbitrary<VarietyLodging> = fc
  .array(belief, { minLength: 1, maxLength: 6 })
  .map((beliefs) => {
    const total = beliefs.reduce((sum, { weight }) => sum + weight, 0);
    return {
      variety: "any",
      scale: "zero-to-nine",
      strips: 30,
      testedSeedsPerM2: [200, 500],
      centreSeedsPerM2: 320,
      chanceOfAny: 0.8,
      beliefs: beliefs.map((one) => ({ ...one, weight: one.weight / total })),
      reason: "",
      seen: [],
    };
  });

/** The rate a ceiling allows at most; where there is none, any. */
const allows = (ceiling: LodgingCeiling): number =>
  ceiling.kind === "found" || ceiling.kind === "at-lowest" ? ceiling.rateSeedsPerM2 : Infinity;
const seeded = { seed: 20_240_502, numRuns: 200 };

describe("lodging ceiling", () => {
  it("never rises when the limit or the chance is stricter", () =>
    fc.assert(
      fc.property(
        lodging,
        between(0.05, 0.9),
        between(0.05, 0.9),
        between(0.01, 1),
        (any, lodgingLimit, lodgingChance, stricter) => {
          const ceiling = allows(findLodgingCeiling(any, { lodgingLimit, lodgingChance }));
          const byLimit = findLodgingCeiling(any, { lodgingLimit: lodgingLimit * stricter, lodgingChance });
          const byChance = findLodgingCeiling(any, { lodgingLimit, lodgingChance: lodgingChance * stricter });
          expect(allows(byLimit)).toBeLessThanOrEqual(ceiling + 1e-6);
          expect(allows(byChance)).toBeLessThanOrEqual(ceiling + 1e-6);
        },
      ),
      seeded,
    ));

  it("keeps every tested rate up to it within the chance", () =>
    fc.assert(
      // The chance allowed is that of some rate between, so that there is a ceiling to be found.
      fc.property(lodging, between(0.05, 0.9), between(220, 480), (any, lodgingLimit, somewhere) => {
        const lodgingChance = chanceOverLimit(any, somewhere, lodgingLimit)!;
        const ceiling = findLodgingCeiling(any, { lodgingLimit, lodgingChance });
        fc.pre(ceiling.kind === "found");
        if (ceiling.kind !== "found") return;
        for (let part = 0; part <= 1; part += 1 / 64) {
          const rate = 200 + part * (ceiling.rateSeedsPerM2 - 200);
          expect(chanceOverLimit(any, rate, lodgingLimit)!).toBeLessThan(lodgingChance + 0.01);
        }
      }),
      seeded,
    ));
});
