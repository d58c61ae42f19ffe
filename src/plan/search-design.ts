/** Finds the points of a small experiment that score best, by exchanging one point at a time. */

export interface DesignSearch {
  /** Points that may be chosen, ascending. */
  candidates: readonly number[];
  /** How many points the design has, including the fixed ones. */
  count: number;
  /** Points that are always in. */
  fixed: readonly number[];
  /** Smallest distance between two points; 0 lets a point occur more than once. */
  apart: number;
  /** Larger is better. Gets the points in ascending order. */
  score: (points: readonly number[]) => number;
}

export interface Design {
  points: number[];
  score: number;
}

/**
 * The best design that exchanging finds, from several starts.
 *
 * From each start every free point in turn moves to the candidate that scores best, until none moves (Fedorov's
 * exchange, as in the documentation of R package AlgDesign, but one point at a time). It may not be the best of all.
 *
 * @returns null if `count` points do not fit `apart`
 */
export function searchDesign(search: DesignSearch): Design | null {
  let best: Design | null = null;
  const known = new Map<string, number>();
  const score = (points: readonly number[]): number => {
    const key = points.join(" ");
    if (!known.has(key)) known.set(key, search.score(points));
    return known.get(key)!;
  };
  for (const lean of [1, 0.6, 1.6]) {
    const start = spreadPoints(search, lean);
    if (start === null) continue;
    const found = exchangePoints({ ...search, score }, start);
    if (best === null || found.score > best.score) best = found;
  }
  return best;
}

/**
 * Points spread evenly over the candidates, as usual, as far as the fixed points and the distance allow.
 *
 * @param lean exponent of the spacing: 1 even, below 1 crowded at the top, above 1 crowded at the bottom
 * @returns ascending, null when there is no room
 */
export function spreadPoints(search: Omit<DesignSearch, "score">, lean = 1): number[] | null {
  const { candidates, count, fixed, apart } = search;
  const low = Math.min(candidates[0]!, ...fixed);
  const high = Math.max(candidates.at(-1)!, ...fixed);
  const ideal = Array.from(
    { length: count },
    (_, i) => low + (high - low) * (count === 1 ? 0.5 : (i / (count - 1)) ** lean),
  );
  const points = [...fixed];
  const open = new Set(ideal.keys());
  for (const point of fixed) open.delete(nearestIndex(ideal, point, open));
  for (const slot of open) {
    const free = candidates.filter((candidate) => standsApart(candidate, points, apart));
    if (free.length === 0) return null;
    points.push(free[nearestIndex(free, ideal[slot]!)]!);
  }
  return points.sort((a, b) => a - b);
}

function exchangePoints(search: DesignSearch, start: readonly number[]): Design {
  const free = [...start];
  for (const point of search.fixed) free.splice(free.indexOf(point), 1);
  const ascending = (): number[] => [...search.fixed, ...free].sort((a, b) => a - b);
  let score = search.score(ascending());
  for (let moved = true; moved;) {
    moved = false;
    for (let slot = 0; slot < free.length; slot++) {
      const others = [...search.fixed, ...free.filter((_, i) => i !== slot)];
      let stays = free[slot]!;
      for (const candidate of search.candidates) {
        if (!standsApart(candidate, others, search.apart)) continue;
        free[slot] = candidate;
        const reached = search.score(ascending());
        if (reached > score + 1e-12 * Math.abs(reached)) {
          [score, stays, moved] = [reached, candidate, true];
        }
      }
      free[slot] = stays;
    }
  }
  return { points: ascending(), score };
}

const standsApart = (candidate: number, points: readonly number[], apart: number): boolean =>
  points.every((point) => Math.abs(point - candidate) >= apart * (1 - 1e-9));

function nearestIndex(values: readonly number[], wanted: number, among?: ReadonlySet<number>): number {
  let nearest = -1;
  for (const [index, value] of values.entries()) {
    if (among && !among.has(index)) continue;
    if (nearest < 0 || Math.abs(value - wanted) < Math.abs(values[nearest]! - wanted)) nearest = index;
  }
  return nearest;
}
