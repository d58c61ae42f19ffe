/** Rates that are meant to be one and the same. */

/** A drill hardly holds a rate closer than this, and weights turned into seeds differ by it (common practice). */
export const sameRateWithin = 0.01;

export const isSameRate = (rate: number, other: number): boolean =>
  Math.abs(rate / other - 1) <= sameRateWithin;
