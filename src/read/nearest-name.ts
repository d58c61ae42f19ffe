/** The known name that a misspelt one was probably meant to be. */

/** Letters to change, add, take away or swap with a neighbour to get from one word to the other (restricted Damerau–Levenshtein distance). */
function distance(a: string, b: string): number {
  let before: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, index) => index);
  for (let i = 1; i <= a.length; i++) {
    const now = [i];
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1];
      now[j] = Math.min(last[j]! + 1, now[j - 1]! + 1, last[j - 1]! + (same ? 0 : 1));
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
        now[j] = Math.min(now[j]!, before[j - 2]! + 1);
      }
    }
    [before, last] = [last, now];
  }
  return last[b.length]!;
}

/**
 * The nearest of the known names, null where none is near: more than a third of the letters differ.
 *
 * @example nearestName("grian_price", ["crop", "grain_price"]) // "grain_price"
 */
export function nearestName(name: string, known: readonly string[]): string | null {
  const asked = name.slice(0, 60).toLowerCase();
  let nearest: string | null = null;
  let least = Infinity;
  for (const candidate of known) {
    const found = distance(asked, candidate.toLowerCase());
    if (found < least) [nearest, least] = [candidate, found];
  }
  return nearest !== null && least <= Math.max(1, Math.floor(Math.max(asked.length, nearest.length) / 3))
    ? nearest
    : null;
}
