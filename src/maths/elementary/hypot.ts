/** Longest side of a right triangle whose sides are neither huge nor tiny, to the last bit alike in every engine. */
export const hypot = (a: number, b: number): number => Math.sqrt(a * a + b * b);
