/** How far the economic optimum of each fitted curve moves with both prices. */
import type { PriceSensitivity, VarietyFit } from "../../vocabulary/result.ts";
import type { FormName, Settings } from "../../vocabulary/settings.ts";
import { formNamed } from "../../model/forms/index.ts";
import { bestRate } from "./best-rate.ts";
import { priceRatio, seedPriceOf } from "./price-ratio.ts";

/** Multiples of today's prices. */
const grainShares = [0.6, 0.8, 1, 1.25, 1.5];
const seedShares = [0.5, 0.75, 1, 1.5, 2];

/** Whether a form can have an optimum between the tested rates: its rise ends. */
const isBent = (name: FormName): boolean => {
  const { powers, hingeDegree } = formNamed(name);
  return powers > 1 || hingeDegree !== null;
};

/** The table for one variety in one environment; only bent forms are in it. */
export function priceSensitivity(
  fit: Pick<VarietyFit, "variety" | "ratesSeedsPerM2" | "forms">,
  settings: Settings,
): PriceSensitivity {
  const grainPricesPerKg = grainShares.map((share) => share * settings.grainPricePerKg);
  const seedPricesPerThousand = seedShares.map((share) => share * seedPriceOf(fit.variety, settings));
  const rates = fit.ratesSeedsPerM2;
  return {
    grainPricesPerKg,
    seedPricesPerThousand,
    forms: fit.forms
      .filter(({ form }) => isBent(form))
      .map((form) => ({
        form: form.form,
        rateSeedsPerM2: grainPricesPerKg.map((grain) =>
          seedPricesPerThousand.map((seed) => {
            const best = bestRate(form, rates[0]!, rates[rates.length - 1]!, priceRatio(seed, grain));
            return best.kind === "none" ? null : best.rateSeedsPerM2;
          }),
        ),
      })),
  };
}
