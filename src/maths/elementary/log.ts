import logOf from "@stdlib/math-base-special-ln";

/** Natural logarithm, to the last bit alike in every engine. */
export const log: (x: number) => number = logOf;
