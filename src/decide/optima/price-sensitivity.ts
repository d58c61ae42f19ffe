/** How much the economic optimum of each fitted curve changes with both prices. */
import { firstAndLast } from "../../maths/first-and-last.ts";
import type { FittedVariety, PriceSensitivity } from "../../vocabulary/result.ts";
import type { FormName, Settings } from "../../vocabulary/settings.ts";
import { formNamed } from "../../model/forms/index.ts";
import { rateAlone } from "./best-rate.ts";
import { priceRatio, seedPriceOf } from "./price-ratio.ts";

/** Multiples of today's prices. */
const grainShares = [0.6, 0.8, 1, 1.25, 1.5];
const seedShares = [0.5, 0.75, 1, 1.5, 2];

/** Whether a form can have an optimum between the tested rates: its rise ends. */
const isBent = (name: FormName): boolean => {
  const { powers, hingeDegree } = formNamed(name);
  return powers > 1 || hingeDegree !== null;
};

/** Grain and seed prices around today's, and the price ratio of each pair. */
export interface PricesAbout extends Pick<PriceSensitivity, "grainPricesPerKg" | "seedPricesPerThousand"> {
  ratios: number[][];
}

/** Prices of grain [money/kg] and of a variety's seed [money per thousand], by stated shares of today's. */
export function pricesAbout(variety: string, settings: Settings): PricesAbout {
  const grainPricesPerKg = grainShares.map((share) => share * settings.grainPricePerKg);
  const seedPricesPerThousand = seedShares.map((share) => share * seedPriceOf(variety, settings));
  const ratios = grainPricesPerKg.map((grain) =>
    seedPricesPerThousand.map((seed) => priceRatio(seed, grain)),
  );
  return { grainPricesPerKg, seedPricesPerThousand, ratios };
}

/** The table for one variety in one environment, for bent forms only. */
export function priceSensitivity(
  { ratesSeedsPerM2: rates, forms }: Pick<FittedVariety, "ratesSeedsPerM2" | "forms">,
  { grainPricesPerKg, seedPricesPerThousand, ratios }: PricesAbout,
): PriceSensitivity {
  const [lowest, highest] = firstAndLast(rates);
  return {
    grainPricesPerKg,
    seedPricesPerThousand,
    forms: forms
      .filter(({ form }) => isBent(form))
      .map((form) => ({
        form: form.form,
        rateSeedsPerM2: ratios.map((row) => row.map((ratio) => rateAlone(form, lowest, highest, ratio))),
      })),
  };
}
