/**
 * How well a set of rates determines a quadratic curve, whatever the curve is: D-efficiency.
 *
 * It is the share of the strips that the best possible rates would need to determine the curve equally well: (det M /
 * det M*)^(1/3) with M the moments of the rates scaled to −1 … 1. The best design has equal parts at both ends and the
 * middle, det M* = 4/27 (algebra, worked by hand from the moments).
 * Reference check: test/reference/optimal-designs.
 *
 * @param rates one entry a strip of a block, any unit
 * @param low   lowest rate that could have been chosen, same unit
 * @param high  highest rate that could have been chosen, > low
 * @returns 0 with fewer than three different rates, 1 at the best
 * @example dEfficiency([0.8, 1.1, 1.4, 1.7, 2], 0.8, 2) // 0.839: five rates evenly apart
 */
export function dEfficiency(rates: readonly number[], low: number, high: number): number {
  const places = rates.map((rate) => (2 * (rate - low)) / (high - low) - 1);
  const moment = (power: number): number => places.reduce((sum, x) => sum + x ** power, 0) / places.length;
  const [m1, m2, m3, m4] = [moment(1), moment(2), moment(3), moment(4)];
  const determinant = m2 * m4 - m3 * m3 - m1 * (m1 * m4 - m2 * m3) + m2 * (m1 * m3 - m2 * m2);
  return (Math.max(0, determinant) / (4 / 27)) ** (1 / 3);
}
