/** Numbers of several lists in a row, one after the other. Example: joined([Float64Array.of(1), Float64Array.of(2, 3)]) is 1, 2, 3. */
export function joined(parts: readonly Float64Array[]): Float64Array {
  const all = new Float64Array(parts.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return all;
}
