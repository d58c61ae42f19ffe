import powOf from "@stdlib/math-base-special-pow";
import { wholePower } from "./whole-power.ts";

/** Whole powers up to this are products. */
const mostProducts = 32;

/** Power, to the last bit alike in every engine. */
export const pow = (base: number, exponent: number): number =>
  exponent === 2
    ? base * base
    : Number.isInteger(exponent) && Math.abs(exponent) <= mostProducts
      ? wholePower(base, exponent)
      : powOf(base, exponent);
