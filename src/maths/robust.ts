/** Spread by medians. */

/** The standard deviation of a normal distribution over its median absolute deviation. */
export const sdPerMedianDeviation = 1.4826;
