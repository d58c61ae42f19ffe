/** Other ways to choose a rate from the same strips. Each gets a variety's cells of all seasons, blocks taken off. */
import { fitForm } from "../../src/model/seasons/fit-form.ts";
import { formNamed, responseForms } from "../../src/model/forms/index.ts";
import { ratePoints } from "../../src/model/forms/rate-points.ts";
import type { CellsOfVariety } from "../../src/model/beliefs/rate-evidence.ts";
import type { FittedForm, RateCell } from "../../src/vocabulary/result.ts";

/** What one kg of grain is worth and one seed per m² costs on a hectare. */
export interface FarmPrices {
  grainPerKg: number;
  seedPerM2: number;
}

export const rivalNames = [
  "pooled quadratic",
  "best-yielding tested rate",
  "best-earning tested rate",
  "AICc winner",
] as const;
export type RivalName = (typeof rivalNames)[number];

export function chooseAsRivals(
  cells: readonly CellsOfVariety[],
  prices: FarmPrices,
): Record<RivalName, number> {
  const pooled = cells.flatMap(({ environment, cells: own }) =>
    own.map((cell) => ({ ...cell, block: `${environment} ${cell.block}` })),
  );
  const points = ratePoints(pooled, 0);
  const range: [number, number] = [points.lowest, points.highest];
  const fits = responseForms
    .map((form) => fitForm(form, points))
    .filter((fit): fit is FittedForm => !("reason" in fit));
  const winner = fits.reduce((best, fit) => ((fit.aicc ?? Infinity) < (best.aicc ?? Infinity) ? fit : best));
  const quadratic = fits.find((fit) => fit.form === "quadratic") ?? winner;
  return {
    "pooled quadratic": bestOnFit(quadratic, range, prices),
    "best-yielding tested rate": bestTested(pooled, { ...prices, seedPerM2: 0 }),
    "best-earning tested rate": bestTested(pooled, prices),
    "AICc winner": bestOnFit(winner, range, prices),
  };
}

/** Tested rates are searched in 600 steps; the lowest of several that earn the same. */
function bestOnFit(fit: FittedForm, [lowest, highest]: [number, number], prices: FarmPrices): number {
  const { value } = formNamed(fit.form);
  let [best, most] = [lowest, -Infinity];
  for (let i = 0; i <= 600; i++) {
    const rate = lowest + ((highest - lowest) * i) / 600;
    const net = prices.grainPerKg * value(fit.coefficients, rate) - prices.seedPerM2 * rate;
    if (net > most + 1e-9) [best, most] = [rate, net];
  }
  return best;
}

/** The tested rate with the highest mean, block means taken off. */
function bestTested(cells: readonly RateCell[], prices: FarmPrices): number {
  const blocks = new Map<string, { sum: number; strips: number }>();
  for (const { block, strips, meanYieldKgPerHa } of cells) {
    const seen = blocks.get(block) ?? { sum: 0, strips: 0 };
    blocks.set(block, { sum: seen.sum + strips * meanYieldKgPerHa, strips: seen.strips + strips });
  }
  const rates = new Map<number, { sum: number; strips: number }>();
  for (const { block, rateSeedsPerM2, strips, meanYieldKgPerHa } of cells) {
    const level = blocks.get(block)!;
    const seen = rates.get(rateSeedsPerM2) ?? { sum: 0, strips: 0 };
    rates.set(rateSeedsPerM2, {
      sum: seen.sum + strips * (meanYieldKgPerHa - level.sum / level.strips),
      strips: seen.strips + strips,
    });
  }
  let [best, most] = [NaN, -Infinity];
  for (const [rate, { sum, strips }] of [...rates].sort(([a], [b]) => a - b)) {
    const net = (prices.grainPerKg * sum) / strips - prices.seedPerM2 * rate;
    if (net > most) [best, most] = [rate, net];
  }
  return best;
}
