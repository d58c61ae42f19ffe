/** Real roots of small polynomials. Coefficients run from the constant upwards. */

/** Value of a polynomial (Horner). Example: evaluate([1, 0, 2], 3) is 19. */
export function evaluate(coefficients: ArrayLike<number>, x: number): number {
  let value = 0;
  for (let i = coefficients.length - 1; i >= 0; i--) value = value * x + coefficients[i]!;
  return value;
}

/**
 * Places where a polynomial changes sign between two ends, in rising order.
 *
 * Between two neighbouring turning points a polynomial crosses zero at most once, so the roots of the derivative
 * fence the roots in and each is run down inside its fence: none is missed, and no start value is needed. A place
 * where it touches zero without crossing is listed only if its value there is exactly 0.
 *
 * @param coefficients  constant first
 * @returns roots inside [from, to], to the last digit or nearly so
 * @example crossings([-2, 0, 1], 0, 2) // [1.41421356237309…]
 */
export function crossings(coefficients: readonly number[], from: number, to: number): number[] {
  let degree = coefficients.length - 1;
  while (degree > 0 && coefficients[degree] === 0) degree--;
  if (degree < 1 || !(from < to)) return [];
  if (degree === 1) {
    const root = 0 - coefficients[0]! / coefficients[1]!;
    return root >= from && root <= to ? [root] : [];
  }
  const derivative = new Array<number>(degree);
  for (let i = 0; i < degree; i++) derivative[i] = (i + 1) * coefficients[i + 1]!;
  const fences = crossings(derivative, from, to);
  fences.push(to);
  const roots: number[] = [];
  let left = from;
  let leftValue = evaluate(coefficients, left);
  for (const right of fences) {
    const rightValue = evaluate(coefficients, right);
    if (leftValue === 0) {
      if (roots[roots.length - 1] !== left) roots.push(left);
    } else if (leftValue < 0 !== rightValue < 0 && rightValue !== 0) {
      roots.push(runDown(coefficients, derivative, left, right, leftValue));
    }
    left = right;
    leftValue = rightValue;
  }
  if (leftValue === 0 && roots[roots.length - 1] !== left) roots.push(left);
  return roots;
}

/** The one root in a fence: Newton's step where it stays inside, halving where it does not. */
function runDown(
  coefficients: readonly number[],
  derivative: readonly number[],
  from: number,
  to: number,
  fromValue: number,
): number {
  let low = from;
  let high = to;
  let x = 0.5 * (low + high);
  let lastStep = high - low;
  for (let step = 0; step < 200; step++) {
    const value = evaluate(coefficients, x);
    if (value === 0) return x;
    if (value < 0 === fromValue < 0) low = x;
    else high = x;
    let next = x - value / evaluate(derivative, x);
    const move = Math.abs(next - x);
    if (!(next > low && next < high) || move > 0.5 * lastStep) next = 0.5 * (low + high);
    lastStep = Math.abs(next - x);
    if (next === x || lastStep <= 2 ** -52 * Math.abs(next)) return next;
    x = next;
  }
  return x;
}
