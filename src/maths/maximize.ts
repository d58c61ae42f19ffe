/** The highest value of a smooth function between two ends. */

const golden = (3 - Math.sqrt(5)) / 2;

/**
 * Looks at evenly spaced places first, then closes in on the best of them by golden section.
 *
 * Finds the highest top as long as tops are no narrower than the spacing.
 *
 * @param panels  spaces between the places looked at first, ≥ 2
 * @returns where it is highest, and how high; an end of the range if that is highest
 * @example maximize((x) => x * (1 - x), 0, 1, 8) // {at: 0.5, value: 0.25}
 */
export function maximize(
  f: (x: number) => number,
  from: number,
  to: number,
  panels: number,
): { at: number; value: number } {
  const width = (to - from) / panels;
  let best = { at: from, value: f(from) };
  for (let i = 1; i <= panels; i++) {
    const at = i === panels ? to : from + i * width;
    const value = f(at);
    if (value > best.value) best = { at, value };
  }
  let low = Math.max(from, best.at - width);
  let high = Math.min(to, best.at + width);
  let [left, right] = [low + golden * (high - low), high - golden * (high - low)];
  let [leftValue, rightValue] = [f(left), f(right)];
  while (high - low > 1e-9 * (to - from)) {
    if (leftValue >= rightValue) {
      [high, right, rightValue] = [right, left, leftValue];
      left = low + golden * (high - low);
      leftValue = f(left);
    } else {
      [low, left, leftValue] = [left, right, rightValue];
      right = high - golden * (high - low);
      rightValue = f(right);
    }
    if (!(left < right)) break;
  }
  if (leftValue > best.value) best = { at: left, value: leftValue };
  if (rightValue > best.value) best = { at: right, value: rightValue };
  return best;
}
