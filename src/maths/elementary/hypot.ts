/** Root of the sum of squares of numbers neither huge nor tiny, to the last bit alike in every engine. */
export function hypot(a: number, b: number, ...others: number[]): number {
  let sum = a * a + b * b;
  for (const other of others) sum += other * other;
  return Math.sqrt(sum);
}
