/** Base to a whole exponent, as products: to the last bit alike in every engine, powers of ten up to 1e22 exact. */
export function wholePower(base: number, exponent: number): number {
  if (exponent === 2) return base * base;
  if (exponent < 0) return 1 / wholePower(base, -exponent);
  let product = 1;
  for (let factor = 0; factor < exponent; factor++) product *= base;
  return product;
}
