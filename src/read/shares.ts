/** Germination and purity, which are shares of the seed. */

/** Whether a germination or purity [%] can be: no seed lot has none, or more than all. */
export const isShareOfSeed = (percent: number): boolean => percent > 0 && percent <= 100;
