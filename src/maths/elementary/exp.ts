import expOf from "@stdlib/math-base-special-exp";

/** Exponential function, to the last bit alike in every engine. */
export const exp: (x: number) => number = expOf;
