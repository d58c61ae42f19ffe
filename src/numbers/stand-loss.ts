import type { StandLoss } from "../vocabulary/crops.ts";

/** @example standLossRange([0.05, 0.47]) // "5 to 47%" */
export const standLossRange = ([least, most]: StandLoss["usual"]): string =>
  `${Math.round(100 * least)} to ${Math.round(100 * most)}%`;

/**
 * What counted plants say of the seeds sown. More plants than viable seeds are counted where a rate, a germination or a
 * count is wrong, and are no loss.
 *
 * @param loss    share of viable seeds that gave no plant, below 0 where there were more plants
 * @param percent a share as the person reads it
 */
export const standLossText = (loss: number, percent: (share: number) => string): string =>
  loss < 0
    ? `there were ${percent(-loss)} more plants than viable seeds`
    : `${percent(loss)} of the viable seeds gave no plant`;
