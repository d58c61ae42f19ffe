/** Rules of sign for the rate advised (trade practice and algebra: dearer seed asks for less of it, dearer grain for more). */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { netReturns, varietyPrices } from "../../src/decide/rate/net-return.ts";
import { chooseRate, type RateChoice } from "../../src/decide/rate/next-rate.ts";
import { believeCurves } from "../../src/model/beliefs/believable-curves.ts";
import type { Belief, LodgingCeiling } from "../../src/vocabulary/result.ts";
import { defaultSettings, type Settings } from "../../src/vocabulary/settings.ts";
import { simulateFarm } from "../calibration/simulate-farm.ts";
import { families } from "../calibration/truths.ts";

/** What is believed of one variety of a farm of every family, one to four seasons. */
const beliefs: Belief[] = families.flatMap((family, i) => {
  const { cells } = simulateFarm(family, 1 + (i % 4), i);
  return believeCurves(
    cells.filter(({ variety }) => variety === cells[i % cells.length]!.variety),
    defaultSettings,
  );
});

interface Question {
  /** Index into `beliefs`. */
  farm: number;
  rateNowSeedsPerM2: number;
  grainPricePerKg: number;
  seedPricePerThousand: number;
  times: number;
}

const between = (min: number, max: number): fc.Arbitrary<number> =>
  fc.double({ min, max, noNaN: true, noDefaultInfinity: true });

const question: fc.Arbitrary<Question> = fc.record({
  farm: fc.integer({ min: 0, max: beliefs.length - 1 }),
  rateNowSeedsPerM2: between(150, 600),
  grainPricePerKg: between(0.05, 0.6),
  seedPricePerThousand: between(0, 0.08),
  times: between(1, 3),
});

const quality = { premiumPerKg: () => 0, costPerHa: () => 0 };
const noCeiling: LodgingCeiling = { kind: "none", reason: "not-scored" };

function choose(
  { farm, ...asked }: Question,
  change: Partial<Settings> = {},
  lodgingCeiling = noCeiling,
): RateChoice {
  const belief = beliefs[farm]!;
  const { rateNowSeedsPerM2, grainPricePerKg, seedPricePerThousand } = asked;
  const settings = {
    ...defaultSettings,
    rateNowSeedsPerM2,
    grainPricePerKg,
    seedPricePerThousand,
    ...change,
  };
  const net = netReturns(belief, varietyPrices(belief, quality, settings));
  return chooseRate(belief, net, { seasons: belief.environments, lodgingCeiling }, settings);
}

const chosen = new Map<string, RateChoice>();
/** As asked, nothing changed: worked out once for all rules, which ask the same questions. */
function chooseAsAsked(asked: Question): RateChoice {
  const key = JSON.stringify(asked);
  const choice = chosen.get(key) ?? choose(asked);
  chosen.set(key, choice);
  return choice;
}

const bestOf = ({ economicOptimum }: RateChoice): number =>
  economicOptimum.kind === "none" ? NaN : economicOptimum.rateSeedsPerM2;
/** Rates are told to the seed; the sums behind them are exact to far less. */
const hair = 1e-6;
const seeded = { seed: 20_250_311, numRuns: 150 };

describe("the rate advised", () => {
  it("never rises when seed gets dearer", () =>
    fc.assert(
      fc.property(question, (asked) => {
        const [cheap, dear] = [
          chooseAsAsked(asked),
          choose(asked, { seedPricePerThousand: asked.times * asked.seedPricePerThousand }),
        ];
        expect(bestOf(dear)).toBeLessThanOrEqual(bestOf(cheap) + hair);
        expect(dear.rateNextSeedsPerM2!).toBeLessThanOrEqual(cheap.rateNextSeedsPerM2! + hair);
      }),
      seeded,
    ));

  it("names no lower best rate when grain gets dearer", () =>
    fc.assert(
      fc.property(question, (asked) => {
        const dear = choose(asked, { grainPricePerKg: asked.times * asked.grainPricePerKg });
        expect(bestOf(dear)).toBeGreaterThanOrEqual(bestOf(chooseAsAsked(asked)) - hair);
      }),
      seeded,
    ));

  it("is that of most grain where seed costs nothing, and below it where it does", () =>
    fc.assert(
      fc.property(question, (asked) => {
        const free = choose(asked, { seedPricePerThousand: 0 });
        expect(bestOf(free)).toBeCloseTo(bestOf({ ...free, economicOptimum: free.yieldOptimum }), 6);
        const paid = chooseAsAsked(asked);
        expect(bestOf(paid)).toBeLessThanOrEqual(
          bestOf({ ...paid, economicOptimum: paid.yieldOptimum }) + hair,
        );
      }),
      seeded,
    ));

  it("keeps its best rate and interval when all money doubles, and doubles what it earns", () =>
    fc.assert(
      fc.property(question, (asked) => {
        const once = chooseAsAsked(asked);
        const twice = choose(asked, {
          grainPricePerKg: 2 * asked.grainPricePerKg,
          seedPricePerThousand: 2 * asked.seedPricePerThousand,
          flatZonePerHa: 2 * defaultSettings.flatZonePerHa,
        });
        expect(bestOf(twice)).toBeCloseTo(bestOf(once), 6);
        expect(twice.intervals).toEqual(once.intervals);
        expect(twice.rateNextSeedsPerM2).toBe(once.rateNextSeedsPerM2);
        if (once.gainPerHa === null) expect(twice.gainPerHa).toBeNull();
        else expect(twice.gainPerHa!.expected).toBeCloseTo(2 * once.gainPerHa.expected, 6);
      }),
      seeded,
    ));

  it("moves by one bounded step at most, never past the best rate, and expects to gain by it", () => {
    let moved = 0;
    fc.assert(
      fc.property(question, (asked) => {
        const choice = chooseAsAsked(asked);
        const { gainPerHa } = choice;
        const [now, next] = [choice.rateNowSeedsPerM2!, choice.rateNextSeedsPerM2!];
        expect(Math.abs(next / now - 1)).toBeLessThanOrEqual(defaultSettings.largestStep + 1e-9);
        if (next === now) return;
        moved++;
        expect(Math.sign(next - now)).toBe(Math.sign(bestOf(choice) - now));
        // The drill's own steps may lead past by half of one.
        expect(Math.abs(next - now)).toBeLessThanOrEqual(
          Math.abs(bestOf(choice) - now) + defaultSettings.rateStepSeedsPerM2 / 2 + hair,
        );
        if (gainPerHa !== null) expect(gainPerHa.lower).toBeLessThanOrEqual(gainPerHa.upper);
      }),
      seeded,
    );
    expect(moved).toBeGreaterThan(10);
  });

  it("stays at or below what lodging allows, as far as one step leads", () =>
    fc.assert(
      fc.property(question, between(150, 600), (asked, ceiling) => {
        const { rateNowSeedsPerM2: now, rateNextSeedsPerM2: next } = choose(
          asked,
          {},
          {
            kind: "found",
            rateSeedsPerM2: ceiling,
          },
        );
        const drillStep = defaultSettings.rateStepSeedsPerM2;
        // A ceiling farther below than a step is neared by whole steps of the drill.
        const far = now! * (1 - defaultSettings.largestStep) + drillStep;
        expect(next).toBeLessThanOrEqual(Math.max(ceiling, far) + hair);
        expect(next).toBeLessThanOrEqual(chooseAsAsked(asked).rateNextSeedsPerM2! + hair);
      }),
      seeded,
    ));
});
