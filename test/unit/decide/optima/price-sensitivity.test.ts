import { expect, it } from "vitest";
import { priceRatio, priceRatioOf } from "../../../../src/decide/optima/price-ratio.ts";
import { addOptima } from "../../../../src/decide/optima/season-optima.ts";
import { fitSeasons } from "../../../../src/model/seasons/fit-seasons.ts";
import { defaultSettings, unknownLot } from "../../../../src/vocabulary/settings.ts";
import { makeTrial } from "../../../make-trial.ts";

const settings = { ...defaultSettings, grainPricePerKg: 0.2, seedPricePerThousand: 0.02 };

it("one kg of grain buys a seed on every m² at 2 cents a thousand and 20 cents a kg", () => {
  expect(priceRatio(0.02, 0.2)).toBeCloseTo(1, 12);
  expect(() => priceRatio(0.02, 0)).toThrow("The price of grain must be above zero; it is 0.");
});

// 2000 + 9x − 0.01x²: most grain at 450, and at a ratio of p most money at (9 − p)/0.02
const trial = makeTrial(
  [200, 300, 400, 500].map((x) => ({ rateSeedsPerM2: x, yieldKgPerHa: 2000 + 9 * x - 0.01 * x * x })),
);
const fits = fitSeasons(trial, settings).fits;
/** Worked out in each test, so that what a test runs is its own. */
const fitted = () => addOptima(fits, settings)[0]!;

it("tables the economic optimum over both prices, today's in the middle", () => {
  const { grainPricesPerKg, seedPricesPerThousand, forms } = fitted().prices!;
  expect(grainPricesPerKg[2]).toBeCloseTo(0.2, 12);
  expect(seedPricesPerThousand[2]).toBeCloseTo(0.02, 12);
  const table = forms.find(({ form }) => form === "quadratic")!.rateSeedsPerM2;
  table.forEach((row, g) =>
    row.forEach((rate, s) => {
      const p = (10 * seedPricesPerThousand[s]!) / grainPricesPerKg[g]!;
      expect(rate).toBeCloseTo((9 - p) / 0.02, 6);
    }),
  );
  expect(forms.map(({ form }) => form)).toEqual(["quadratic", "linear-plateau", "quadratic-plateau"]);
});

it("agrees with the optimum beside it", () => {
  const { prices, forms } = fitted();
  for (const form of prices!.forms) {
    const optimum = forms.find((one) => one.form === form.form)!.economicOptimum;
    expect(optimum.kind === "none" ? null : optimum.rateSeedsPerM2).toBe(form.rateSeedsPerM2[2]![2]);
  }
});

it("is left out where nobody would read a table for each of more than 500 fits", () => {
  const many = (count: number) =>
    addOptima(
      Array.from({ length: count }, () => fits[0]!),
      settings,
    );
  expect(many(500)[0]!.prices).not.toBeNull();
  expect(many(501)[0]!.prices).toBeNull();
});

it("reckons with the seed price of the variety's own lot", () => {
  const lots = [
    { ...unknownLot("Birch"), pricePerThousandSeeds: 0.09 },
    { ...unknownLot("Alder"), pricePerThousandSeeds: 0.04 },
  ];
  // 0.04 × 10 ÷ 0.2.
  expect(priceRatioOf("Alder", { ...settings, lots })).toBeCloseTo(2, 12);
  expect(priceRatioOf("Cedar", { ...settings, lots })).toBeCloseTo(1, 12);
});
