import log1pOf from "@stdlib/math-base-special-log1p";

/** Natural logarithm of 1 + x, to the last bit alike in every engine. */
export const log1p: (x: number) => number = log1pOf;
