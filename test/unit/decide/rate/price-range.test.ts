/**
 * Break-even prices by algebra, on the expected curve of `money.test.ts`: it rises by 2.76667 kg/ha for each seed/m² up to
 * 300 and by 1.1 above, rates 200 to 400. Grain brings 0.20 a kg, a seed/m² costs 0.3 a hectare, the flat-zone sum is 4.1.
 */
import { describe, expect, it } from "vitest";
import { priceRanges } from "../../../../src/decide/rate/price-range.ts";
import { chooseStep } from "../../../../src/decide/rate/step.ts";
import { valueAt } from "../../../../src/decide/rate/curve-table.ts";
import { indexOfLargest } from "../../../../src/maths/weighted-quantiles.ts";
import { breakEvenOfAll, breakEvenSentence } from "../../../../src/tell/wording/break-even.ts";
import { measuresOf } from "../../../../src/numbers/measures.ts";
import { fromPricePerBushel } from "../../../../src/numbers/units.ts";
import { makeResult } from "../../../fixtures/result.ts";

const rates = Array.from({ length: 41 }, (_, i) => 200 + 5 * i);
const expectedKgPerHa = rates.map((rate) =>
  rate <= 300 ? 4050 - (300 - rate) * 2.766666667 : 4050 + (rate - 300) * 1.1,
);
const prices = {
  seedPricePerThousand: 0.03,
  grainPerKg: Float64Array.from(rates, () => 0.2),
  costPerHa: Float64Array.from(rates, (rate) => 0.3 * rate),
};
const settings = { largestStep: 0.1, flatZonePerHa: 4.1, rateStepSeedsPerM2: 0, grainPricePerKg: 0.2 };

const rangesFrom = (now: number) =>
  priceRanges(
    { expectedKgPerHa },
    { rates, prices },
    now,
    (earned) => {
      const target = rates[indexOfLargest(earned)]!;
      const wholeGainPerHa = valueAt(rates, earned, target) - valueAt(rates, earned, now);
      return chooseStep({ rateNowSeedsPerM2: now, target, wholeGainPerHa, ceiling: null }, settings).rate;
    },
    settings,
  );

describe("prices at which the advice holds", () => {
  it("end where the whole move earns no more than the flat-zone sum", () => {
    // From 260 to 300: 40 × (2.76667 g − 0.3) = 4.1 at g = 0.14548; 40 × (2.76667 × 0.2 − 10 s) = 4.1 at s = 0.045083.
    const { grainPricePerKg, seedPricePerThousand } = rangesFrom(260);
    expect(grainPricePerKg.lower).toBeCloseTo(0.14548, 4);
    expect(grainPricePerKg.upper).toBeNull();
    expect(seedPricePerThousand.lower).toBeNull();
    expect(seedPricePerThousand.upper).toBeCloseTo(0.045083, 5);
  });

  it("end on both sides of a rate that stays", () => {
    // At 340, less pays where 40 × (0.3 − 1.1 g) > 4.1: below 0.17955; more, where 60 × (1.1 g − 0.3) > 4.1: above 0.33485.
    const { grainPricePerKg } = rangesFrom(340);
    expect(grainPricePerKg.lower).toBeCloseTo(0.17955, 4);
    expect(grainPricePerKg.upper).toBeCloseTo(0.33485, 4);
  });
});

describe("break-even in words", () => {
  const result = makeResult();
  const measures = measuresOf(result);
  const bushel = (price: number): number => fromPricePerBushel(price, 60);
  const looked: [number, number] = [bushel(2.5), bushel(12.5)];
  const withRange = (index: number, lower: number | null, upper: number | null) => ({
    ...result.next[index]!,
    holdsAt: {
      grainPricePerKg: {
        lower: lower === null ? null : bushel(lower),
        upper: upper === null ? null : bushel(upper),
        looked,
      },
      seedPricePerThousand: { lower: null, upper: 0.03141, looked: [0, 0.06] as [number, number] },
    },
  });

  it("names the prices, rounded inward", () => {
    expect(breakEvenSentence(withRange(0, 4.4321, 10.567), measures)).toMatch(
      /remains the advice with grain from \$4\.50 to \$10\.50\/bu, and with seed up to \$31\.00 per million viable seeds/,
    );
  });

  it("is that of the variety that changes first, for all together", () => {
    const next = [withRange(0, 4.4321, null), withRange(1, 3.2, 10.567)];
    expect(breakEvenOfAll({ next }, measures)).toBe(
      `This advice holds with grain from $4.50 to $10.50/bu (below that, ${next[0]!.variety} changes first; above it, ${next[1]!.variety}).`,
    );
  });

  it("says in a whole clause which variety changes, at one end or at both", () => {
    const [first, second] = result.next.map(({ variety }) => variety);
    const told = (...ranges: [number | null, number | null][]): string =>
      breakEvenOfAll({ next: ranges.map(([lower, upper], i) => withRange(i, lower, upper)) }, measures);
    expect(told([null, 10.567], [null, null])).toBe(
      `This advice holds with grain up to $10.50/bu (above that, ${first} changes first).`,
    );
    expect(told([null, null], [4.4321, 10.567])).toBe(
      `This advice holds with grain from $4.50 to $10.50/bu (beyond either, ${second} changes first).`,
    );
    expect(told([4.4321, null], [null, null])).toBe(
      `This advice holds with grain from $4.50/bu up (below that, ${first} changes first).`,
    );
  });

  it("names those that it is for where others have no advice that a price could change", () => {
    const [first, second] = result.next.map(({ variety }) => variety);
    const next = [withRange(0, null, 10.567), { ...withRange(1, null, null), holdsAt: null }];
    expect(breakEvenOfAll({ next }, measures)).toBe(
      `The advice for ${first} holds with grain up to $10.50/bu.`,
    );
    expect(breakEvenOfAll({ next: [next[0]!, withRange(1, null, null), next[1]!] }, measures)).toBe(
      `The advice for ${first} and ${second} holds with grain up to $10.50/bu (above that, ${first} changes first).`,
    );
  });

  it("says how far was looked where it holds all the way", () => {
    expect(breakEvenOfAll({ next: [withRange(0, null, null)] }, measures)).toBe(
      "This advice holds with grain at every price tried, from $2.50 to $12.50/bu.",
    );
  });
});
