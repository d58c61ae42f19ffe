/** How yield may come up to its top, in the order in which curves and regions count them. */
export const riseNames = [
  "linear-plateau",
  "quadratic-plateau",
  "quadratic",
  "exponential",
  "square root",
  "reciprocal",
] as const;

export type RiseName = (typeof riseNames)[number];
