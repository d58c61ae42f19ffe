import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { layOutStrips } from "../../src/plan/lay-out-strips.ts";
import { searchDesign, spreadPoints } from "../../src/plan/search-design.ts";
import { TrialError } from "../../src/vocabulary/trial.ts";
import { request } from "../unit/plan/requests.ts";

const seeded = { seed: 20_270_424, numRuns: 300 };
const metres = (min: number, max: number): fc.Arbitrary<number> =>
  fc.double({ min, max, noNaN: true, noDefaultInfinity: true });

const ground = fc.record({
  fieldLengthM: metres(50, 1600),
  fieldWidthM: metres(20, 1600),
  drillWidthM: metres(2, 25),
  harvestWidthM: metres(1, 18),
  edgeM: metres(0, 1),
  alleyM: metres(0, 30),
  shortestStripM: metres(30, 300),
  borderStrips: fc.nat({ max: 3 }),
});

const anyTrial = fc.record({
  ground,
  layout: fc.constantFrom("blocks", "varieties-in-strips", "rates-in-strips" as const),
  varieties: fc.integer({ min: 1, max: 5 }),
  rates: fc.integer({ min: 2, max: 7 }),
  blocks: fc.integer({ min: 1, max: 8 }),
  seed: fc.nat(),
});

describe("any ground and any trial", () => {
  it("give complete blocks inside the field, each strip with room for the cut, or a message that says what would do", () =>
    fc.assert(
      fc.property(anyTrial, ({ ground, layout, varieties, rates, blocks, seed }) => {
        const treatments = Array.from({ length: varieties }, (_, v) => ({
          variety: `variety ${v}`,
          ratesSeedsPerM2: Array.from({ length: rates }, (_, r) => 200 + 40 * r + v),
        }));
        const units = { system: "metric", currency: "€" } as const;
        try {
          const laid = layOutStrips(request({ ground, layout }), treatments, blocks, seed, units);
          expect(laid.stripWidthM).toBeGreaterThanOrEqual(ground.harvestWidthM + 2 * ground.edgeM - 1e-4);
          expect(laid.stripWidthM - ground.drillWidthM).toBeLessThan(ground.harvestWidthM + 2 * ground.edgeM);
          expect(laid.usedWidthM).toBeLessThanOrEqual(ground.fieldWidthM + 1e-3);
          expect(laid.usedLengthM).toBeLessThanOrEqual(ground.fieldLengthM + 1e-6);
          expect(laid.stripLengthM).toBeGreaterThanOrEqual(ground.shortestStripM - 1e-2);
          const inBlocks = laid.strips.filter((strip) => !strip.border);
          expect(inBlocks).toHaveLength(varieties * rates * blocks);
          const cells = inBlocks.map((one) => `${one.block} ${one.variety} ${one.rateSeedsPerM2}`);
          expect(new Set(cells).size).toBe(cells.length);
          for (const tier of new Set(laid.strips.map((strip) => strip.tier))) {
            const places = laid.strips.filter((strip) => strip.tier === tier).map((strip) => strip.position);
            expect(places).toEqual(places.map((_, i) => i + 1));
          }
        } catch (error) {
          if (!(error instanceof TrialError)) throw error;
          expect(error.message).toMatch(/would fit|wider field|shorter strip/);
        }
      }),
      seeded,
    ));
});

describe("any search for rates", () => {
  it("keeps the fixed rates, the distance and the number, and never ends below its start", () =>
    fc.assert(
      fc.property(
        fc.integer({ min: 2, max: 6 }),
        fc.integer({ min: 0, max: 30 }),
        fc.integer({ min: 0, max: 4 }),
        fc.array(metres(-1, 1), { minLength: 31, maxLength: 31 }),
        (count, now, apart, worth) => {
          const candidates = worth.map((_, i) => i);
          const space = { candidates, count, fixed: [now], apart };
          const score = (points: readonly number[]): number =>
            points.reduce((sum, point) => sum + worth[point]!, 0);
          const found = searchDesign({ ...space, score })!;
          expect(found.points).toHaveLength(count);
          expect(found.points).toContain(now);
          for (const [i, point] of found.points.entries())
            if (i > 0) expect(point - found.points[i - 1]!).toBeGreaterThanOrEqual(apart);
          expect(found.score).toBeGreaterThanOrEqual(score(spreadPoints(space)!));
          expect(found.score).toBeCloseTo(score(found.points), 12);
        },
      ),
      seeded,
    ));
});
