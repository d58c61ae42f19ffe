/** Fewer strips for a picture or a page where there are too many to draw: those far from their curve all, of the rest one in so many. */
import type { StripPoint } from "../vocabulary/result.ts";

/** A strip that is shown, with how many it stands for, itself among them; one where that is not said. */
export interface ShownStrip extends StripPoint {
  standsFor?: number;
}

/** How many strips some that are shown stand for. */
export const stripsBehind = (strips: readonly ShownStrip[]): number =>
  strips.reduce((sum, { standsFor = 1 }) => sum + standsFor, 0);

/** Of each variety in a field and season the strips that decide most are kept: so many by residual, and by influence. */
const mostFarOut = 20;

/**
 * Keeps about `most` strips: of each variety in each field and season its share. Strips farthest from their curve and those
 * that move its top most stand for themselves; of the others, along the rates, each that is kept stands for its neighbours.
 *
 * @returns the same list where it is short enough; else some of it in the same order, `standsFor` adding up to its length
 */
export function thinStrips(strips: readonly StripPoint[], most: number): readonly ShownStrip[] {
  if (strips.length <= most) return strips;
  const groups = new Map<string, { strip: StripPoint; index: number }[]>();
  for (const [index, strip] of strips.entries()) {
    const key = `${strip.variety}\n${strip.environment}`;
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [{ strip, index }]);
    else group.push({ strip, index });
  }
  const standsFor = new Map<number, number>();
  for (const group of groups.values()) {
    const share = Math.max(1, Math.floor((most * group.length) / strips.length));
    const farOut = new Set(
      [
        ({ studentizedResidual }: StripPoint) => studentizedResidual,
        ({ topShiftSeedsPerM2 }: StripPoint) => topShiftSeedsPerM2,
      ].flatMap((of) =>
        group
          .flatMap(({ strip, index }) => {
            const value = of(strip);
            return value === null ? [] : [{ index, size: Math.abs(value) }];
          })
          .sort((a, b) => b.size - a.size)
          .slice(0, Math.min(mostFarOut, Math.floor(share / 4)))
          .map(({ index }) => index),
      ),
    );
    for (const index of farOut) standsFor.set(index, 1);
    const others = group
      .filter(({ index }) => !farOut.has(index))
      .sort((a, b) => a.strip.rateSeedsPerM2 - b.strip.rateSeedsPerM2)
      .map(({ index }) => index);
    const kept = Math.min(others.length, Math.max(1, share - farOut.size));
    for (let run = 0; run < kept; run++) {
      const [from, to] = [run, run + 1].map((edge) => Math.floor((edge * others.length) / kept));
      standsFor.set(others[Math.floor((from! + to! - 1) / 2)]!, to! - from!);
    }
  }
  return strips.flatMap((strip, index) => {
    const count = standsFor.get(index);
    return count === undefined ? [] : [{ ...strip, standsFor: count }];
  });
}

/** Said under a picture that does not show every strip. */
export const thinnedNote = (strips: readonly ShownStrip[], all: number): string =>
  strips.length === all
    ? ""
    : `; ${strips.length} of ${all} strips are drawn, those far from their curve among them`;
