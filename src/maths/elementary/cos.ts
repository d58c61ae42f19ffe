import cosOf from "@stdlib/math-base-special-cos";

/** Cosine, to the last bit alike in every engine. */
export const cos: (x: number) => number = cosOf;
