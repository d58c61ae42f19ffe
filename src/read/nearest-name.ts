/** The known name that a misspelt one was probably meant to be. */

import { editDistance } from "../vocabulary/spelling.ts";

/**
 * The nearest of the known names, null where none is near: more than a share of the letters differs.
 *
 * @example nearestName("grian_price", ["crop", "grain_price"]) // "grain_price"
 */
export function nearestName(name: string, known: readonly string[], share = 1 / 3): string | null {
  const asked = name.slice(0, 60).toLowerCase();
  let nearest: string | null = null;
  // A name with more letters has more of them to differ, but those that it has more differ already: beyond this none is near.
  const most = Math.max(1, Math.ceil((asked.length * share) / (1 - share)));
  let least = most + 1;
  for (const candidate of known) {
    const found = editDistance(asked, candidate.toLowerCase(), least);
    if (found < least) [nearest, least] = [candidate, found];
  }
  return nearest !== null && least <= Math.max(1, Math.floor(share * Math.max(asked.length, nearest.length)))
    ? nearest
    : null;
}
