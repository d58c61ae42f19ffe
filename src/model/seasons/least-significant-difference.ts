import { tQuantile } from "../../maths/distributions.ts";

/**
 * Least significant difference: t(1 − level/2, error df) × √(variance of a difference of two means).
 *
 * @param differenceVariance 2 s²/blocks where both means have one strip in each block
 * @param errorDf            ≥ 1
 * @returns in the unit whose square the variance is in
 * @example leastSignificantDifference((2 * 110_558.4) / 4, 15, 0.05) // 501.1 kg/ha, Gomez & Gomez 1984, p. 26
 */
export const leastSignificantDifference = (
  differenceVariance: number,
  errorDf: number,
  level: number,
): number => tQuantile(1 - level / 2, errorDf) * Math.sqrt(differenceVariance);
