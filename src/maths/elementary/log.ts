import logOf from "@stdlib/math-base-special-ln";

/** Logarithm of 2 in two parts: whole multiples of the first are exact. */
const ln2High = 6.9314718036912381649e-1;
const ln2Low = 1.90821492927058770002e-10;
const whole31 = 2 ** 31;
const least31 = 2 ** -31;
const downTo1 = Float64Array.from({ length: 31 }, (_, power) => 2 ** -power);
/** Significands at which the steps part, by their first twenty binary places. */
const place20 = 2 ** -20;
const nearRootOf2 = 1 + 0x6a09c * place20;
const middleFrom = 1 + 0x6147a * place20;
const middleTo = 1 + 0x6b852 * place20;

/**
 * Natural logarithm, to the last bit alike in every engine.
 *
 * The steps and coefficients of `@stdlib/math-base-special-ln` (FDLIBM, Sun Microsystems 1993) without its looks at single
 * bits, which take a third of its time; what is very large or small, or next to a power of two, is left to it.
 */
export function log(x: number): number {
  // NaN is neither.
  if (!(x > least31 && x < whole31)) return 1 * logOf(x);
  const isSmall = x < 1;
  const scaled = isSmall ? x * whole31 : x;
  const places = 31 - Math.clz32(scaled);
  const significand = scaled * downTo1[places]!;
  if (significand < 1 + place20 || significand >= 2 - 2 * place20) return 1 * logOf(x);
  // Between √½ and √2 with a whole power of two.
  const upper = significand >= nearRootOf2;
  const power = places - (isSmall ? 31 : 0) + (upper ? 1 : 0);
  const f = (upper ? 0.5 * significand : significand) - 1;
  const s = f / (2 + f);
  const z = s * s;
  const w = z * z;
  const rest =
    w * (0.3999999999940942 + w * (0.22222198432149784 + w * 0.15313837699209373)) +
    z * (0.6666666666666735 + w * (0.2857142874366239 + w * (0.1818357216161805 + w * 0.14798198605116586)));
  if (significand >= middleFrom && significand < middleTo) {
    const square = 0.5 * f * f;
    return power === 0
      ? f - (square - s * (square + rest))
      : power * ln2High - (square - (s * (square + rest) + power * ln2Low) - f);
  }
  return power === 0 ? f - s * (f - rest) : power * ln2High - (s * (f - rest) - power * ln2Low - f);
}
