import expOf from "@stdlib/math-base-special-exp";

const log2OfE = 1.442695040888963387;
/** Logarithm of 2 in two parts: whole multiples of the first are exact. */
const ln2High = 6.9314718036912381649e-1;
const ln2Low = 1.90821492927058770002e-10;
const leastPower = -1020;
const mostPower = 1023;
const powersOfTwo = Float64Array.from({ length: mostPower - leastPower + 1 }, (_, at) => {
  const power = at + leastPower;
  let value = 1;
  for (let step = 0; step < Math.abs(power); step++) value *= power < 0 ? 0.5 : 2;
  return value;
});

/**
 * Exponential function, to the last bit alike in every engine.
 *
 * The steps and coefficients of `@stdlib/math-base-special-exp` (FDLIBM, Sun Microsystems 1993) without its calls, which take
 * nearly half of its time; what lies at the ends of the numbers, or next to 0, is left to it.
 */
export function exp(x: number): number {
  const power = Math.trunc(log2OfE * x + (x < 0 ? -0.5 : 0.5));
  // NaN is neither.
  if (!(power >= leastPower && power <= mostPower) || (x > -1e-8 && x < 1e-8)) return 1 * expOf(x);
  const high = x - power * ln2High;
  const low = power * ln2Low;
  const rest = high - low;
  const t = rest * rest;
  const c =
    rest -
    t *
      (0.16666666666666602 +
        t *
          (-0.0027777777777015593 +
            t * (0.00006613756321437934 + t * (-0.0000016533902205465252 + t * 4.1381367970572385e-8))));
  return (1 - (low - (rest * c) / (2 - c) - high)) * powersOfTwo[power - leastPower]!;
}
