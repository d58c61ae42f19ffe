import sinOf from "@stdlib/math-base-special-sin";

/** Sine, to the last bit alike in every engine. */
export const sin: (x: number) => number = sinOf;
