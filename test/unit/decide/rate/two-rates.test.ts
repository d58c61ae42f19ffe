import { describe, expect, it } from "vitest";
import { compareTwoRates, meanDifference } from "../../../../src/decide/rate/two-rates.ts";
import { tTwoSided } from "../../../../src/maths/distributions.ts";
import { fromBushelsPerAcre, fromPerAcre } from "../../../../src/numbers/units.ts";
import { measuresOf } from "../../../../src/numbers/measures.ts";
import { twoRatesSentence } from "../../../../src/tell/wording/two-rates.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";

describe("the mean of paired differences", () => {
  // Student 1908, "The probable error of a mean", Biometrika 6:1, table of Cushny and Peebles: additional hours of sleep,
  // L-hyoscyamine less D-hyoscyamine; he prints the mean 1.58. Standard error, t and p as R 4 gives them for its data set
  // `sleep`, t.test(paired = TRUE): t = 4.0621, df = 9, p = 0.002833 (from memory).
  it("is that of Student's ten sleepers", () => {
    const { count, mean, standardError } = meanDifference([1.2, 2.4, 1.3, 1.3, 0, 1, 1.8, 0.8, 4.6, 1.4]);
    expect(mean).toBeCloseTo(1.58, 12);
    expect(mean / standardError!).toBeCloseTo(4.0621, 4);
    expect(tTwoSided(mean / standardError!, count - 1)).toBeCloseTo(0.002833, 6);
  });

  it("has no standard error with one", () => {
    expect(meanDifference([2])).toEqual({ count: 1, mean: 2, standardError: null });
  });
});

const [low, high] = [fromPerAcre(1.1e6), fromPerAcre(1.5e6)];
const cell = (block: string, rate: number, bushels: number) => ({
  block,
  rateSeedsPerM2: rate,
  strips: 1,
  meanYieldKgPerHa: fromBushelsPerAcre(bushels, 60),
});
const years = [
  [61.9, 63.7],
  [42, 45.9],
  [62.6, 66.2],
  [50.8, 55.7],
].map(([a, b]) => ({ cells: [cell("", low, a!), cell("", high, b!)] }));

describe("two rates side by side", () => {
  const two = compareTwoRates(years, 0.02, defaultSettings)!;

  it("pairs within site-years and tells yield, money and chance, worked by hand", () => {
    const bushel = fromBushelsPerAcre(1, 60);
    // 1.8, 3.9, 3.6, 4.9: mean 3.55; squares about it 5.01; √(5.01 ÷ 3 ÷ 4) = 0.64614.
    expect(two.differenceKgPerHa / bushel).toBeCloseTo(3.55, 9);
    expect(two.standardErrorKgPerHa! / bushel).toBeCloseTo(0.64614, 5);
    // 3.55 bu at $6 less 0.4 million seeds at $20 a million: 21.30 − 8.00 = $13.30 an acre.
    expect(two.gainPerHa * 0.40468564224).toBeCloseTo(13.3, 6);
    // 13.30 ÷ (6 × 0.64614) = 3.4306 with 3 df: one tail between 0.0255 (t 3.182 is 0.025) and 0.01 (t 4.541), tables.
    expect(two.chanceHigherPays!).toBeGreaterThan(0.975);
    expect(two.chanceHigherPays!).toBeLessThan(0.99);
    expect(two).toMatchObject({ environments: 4, environmentsHigherYieldedMore: 4 });
  });

  it("is said in words, with what it does not show", () => {
    const measures = measuresOf({ units: { system: "us", currency: "$" }, settings: defaultSettings });
    expect(twoRatesSentence(two, measures)).toMatch(
      /1\.50 outyielded 1\.10 in four of four site-years, by 3\.\d bu\/ac \(standard error 0\.6\).*1\.50 earned \$13\/ac more.*Nothing is known between or beyond/,
    );
  });

  it("says of one site-year that it was the only one", () => {
    const measures = measuresOf({ units: { system: "us", currency: "$" }, settings: defaultSettings });
    const once = { ...two, environments: 1, environmentsHigherYieldedMore: 1 };
    expect(twoRatesSentence(once, measures)).toContain("outyielded 1.10 in the only site-year, by 3.");
  });

  it("pairs within blocks where blocks hold both, so that an odd block does not count", () => {
    const cells = [
      cell("1", low, 50),
      cell("1", high, 52),
      cell("2", low, 60),
      cell("2", high, 62),
      cell("3", high, 90),
    ];
    const [only] = [compareTwoRates([{ cells }], 0.02, defaultSettings)!];
    expect(only.differenceKgPerHa).toBeCloseTo(fromBushelsPerAcre(2, 60), 9);
    expect(only).toMatchObject({ standardErrorKgPerHa: null, chanceHigherPays: null });
  });

  it("is silent with three rates, one, or never side by side", () => {
    const three = [{ cells: [cell("", low, 50), cell("", high, 52), cell("", 500, 53)] }];
    expect(compareTwoRates(three, 0.02, defaultSettings)).toBeNull();
    expect(compareTwoRates([{ cells: [cell("", low, 50)] }], 0.02, defaultSettings)).toBeNull();
    const apart = [{ cells: [cell("", low, 50)] }, { cells: [cell("", high, 50)] }];
    expect(compareTwoRates(apart, 0.02, defaultSettings)).toBeNull();
  });
});
