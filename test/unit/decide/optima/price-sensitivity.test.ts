import { expect, it } from "vitest";
import { priceRatio } from "../../../../src/decide/optima/price-ratio.ts";
import { addOptima } from "../../../../src/decide/optima/season-optima.ts";
import { fitSeasons } from "../../../../src/model/seasons/fit-seasons.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";
import { makeTrial } from "../../../make-trial.ts";

const settings = { ...defaultSettings, grainPricePerKg: 0.2, seedPricePerThousand: 0.02 };

it("one kg of grain buys a seed on every m² at 2 cents a thousand and 20 cents a kg", () => {
  expect(priceRatio(0.02, 0.2)).toBeCloseTo(1, 12);
  expect(() => priceRatio(0.02, 0)).toThrow("The price of grain must be above zero, and is 0.");
});

// 2000 + 9x − 0.01x²: most grain at 450, and at a ratio of p most money at (9 − p)/0.02
const trial = makeTrial(
  [200, 300, 400, 500].map((x) => ({ rateSeedsPerM2: x, yieldKgPerHa: 2000 + 9 * x - 0.01 * x * x })),
);
const [fit] = addOptima(fitSeasons(trial, settings).fits, settings);

it("tables the economic optimum over both prices, today's in the middle", () => {
  const { grainPricesPerKg, seedPricesPerThousand, forms } = fit!.prices!;
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
  for (const form of fit!.prices!.forms) {
    const optimum = fit!.forms.find((one) => one.form === form.form)!.economicOptimum;
    expect(optimum.kind === "none" ? null : optimum.rateSeedsPerM2).toBe(form.rateSeedsPerM2[2]![2]);
  }
});
